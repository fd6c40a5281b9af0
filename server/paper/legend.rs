//! The words beside a section.
//!
//! Values stand in a column on the right, names of planes in one on the left, each
//! led to from its place by a line that goes level until it is past the metal; so no two lines
//! cross and no word lies on the metal or on another word.

use super::drawing::{Anchored, Ink, Mark, Place, Run, Stroke, stack};
use super::metrics::{self, Face};
use crate::language::word;

/// Width of the column of values, mm.
pub const LEGEND_MM: f64 = 38.0;

/// Width of the column of planes, mm.
pub const PLANES_MM: f64 = 11.0;

/// Size of the type, mm.
const SIZE_MM: f64 = 7.5 * metrics::POINT_MM;

/// Between lines, mm.
const LINE_MM: f64 = 3.0;

/// Between labels, mm.
const GAP_MM: f64 = 0.9;

/// Radius of the ring around a number, mm.
const RING_MM: f64 = 1.6;

/// From the metal to the column, mm.
const LEAD_MM: f64 = 3.2;

/// The most lines of a label: the table beside the drawing has all of it.
const MOST_LINES: usize = 3;

/// Words on one line.
pub fn words(text: String, at: Place, face: Face, ink: Ink) -> Run {
    Run {
        at,
        text,
        face,
        size_mm: SIZE_MM,
        ink,
    }
}

/// One value with its lines of text.
struct Label {
    from: Place,
    lines: Vec<String>,
    /// The value, which limits with their uncertainty make longer than a line.
    value: Vec<String>,
}

impl Label {
    fn height(&self) -> f64 {
        (self.lines.len() + self.value.len()) as f64 * LINE_MM
    }
}

/// Draws the values, which are sorted by height, from `left` to `right`; gives where the column
/// ends.
pub fn values(
    anchors: &[Anchored<'_>],
    left: f64,
    right: f64,
    low: f64,
    marks: &mut Vec<Mark>,
) -> f64 {
    let text_x = left + LEAD_MM + 2.0 * RING_MM + 1.0;
    let wrapped =
        |text: &str, face: Face| metrics::wrap(text, face, SIZE_MM, right - text_x - SIZE_MM);
    let labels: Vec<Label> = anchors
        .iter()
        .map(|one| Label {
            from: one.from,
            lines: shortened(wrapped(one.text, Face::Words)),
            value: wrapped(one.value, Face::Strong),
        })
        .collect();
    let wanted: Vec<(f64, f64)> = labels
        .iter()
        .map(|one| (one.from.1 - RING_MM, one.height()))
        .collect();
    let tops = stack(&wanted, GAP_MM, 0.6, low);
    for (place, (label, top)) in labels.iter().zip(&tops).enumerate() {
        let ring = (left + LEAD_MM + RING_MM, top + RING_MM);
        let led = vec![label.from, (left, label.from.1), (ring.0 - RING_MM, ring.1)];
        marks.push(Mark::Line(Stroke::Leader, led));
        marks.extend(number(place + 1, ring));
        marks.extend(lines(label, text_x, *top));
    }
    let ends = tops
        .iter()
        .zip(&wanted)
        .map(|(top, (_, height))| top + height);
    ends.fold(0.0, f64::max)
}

fn shortened(mut lines: Vec<String>) -> Vec<String> {
    if lines.len() > MOST_LINES {
        lines.truncate(MOST_LINES);
        lines[MOST_LINES - 1].push('…');
    }
    lines
}

fn number(number: usize, ring: Place) -> [Mark; 2] {
    let text = number.to_string();
    let half = 0.5 * metrics::width_mm(&text, Face::Strong, SIZE_MM);
    let run = words(
        text,
        (ring.0 - half, ring.1 + 0.36 * SIZE_MM),
        Face::Strong,
        Ink::Accent,
    );
    [Mark::Ring(ring, RING_MM), Mark::Words(run)]
}

fn lines(label: &Label, x: f64, top: f64) -> Vec<Mark> {
    let base = |line: usize| (x, top + RING_MM + 0.36 * SIZE_MM + line as f64 * LINE_MM);
    let text = label.lines.iter().map(|text| (text, Face::Words));
    let value = label.value.iter().map(|text| (text, Face::Strong));
    let all = text.chain(value).enumerate();
    all.map(|(line, (text, face))| Mark::Words(words(text.clone(), base(line), face, Ink::Full)))
        .collect()
}

/// Draws the names of planes at the heights given, which must not fall.
pub fn planes(planes: &[(f64, &'static str)], right: f64, low: f64, marks: &mut Vec<Mark>) {
    let half = 0.36 * SIZE_MM;
    let wanted: Vec<(f64, f64)> = planes
        .iter()
        .map(|(y, _)| (y - 0.5 * LINE_MM, LINE_MM))
        .collect();
    for ((y, name), top) in planes.iter().zip(stack(&wanted, 0.1, 0.0, low + LINE_MM)) {
        let middle = top + 0.5 * LINE_MM;
        let name = word(name);
        let width = metrics::width_mm(&name, Face::Words, SIZE_MM);
        let end = right - LEAD_MM + 1.0;
        marks.push(Mark::Line(
            Stroke::Leader,
            vec![(end + 0.5, middle), (right, *y)],
        ));
        marks.push(Mark::Words(words(
            name,
            (end - width, middle + half),
            Face::Words,
            Ink::Soft,
        )));
    }
}
