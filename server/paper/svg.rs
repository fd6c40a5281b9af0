//! Drawings as SVG.
//!
//! No style attributes, no scripts: presentation attributes give a drawing its look where
//! it stands alone, classes let a page change it. Text is text, set to the width that it was laid
//! out for whatever face the reader has, so that nothing runs into its neighbour.

use super::drawing::{Drawing, Ink, Mark, Place, Run, Stroke};
use super::metrics::Face;
use super::section::{self, SvgSize};
use super::signs;
use super::wrap::held;
use crate::answer::SectionAnswer;

/// The section of a piece for a page: drawn in the page's colour, classes for the rest.
pub fn section_svg(answer: &SectionAnswer, size: SvgSize) -> String {
    let mut spelled = answer.clone();
    for point in &mut spelled.points {
        point.text = held(&signs::shortened(
            &signs::visible(&point.text),
            signs::LONGEST_NAME,
        ));
        point.value = held(&signs::visible(&point.value));
    }
    for_page(&section::draw(&spelled, size), "section")
}

/// A drawing for a page, in the page's colours.
fn for_page(drawing: &Drawing, class: &str) -> String {
    let mut out = opened(class, drawing.width_mm, drawing.height_mm);
    out.push_str(&named(&drawing.title, &drawing.description));
    for mark in &drawing.marks {
        out.push_str(&mark_svg(mark));
        out.push('\n');
    }
    out.push_str("</svg>");
    out
}

/// A sheet as the press gives it, named for those who cannot see it.
pub fn named_sheet(drawing: &str, title: &str, description: &str) -> String {
    let (open, rest) = drawing.split_once('>').unwrap_or((drawing, ""));
    format!("{open} role=\"img\">{}{rest}", named(title, description))
}

fn opened(class: &str, width: f64, height: f64) -> String {
    let (width, height) = (short(width), short(height));
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"{class}\" role=\"img\" width=\"{width}mm\" \
         height=\"{height}mm\" viewBox=\"0 0 {width} {height}\">\n"
    )
}

fn named(title: &str, description: &str) -> String {
    format!(
        "<title>{}</title>\n<desc>{}</desc>\n",
        escaped(title),
        escaped(description)
    )
}

fn mark_svg(mark: &Mark) -> String {
    match mark {
        Mark::Line(stroke, line) => line_svg(*stroke, line),
        Mark::Area(ink, outline) => {
            let class = ink_class(*ink);
            format!(
                "<polygon class=\"{class}\" fill=\"currentColor\" points=\"{}\"/>",
                points(outline)
            )
        }
        Mark::Ring((x, y), radius) => {
            let (x, y, radius) = (short(*x), short(*y), short(*radius));
            format!(
                "<circle class=\"ring\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"0.18\" cx=\"{x}\" cy=\"{y}\" r=\"{radius}\"/>"
            )
        }
        Mark::Words(run) => words_svg(run),
    }
}

fn line_svg(stroke: Stroke, line: &[Place]) -> String {
    let pen = stroke.pen();
    let dash = pen
        .dash_mm
        .iter()
        .map(|length| short(*length))
        .collect::<Vec<_>>()
        .join(" ");
    let dash = if dash.is_empty() {
        dash
    } else {
        format!(" stroke-dasharray=\"{dash}\"")
    };
    let (name, class) = (pen.class, ink_class(pen.ink));
    let (width, points) = (pen.width_mm, points(line));
    format!(
        "<polyline class=\"{name} {class}\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"{width}\"{dash} points=\"{points}\"/>"
    )
}

/// Words, set to the width that they were laid out for.
fn words_svg(run: &Run) -> String {
    let (family, weight) = match run.face {
        Face::Words => ("Helvetica, Arial, sans-serif", ""),
        Face::Strong => ("Helvetica, Arial, sans-serif", " font-weight=\"bold\""),
        Face::Struck => ("Courier, monospace", " font-weight=\"bold\""),
    };
    let (class, text) = (ink_class(run.ink), escaped(&run.text));
    let [size, x, y, width] = [run.size_mm, run.at.0, run.at.1, run.width_mm()].map(short);
    format!(
        "<text class=\"{class}\" fill=\"currentColor\" font-family=\"{family}\"{weight} font-size=\"{size}\" x=\"{x}\" y=\"{y}\" \
         textLength=\"{width}\" lengthAdjust=\"spacingAndGlyphs\">{text}</text>"
    )
}

fn ink_class(ink: Ink) -> &'static str {
    match ink {
        Ink::Full => "full",
        Ink::Soft => "soft",
        Ink::Accent => "accent",
    }
}

fn points(line: &[Place]) -> String {
    line.iter()
        .map(|(x, y)| format!("{},{}", short(*x), short(*y)))
        .collect::<Vec<_>>()
        .join(" ")
}

/// Micrometres are enough for paper.
fn short(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Text as XML character data or attribute.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            other => out.push(other),
        }
    }
    out
}
