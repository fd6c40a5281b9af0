//! Drawings as SVG.
//!
//! No style attributes, no scripts: presentation attributes give a drawing its look where
//! it stands alone, classes let a page change it. Text is text, set to the width that it was laid
//! out for whatever face the reader has, so that nothing runs into its neighbour.

use std::fmt::Write;

use super::drawing::{Drawing, Ink, Mark, Place, Run, Stroke};
use super::metrics::Face;
use super::section::{self, SvgSize};
use super::wrap::held;
use super::{sheet, signs};
use crate::answer::SectionAnswer;
use crate::card::Card;

/// Between sheets, one under another, mm.
const BETWEEN_MM: f64 = 6.0;

/// Paper of a drawing that stands alone, as in `card.css`.
const PAPER: &str = "#fffdf8";

/// In which colour an ink is painted.
type Colours = fn(Ink) -> &'static str;

/// In the page's own.
fn of_the_page(_: Ink) -> &'static str {
    "currentColor"
}

/// In those of `card.css` for paper.
fn on_paper(ink: Ink) -> &'static str {
    match ink {
        Ink::Full => "#211d18",
        Ink::Soft => "#5f584d",
        Ink::Faint => "#cfc7b8",
        Ink::Accent => "#75540c",
    }
}

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
    let drawing = section::draw(&spelled, size);
    for_page(&drawing, "section")
}

/// A drawing for a page, in the page's colours.
pub fn for_page(drawing: &Drawing, class: &str) -> String {
    whole(drawing, class, of_the_page, "")
}

/// A drawing that stands alone, on its paper.
pub fn alone(drawing: &Drawing, class: &str) -> String {
    let (width, height) = (short(drawing.width_mm), short(drawing.height_mm));
    let paper = format!("<rect width=\"{width}\" height=\"{height}\" fill=\"{PAPER}\"/>\n");
    whole(drawing, class, on_paper, &paper)
}

fn whole(drawing: &Drawing, class: &str, colours: Colours, behind: &str) -> String {
    let mut out = opened(class, drawing.width_mm, drawing.height_mm);
    out.push_str(&named(&drawing.title, &drawing.description));
    out.push_str(behind);
    out.push_str(&painted(drawing, colours));
    out.push_str("</svg>");
    out
}

/// The sheets of a card in one document, one under another.
pub fn svg(card: &Card) -> String {
    let sheets = sheet::sheets(card, signs::all);
    let height = sheets.len() as f64 * (sheet::HEIGHT_MM + BETWEEN_MM) - BETWEEN_MM;
    let mut out = opened("sheets", sheet::WIDTH_MM, height);
    let title = sheets.first().map_or("", |sheet| &sheet.title);
    out.push_str(&named(
        title,
        &format!("{} A6 pages, one under another", sheets.len()),
    ));
    for (place, sheet) in sheets.iter().enumerate() {
        let y = place as f64 * (sheet::HEIGHT_MM + BETWEEN_MM);
        let (width, height) = (sheet.width_mm, sheet.height_mm);
        let paper = format!("<rect width=\"{width}\" height=\"{height}\" fill=\"{PAPER}\"/>");
        let _ = writeln!(
            out,
            "<g transform=\"translate(0 {y})\">\n{paper}\n{}</g>",
            painted(sheet, on_paper)
        );
    }
    out.push_str("</svg>\n");
    out
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

fn painted(drawing: &Drawing, colours: Colours) -> String {
    drawing.marks.iter().fold(String::new(), |out, mark| {
        out + &mark_svg(mark, colours) + "\n"
    })
}

fn mark_svg(mark: &Mark, colours: Colours) -> String {
    match mark {
        Mark::Line(stroke, line) => line_svg(*stroke, line, colours),
        Mark::Area(ink, outline) => {
            let (class, colour) = (ink_class(*ink), colours(*ink));
            format!(
                "<polygon class=\"{class}\" fill=\"{colour}\" points=\"{}\"/>",
                points(outline)
            )
        }
        Mark::Ring((x, y), radius) => {
            let (x, y, radius, colour) =
                (short(*x), short(*y), short(*radius), colours(Ink::Accent));
            format!(
                "<circle class=\"ring\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"0.18\" cx=\"{x}\" cy=\"{y}\" r=\"{radius}\"/>"
            )
        }
        Mark::Words(run) => words_svg(run, colours),
    }
}

fn line_svg(stroke: Stroke, line: &[Place], colours: Colours) -> String {
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
    let (name, class, colour) = (pen.class, ink_class(pen.ink), colours(pen.ink));
    let (width, points) = (pen.width_mm, points(line));
    format!(
        "<polyline class=\"{name} {class}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width}\"{dash} points=\"{points}\"/>"
    )
}

/// Words, set to the width that they were laid out for.
fn words_svg(run: &Run, colours: Colours) -> String {
    let (family, weight) = match run.face {
        Face::Words => ("Helvetica, Arial, sans-serif", ""),
        Face::Strong => ("Helvetica, Arial, sans-serif", " font-weight=\"bold\""),
        Face::Struck => ("Courier, monospace", " font-weight=\"bold\""),
    };
    let (class, colour, text) = (ink_class(run.ink), colours(run.ink), escaped(&run.text));
    let [size, x, y, width] = [run.size_mm, run.at.0, run.at.1, run.width_mm()].map(short);
    format!(
        "<text class=\"{class}\" fill=\"{colour}\" font-family=\"{family}\"{weight} font-size=\"{size}\" x=\"{x}\" y=\"{y}\" \
         textLength=\"{width}\" lengthAdjust=\"spacingAndGlyphs\">{text}</text>"
    )
}

fn ink_class(ink: Ink) -> &'static str {
    match ink {
        Ink::Full => "full",
        Ink::Soft => "soft",
        Ink::Faint => "faint",
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
