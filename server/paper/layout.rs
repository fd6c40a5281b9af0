//! A block as marks on paper.
//!
//! Each block is laid out on its own in a given width, from its own upper left corner; where it
//! goes is [`super::sheet`]'s to say. Sizes and columns are those of `card.css`, so that
//! the printed page and the PDF look alike.

use super::block::{
    Block, Measure, Measures, Nearest, Notes, Part, Segment, Shop, Stamp, Step, Value,
};
use super::drawing::{Ink, Mark, Place, Run, Stroke};
use super::metrics::{self, Face, POINT_MM};
use super::section::{self, SvgSize};

/// A block laid out.
#[derive(Clone, Debug, Default)]
pub struct Laid {
    /// Its marks.
    pub marks: Vec<Mark>,
    /// Its height, mm.
    pub height_mm: f64,
}

/// A kind of type.
#[derive(Clone, Copy)]
struct Type {
    face: Face,
    size_mm: f64,
    line_mm: f64,
    ink: Ink,
}

const fn kind(face: Face, points: f64, line_mm: f64, ink: Ink) -> Type {
    Type {
        face,
        size_mm: points * POINT_MM,
        line_mm,
        ink,
    }
}

const NAME: Type = kind(Face::Strong, 11.0, 4.6, Ink::Full);
const ADDRESS: Type = kind(Face::Words, 6.6, 2.9, Ink::Soft);
const HEADING: Type = kind(Face::Strong, 6.6, 3.5, Ink::Accent);
const BODY: Type = kind(Face::Words, 7.2, 3.2, Ink::Full);
const MAKER: Type = kind(Face::Strong, 7.8, 3.5, Ink::Full);
const SMALL: Type = kind(Face::Words, 6.2, 2.6, Ink::Full);
const QUIET: Type = kind(Face::Words, 6.2, 2.6, Ink::Soft);
const STRUCK: Type = kind(Face::Struck, 13.0, 5.0, Ink::Accent);
const STAMP: Type = kind(Face::Struck, 8.6, 3.5, Ink::Accent);

/// Between two columns, mm.
const GUTTER_MM: f64 = 1.6;

/// The most that a meaning spreads beneath its segment, mm.
const MEANING_MM: f64 = 24.0;

/// Between segments, and between the columns of the stamp's rows, mm.
const SEGMENT_GAP_MM: f64 = 2.2;

/// Columns of the tables, as shares of the width: where each starts.
const MEASURE_COLUMNS: [f64; 3] = [0.0, 0.26, 0.63];
const STEP_COLUMNS: [f64; 3] = [0.0, 0.345, 0.625];

/// Width of the headings of notes, as a share of the width.
const NOTE_COLUMN: f64 = 0.15;

/// Room for what stands before a decimal point, in figures of the type.
const WHOLE_FIGURES: f64 = 2.0;

/// Width of a figure, as a share of the size of the type.
const FIGURE: f64 = 0.556;

/// A block in a width.
pub fn block(block: &Block, width_mm: f64) -> Laid {
    let mut pen = Pen {
        width_mm,
        laid: Laid::default(),
    };
    match block {
        Block::Shop(shop) => pen.shop(shop),
        Block::Stamp(stamp) => pen.stamp(stamp),
        Block::Measures(measures) => pen.measures(measures),
        Block::Section(answer) => pen.section(answer),
        Block::Nearest(nearest) => pen.nearest(nearest),
        Block::Notes(notes) => pen.notes(notes),
    }
    pen.laid
}

/// Writes from the top down.
struct Pen {
    width_mm: f64,
    laid: Laid,
}

impl Pen {
    fn down(&mut self, by: f64) {
        self.laid.height_mm += by;
    }

    fn run(&mut self, text: &str, (x, y): Place, kind: Type) {
        if !text.is_empty() {
            let at = (x, y + 0.5 * kind.line_mm + 0.34 * kind.size_mm);
            let run = Run {
                at,
                text: text.to_owned(),
                face: kind.face,
                size_mm: kind.size_mm,
                ink: kind.ink,
            };
            self.laid.marks.push(Mark::Words(run));
        }
    }

    fn line(&mut self, stroke: Stroke, from: Place, to: Place) {
        self.laid.marks.push(Mark::Line(stroke, vec![from, to]));
    }

    /// Words in a column from `top`; gives their height.
    fn column(&mut self, text: &str, (left, top): Place, width: f64, kind: Type) -> f64 {
        if text.is_empty() {
            return 0.0;
        }
        let lines = metrics::wrap(text, kind.face, kind.size_mm, width);
        for (number, line) in lines.iter().enumerate() {
            self.run(line, (left, top + number as f64 * kind.line_mm), kind);
        }
        lines.len() as f64 * kind.line_mm
    }

    /// Words over the whole width, and on below them.
    fn paragraph(&mut self, text: &str, kind: Type) {
        let height = self.column(text, (0.0, self.laid.height_mm), self.width_mm, kind);
        self.down(height);
    }

    fn shop(&mut self, shop: &Shop) {
        self.paragraph(&shop.name, NAME);
        self.paragraph(&shop.lines.join(" \u{b7} "), ADDRESS);
        self.down(0.8);
        let y = self.laid.height_mm;
        self.line(Stroke::Bracket, (0.0, y), (self.width_mm, y));
        self.down(0.4);
    }

    fn stamp(&mut self, stamp: &Stamp) {
        self.headed(&stamp.maker, "", &stamp.about);
        for part in &stamp.parts {
            self.part(part);
        }
        for says in &stamp.says {
            self.paragraph(says, SMALL);
        }
    }

    /// A heading: a maker, a stamp beside it, and what is said about both at the right; each on
    /// a line of its own where they do not fit on one.
    fn headed(&mut self, maker: &str, stamp: &str, about: &str) {
        let width = |text: &str, kind: Type| metrics::width_mm(text, kind.face, kind.size_mm);
        let stamp_x = width(maker, MAKER) + 2.0 * GUTTER_MM;
        let end = if stamp.is_empty() {
            stamp_x
        } else {
            stamp_x + width(stamp, STAMP) + GUTTER_MM
        };
        if end > self.width_mm {
            self.paragraph(maker, MAKER);
            self.paragraph(stamp, STAMP);
            return self.paragraph(about, QUIET);
        }
        let top = self.laid.height_mm;
        self.run(maker, (0.0, top), MAKER);
        self.run(stamp, (stamp_x, top), STAMP);
        self.down(MAKER.line_mm);
        let about_x = self.width_mm - width(about, QUIET);
        if end <= about_x {
            self.run(
                about,
                (about_x, top),
                Type {
                    line_mm: MAKER.line_mm,
                    ..QUIET
                },
            );
        } else if about_x >= 0.0 {
            self.run(about, (about_x, self.laid.height_mm), QUIET);
            self.down(QUIET.line_mm);
        } else {
            self.paragraph(about, QUIET);
        }
    }

    fn part(&mut self, part: &Part) {
        self.down(0.8);
        self.paragraph(&part.title, QUIET);
        let mut row: Vec<(&Segment, f64)> = Vec::new();
        for segment in &part.segments {
            let width = segment_width(segment).min(self.width_mm);
            let taken: f64 = row.iter().map(|(_, width)| width + SEGMENT_GAP_MM).sum();
            if !row.is_empty() && taken + width > self.width_mm {
                self.struck(&row);
                row.clear();
            }
            row.push((segment, width));
        }
        self.struck(&row);
    }

    /// One row of segments, each with its bracket and its meaning.
    fn struck(&mut self, row: &[(&Segment, f64)]) {
        let top = self.laid.height_mm;
        let (mut left, mut height) = (0.0, 0.0_f64);
        for &(segment, width) in row {
            let struck = self.column(&segment.struck, (left, top), width, STRUCK);
            let mut below = struck + 0.5;
            if !segment.meaning.is_empty() {
                self.line(
                    Stroke::Bracket,
                    (left, top + below),
                    (left + width, top + below),
                );
                below +=
                    0.5 + self.column(&segment.meaning, (left, top + below + 0.5), width, SMALL);
            }
            height = height.max(below);
            left += width + SEGMENT_GAP_MM;
        }
        self.down(height + 0.8);
    }

    fn measures(&mut self, measures: &Measures) {
        let top = self.laid.height_mm;
        for (words, start) in [
            ("by the maker's method", MEASURE_COLUMNS[1]),
            ("in the neutral frame", MEASURE_COLUMNS[2]),
        ] {
            self.run(words, (start * self.width_mm, top), HEADING);
        }
        self.down(HEADING.line_mm);
        for row in &measures.rows {
            self.rule();
            self.measure(row);
        }
    }

    /// A line above a row.
    fn rule(&mut self) {
        let y = self.laid.height_mm;
        self.line(Stroke::Rule, (0.0, y), (self.width_mm, y));
        self.down(0.3);
    }

    fn measure(&mut self, row: &Measure) {
        let top = self.laid.height_mm;
        let [_, maker_x, neutral_x] = MEASURE_COLUMNS.map(|share| share * self.width_mm);
        let mut height = self.column(&row.quantity, (0.0, top), maker_x - GUTTER_MM, BODY);
        if let Some(value) = &row.maker {
            height =
                height.max(self.sourced(value, (maker_x, top), neutral_x - maker_x - GUTTER_MM));
        }
        if let Some(value) = &row.neutral {
            height = height.max(self.sourced(value, (neutral_x, top), self.width_mm - neutral_x));
        }
        height = height.max(self.column(
            &row.cannot,
            (neutral_x, top),
            self.width_mm - neutral_x,
            SMALL,
        ));
        self.down(height + 0.4);
    }

    /// A value and beneath it where it comes from; gives the height of both.
    fn sourced(&mut self, value: &Value, (x, top): Place, room: f64) -> f64 {
        let height = self.value(value, (x, top), room, BODY);
        height + self.column(&value.from, (x, top + height), room, QUIET)
    }

    /// A value, its decimal point under the others', or limits as words; gives the height.
    fn value(&mut self, value: &Value, (x, top): Place, width: f64, kind: Type) -> f64 {
        if !value.limits.is_empty() {
            return self.column(&value.limits, (x, top), width, kind);
        }
        let whole = metrics::width_mm(&value.whole, kind.face, kind.size_mm);
        let room = WHOLE_FIGURES * FIGURE * kind.size_mm;
        self.run(
            &format!("{}{}", value.whole, value.rest),
            (x + (room - whole).max(0.0), top),
            kind,
        );
        kind.line_mm
    }

    fn section(&mut self, answer: &crate::answer::SectionAnswer) {
        let size = SvgSize {
            width_mm: self.width_mm,
            ..SvgSize::CARD
        };
        let drawing = section::draw(answer, size);
        self.laid.marks.extend(drawing.marks);
        self.down(drawing.height_mm);
    }

    fn nearest(&mut self, nearest: &Nearest) {
        self.headed(&nearest.maker, &nearest.stamp, &nearest.about);
        self.paragraph(&nearest.far, SMALL);
        for row in &nearest.rows {
            self.step(row);
        }
        for note in &nearest.notes {
            self.rule();
            self.paragraph(note, QUIET);
        }
    }

    fn step(&mut self, row: &Step) {
        self.rule();
        let top = self.laid.height_mm;
        let [_, difference_x, words_x] = STEP_COLUMNS.map(|share| share * self.width_mm);
        let measure = self.column(&row.measure, (0.0, top), difference_x - GUTTER_MM, SMALL);
        let room = words_x - difference_x - GUTTER_MM;
        let value = self.value(&row.difference, (difference_x, top), room, SMALL);
        let words = self.column(&row.words, (words_x, top), self.width_mm - words_x, SMALL);
        self.down(measure.max(words).max(value) + 0.2);
    }

    /// The heading at the left, the sentences beside it.
    fn notes(&mut self, notes: &Notes) {
        let left = NOTE_COLUMN * self.width_mm;
        let top = self.laid.height_mm;
        let heading = self.column(
            &notes.title,
            (0.0, top),
            left - GUTTER_MM,
            Type {
                line_mm: SMALL.line_mm,
                ..HEADING
            },
        );
        for line in &notes.lines {
            let height = self.column(
                line,
                (left, self.laid.height_mm),
                self.width_mm - left,
                SMALL,
            );
            self.down(height + 0.2);
        }
        let missing = heading - (self.laid.height_mm - top);
        self.down(missing.max(0.0));
    }
}

/// What a segment takes: its letters, or its meaning as far as that may spread.
fn segment_width(segment: &Segment) -> f64 {
    let struck = metrics::width_mm(&segment.struck, STRUCK.face, STRUCK.size_mm);
    let meaning = |text: &str| metrics::width_mm(text, SMALL.face, SMALL.size_mm);
    let longest = segment.meaning.split(' ').map(meaning).fold(0.0, f64::max);
    struck
        .max(longest)
        .max(meaning(&segment.meaning).min(MEANING_MM))
        + 0.2
}
