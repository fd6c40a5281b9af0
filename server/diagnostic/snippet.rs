//! A problem as the line of the file with a caret under it.
//!
//! Only the lines that are pointed at are shown. A problem of the whole file,
//! or one whose line is not in the text given, has its words and no picture.

use annotate_snippets::{
    Annotation, AnnotationKind, Element, Level, Origin, Padding, Renderer, Snippet,
};

use super::{Diagnostic, Place, Severity};

/// How a snippet is dressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Style {
    /// Characters only.
    Plain,
    /// With the colour codes of terminals.
    Coloured,
}

impl Diagnostic {
    /// This problem with a caret under what it is about. `source` is the text
    /// of the file in [`Diagnostic::place`].
    pub fn snippet(&self, source: &str, style: Style) -> String {
        let level = match self.severity {
            Severity::Error => Level::ERROR,
            Severity::Warning => Level::WARNING,
        };
        let group = level
            .primary_title(self.message.to_string())
            .id(self.code)
            .elements(self.parts(source));
        let renderer = match style {
            Style::Plain => Renderer::plain(),
            Style::Coloured => Renderer::styled(),
        };
        renderer.render(&[group])
    }

    fn parts<'a>(&'a self, source: &'a str) -> Vec<Element<'a>> {
        let mut parts = vec![shown(source, &self.place, AnnotationKind::Primary, None)];
        if let Some((place, what)) = &self.also {
            let text = if place.file == self.place.file {
                source
            } else {
                ""
            };
            parts.push(shown(
                text,
                place,
                AnnotationKind::Context,
                Some(what.to_string()),
            ));
        }
        if let Some(hint) = &self.hint {
            parts.push(Padding.into());
            parts.push(
                Level::HELP
                    .with_name(say!("mend"))
                    .message(hint.to_string())
                    .into(),
            );
        }
        parts
    }
}

fn shown<'a>(
    source: &'a str,
    place: &'a Place,
    kind: AnnotationKind,
    label: Option<String>,
) -> Element<'a> {
    let Some(line) = line(source, place) else {
        return origin(place);
    };
    let annotation: Annotation<'a> = kind.span(bytes(line, place)).label(label);
    Snippet::source(line)
        .line_start(place.line)
        .path(&*place.file)
        .annotation(annotation)
        .into()
}

fn origin(place: &Place) -> Element<'_> {
    let origin = Origin::path(&*place.file);
    if place.is_whole() {
        return origin.into();
    }
    origin.line(place.line).char_column(place.column).into()
}

fn line<'a>(source: &'a str, place: &Place) -> Option<&'a str> {
    source.lines().nth(place.line.checked_sub(1)?)
}

/// The stretch of `place` in its line, in bytes.
fn bytes(line: &str, place: &Place) -> std::ops::Range<usize> {
    let byte = |column: usize| {
        line.char_indices()
            .nth(column.saturating_sub(1))
            .map_or(line.len(), |(at, _)| at)
    };
    byte(place.column)..byte(place.end_column())
}
