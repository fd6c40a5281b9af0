//! From a scheme as written to the scheme that the program trusts.
//!
//! Every fault is collected with the place of the value at fault. A part that has one is
//! left out and what refers to it is not blamed for that; a scheme comes out only where
//! there is no error.
//!
//! Whether the examples decode to what they say is seen by [`crate::stamp`].

mod backbores;
mod declared;
mod entries;
mod examples;
mod figures;
mod forms;
mod fractions;
mod grid;
mod held;
mod marked;
mod marks;
mod metal;
mod names;
mod separators;
mod series;
mod serves;
mod signs;
mod stamps;
mod traces;
mod untraced;
mod unused;
mod usual;
mod values;
mod years;

use sha2::{Digest, Sha256};

use self::forms::{Form, Holder};
use self::metal::Metal;
use self::values::Figures;
use super::faults::{Faults, Finding, Spot};
use super::meant::{Mark, Part, Scheme, Series};
use super::tables::Tables;
use super::template::Field;
use super::usual::Usual;
use super::written;
use crate::diagnostic::Diagnostic;
use crate::language::Sentence;
use crate::yaml::{Document, OneOrMany, Path, Text, decode};

/// The scheme of a file, and everything that is wrong or odd in it; no scheme where anything
/// is wrong.
pub fn check(document: &Document, tables: &Tables) -> (Option<Scheme>, Vec<Diagnostic>) {
    check_beside(document, tables, &|_| {
        Err(sentence!(
            "this text lies in no folder, so that nothing is beside it"
        ))
    })
}

/// The text of a file of that plain name beside the plug-in, or why it cannot be had.
pub type Beside<'a> = &'a dyn Fn(&str) -> Result<String, Sentence>;

/// The same, where the plug-in may name files beside it.
pub fn check_beside(
    document: &Document,
    tables: &Tables,
    beside: Beside<'_>,
) -> (Option<Scheme>, Vec<Diagnostic>) {
    let written: written::Scheme = match decode(document) {
        Ok(written) => written,
        Err(fault) => return (None, vec![fault]),
    };
    let mut faults = Faults::new(document);
    let scheme = scheme(&written, (tables, beside), &mut faults);
    let good = faults.errors() == 0;
    (Some(scheme).filter(|_| good), faults.into_found())
}

/// What all checks of one scheme know.
struct Common<'a> {
    scheme: &'a str,
    title: &'a str,
    source: &'a str,
    serves: &'a OneOrMany<Text>,
    case_matters: bool,
    tables: &'a Tables,
    beside: Beside<'a>,
}

impl<'a> Common<'a> {
    fn new(written: &'a written::Scheme, (tables, beside): (&'a Tables, Beside<'a>)) -> Self {
        Self {
            scheme: &written.scheme,
            title: &written.title,
            source: written.source.as_ref().map_or("", Text::as_str),
            serves: &written.serves,
            case_matters: written.case.is_some(),
            tables,
            beside,
        }
    }

    /// The source of a statement: its own, or the scheme's.
    fn source(&self, own: &Option<Text>) -> String {
        own.as_ref().map_or(self.source, Text::as_str).to_owned()
    }

    fn holder(&self) -> Holder<'a> {
        Holder {
            scheme: self.scheme,
            title: self.title,
            series: None,
        }
    }
}

/// What templates and examples can name.
struct Parts<'a> {
    figures: &'a mut Figures,
    series: &'a [Series],
    marks: &'a [Mark],
    /// Whether there is a catalogue.
    entries: bool,
    case_matters: bool,
}

impl Parts<'_> {
    fn field(&self, name: &str) -> Option<Field> {
        match name {
            "series" => Some(Field::Series),
            "entry" => Some(Field::Entry),
            _ => {
                let mark = || {
                    self.marks
                        .iter()
                        .position(|mark| mark.name == name)
                        .map(Field::Mark)
                };
                self.figures.place(name).map(Field::Figure).or_else(mark)
            }
        }
    }

    fn name(&self, field: Field) -> &str {
        match field {
            Field::Series => "series",
            Field::Entry => "entry",
            Field::Figure(place) => self.figures.names().nth(place).unwrap_or_default(),
            Field::Mark(place) => &self.marks[place].name,
        }
    }

    fn field_names(&self) -> Vec<&str> {
        let marks = self.marks.iter().map(|mark| mark.name.as_str());
        self.figures
            .names()
            .chain(marks)
            .chain(["series", "entry"])
            .collect()
    }
}

fn scheme(
    written: &written::Scheme,
    (tables, beside): (&Tables, Beside<'_>),
    faults: &mut Faults<'_>,
) -> Scheme {
    let common = Common::new(written, (tables, beside));
    named(written, faults);
    let mut figures = figures::figures(&written.figures, &common, faults);
    let form = written
        .contour
        .as_ref()
        .map_or_else(Form::default, |contour| {
            Form::read(
                contour,
                &common.holder(),
                (tables, &Path::root().key("contour")),
                faults,
            )
        });
    let place = written
        .contour
        .as_ref()
        .map(|_| Path::root().key("contour"));
    let contour = form.contour(&common.holder(), place.as_ref(), faults);
    let backbores = backbores::backbores(&written.backbores, &common, faults);
    backbores::unused(written, faults);
    let series = series::series(
        &written.series,
        &form,
        (&mut figures, &backbores, &common),
        faults,
    );
    let marks = marks::marks(&written.marks, &mut figures, &common, faults);
    let mut metal = Metal::new(contour.as_ref());
    let entries = written.entries.as_ref().map_or_else(Vec::new, |entries| {
        entries::entries(
            entries,
            (&mut figures, &series),
            (&common, &mut metal),
            faults,
        )
    });
    let declared = declared::declared(&written.declared, &series, &common, faults);
    let traces = traces::traces(
        &written.traces,
        (&entries, &series),
        (&figures, &common),
        faults,
    );
    let weights = usual::usual(
        written.common.as_ref(),
        (&mut figures, &series, &entries),
        &common,
        faults,
    );
    let mut parts = Parts {
        figures: &mut figures,
        series: &series,
        marks: &marks,
        entries: written.entries.is_some(),
        case_matters: common.case_matters,
    };
    let stamps = stamps::stamps(&written.stamps, (&parts, &entries), faults);
    let examples = examples::examples(&written.examples, &mut parts, &entries, faults);
    if faults.errors() == 0 {
        examples::all_shown(&stamps, (&examples, &parts), faults);
        unused::unused(written, &parts, (&stamps, &entries), faults);
        stamps::corners_can_be(&stamps, (&figures, &series), &mut metal, faults);
        let stated = marked::Stated {
            figures: &figures,
            series: &series,
            entries: &entries,
            contour: contour.as_ref(),
        };
        marked::marks_can_be(&marks, &stamps, &stated, faults);
    }
    let figures = figures.into_trusted();
    let scheme = Scheme {
        usual: Usual::of(weights, (&figures, &series, &entries)),
        id: written.scheme.to_string(),
        title: written.title.to_string(),
        serves: serves::of_scheme(written, faults),
        revision: written.revision.to_string(),
        source: common.source.to_owned(),
        notes: written.notes.iter().map(Text::to_string).collect(),
        case_matters: common.case_matters,
        separators: separators::separators(written, faults),
        parts: parts_said(written, faults),
        figures,
        series,
        contour,
        marks,
        entries,
        declared,
        traces,
        stamps,
        examples,
        hash: hash(faults.document().text()),
        file: faults.document().file().to_owned(),
    };
    if faults.errors() == 0 {
        untraced::untraced(&scheme, faults);
        held::held(&scheme, faults);
    }
    scheme
}

/// The names in it, the source, and `case`.
fn named(written: &written::Scheme, faults: &mut Faults<'_>) {
    let root = Path::root();
    names::id(&written.scheme, &root.key("scheme"), faults);
    names::title(&written.title, &root.key("title"), faults);
    let (figures, series, marks) = (&written.figures, &written.series, &written.marks);
    names::names(
        "figure",
        figures.iter().map(|(name, _)| name),
        &root.key("figures"),
        faults,
    );
    names::names(
        "series",
        series.iter().map(|(name, _)| name),
        &root.key("series"),
        faults,
    );
    names::names(
        "mark",
        marks.iter().map(|(name, _)| name),
        &root.key("marks"),
        faults,
    );
    names::apart(
        figures.iter().map(|(name, _)| name),
        marks.iter().map(|(name, _)| name),
        faults,
    );
    if written
        .source
        .as_ref()
        .is_none_or(|source| source.trim().is_empty())
    {
        let finding = Finding::new(
            "no-source",
            sentence!("nothing says where these statements come from"),
        )
        .hint(sentence!("add `source: ...`, as the leaflet and its year"));
        // What is not there has no place: the name of the scheme has.
        let key = written.source.as_ref().map_or("scheme", |_| "source");
        faults.error_on(&Spot::Key(root.key(key)), finding);
    }
    if let Some(case) = written
        .case
        .as_ref()
        .filter(|case| case.as_str() != "matters")
    {
        let message = sentence!("`case` can only be `matters`, not `{case}`", case);
        let finding = Finding::new("bad-case", message)
            .hint(sentence!("delete it where `C` and `c` are the same mark"));
        faults.error(&root.key("case"), finding);
    }
}

fn parts_said(written: &written::Scheme, faults: &mut Faults<'_>) -> Vec<Part> {
    let path = Path::root().key("parts");
    let mut parts = Vec::with_capacity(written.parts.len());
    for (name, part) in written.parts.iter() {
        match stamps::part_kind(name) {
            Ok(kind) => parts.push(Part {
                kind,
                thread: part.thread.as_ref().map(Text::to_string),
                says: part.says.as_ref().map(Text::to_string),
            }),
            Err(finding) => faults.error_on(&Spot::Key(path.key(name)), finding),
        }
    }
    parts
}

/// SHA-256, hexadecimal.
fn hash(text: &str) -> String {
    Sha256::digest(text.as_bytes())
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}
