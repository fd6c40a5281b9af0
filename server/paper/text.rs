//! The card as plain text, for receipt printers.
//!
//! ASCII and `±`, no line over the width, nothing behind the last letter of a line. Values of
//! one table stand with their decimal points under one another, their ends at the right edge where
//! the words leave room.

use super::block::{Block, Measures, Nearest, Notes, Part, Reopen, Shop, Stamp, Step, Value};
use super::content;
use super::signs;
use super::wrap::{HOLD, wrap};
use crate::card::Card;

/// The usual width of a receipt, characters.
pub const COLUMNS: usize = 42;

/// The narrowest and the widest that are written, characters.
pub const LIMITS: (usize, usize) = (32, 80);

/// The card as text; a width beyond the limits is taken as the nearest within.
pub fn text(card: &Card, columns: usize) -> String {
    let columns = columns.clamp(LIMITS.0, LIMITS.1);
    let blocks = content::blocks(card, signs::plain);
    let written: Vec<String> = blocks
        .iter()
        .map(|block| Receipt::of(block, columns))
        .collect();
    let parts = written.iter().filter(|part| !part.is_empty());
    parts.map(String::as_str).collect::<Vec<_>>().join("\n")
}

/// One block, line by line.
struct Receipt {
    columns: usize,
    out: String,
}

impl Receipt {
    fn of(block: &Block, columns: usize) -> String {
        let mut receipt = Self {
            columns,
            out: String::new(),
        };
        match block {
            Block::Shop(shop) => receipt.shop(shop),
            Block::Stamp(stamp) => receipt.stamp(stamp),
            Block::Measures(measures) => receipt.measures(measures),
            // A receipt has no pictures; the values of the section are those of the tables.
            Block::Section(_) => {}
            Block::Nearest(nearest) => receipt.nearest(nearest),
            Block::Notes(notes) => receipt.notes(notes),
            Block::Reopen(reopen) => receipt.reopen(reopen),
        }
        receipt.out
    }

    fn line(&mut self, text: &str) {
        self.out.push_str(text.replace(HOLD, " ").trim_end());
        self.out.push('\n');
    }

    /// Words broken at the edge, later lines two further in than the first.
    fn words(&mut self, text: &str, indent: usize) {
        if text.is_empty() {
            return;
        }
        let first = " ".repeat(indent);
        let later = " ".repeat(indent + 2);
        for (number, line) in self.broken(text, indent + 2).iter().enumerate() {
            let before = if number == 0 { &first } else { &later };
            self.line(&format!("{before}{line}"));
        }
    }

    fn broken(&self, text: &str, indent: usize) -> Vec<String> {
        wrap(text, |line| line.chars().count() + indent <= self.columns)
    }

    fn heading(&mut self, text: &str) {
        for line in self.broken(&text.to_uppercase(), 0) {
            self.line(&line);
        }
        self.line(&"-".repeat(self.columns));
    }

    fn shop(&mut self, shop: &Shop) {
        self.words(&shop.name, 0);
        for line in &shop.lines {
            self.words(line, 0);
        }
        if !self.out.is_empty() {
            self.line(&"=".repeat(self.columns));
        }
    }

    fn stamp(&mut self, stamp: &Stamp) {
        self.words(&stamp.maker, 0);
        self.words(&stamp.about, 0);
        for part in &stamp.parts {
            self.part(part);
        }
        for says in &stamp.says {
            self.words(says, 0);
        }
    }

    fn part(&mut self, part: &Part) {
        let struck: Vec<&str> = part
            .segments
            .iter()
            .map(|one| one.struck.as_str())
            .collect();
        self.words(&part.title, 0);
        self.words(&format!("[ {} ]", struck.join(" ")), 0);
        for segment in part.segments.iter().filter(|one| !one.meaning.is_empty()) {
            self.words(&format!("{}: {}", segment.struck, segment.meaning), 2);
        }
    }

    fn measures(&mut self, measures: &Measures) {
        self.heading(&say!("Measures"));
        let values = measures
            .rows
            .iter()
            .flat_map(|row| row.maker.iter().chain(&row.neutral).chain(&row.both));
        let field = Field::of(values);
        for row in &measures.rows {
            self.words(&row.quantity, 0);
            self.sourced(&say!("maker"), row.maker.as_ref(), &field);
            self.sourced(&say!("neutral"), row.neutral.as_ref(), &field);
            self.sourced(&say!("both"), row.both.as_ref(), &field);
            self.words(&row.cannot, 2);
        }
    }

    fn sourced(&mut self, whose: &str, value: Option<&Value>, field: &Field) {
        if let Some(value) = value {
            self.value(&format!("{whose}: {}", value.from), value, field);
        }
    }

    /// Words, and the value at the end of their last line or on one of its own.
    fn value(&mut self, words: &str, value: &Value, field: &Field) {
        if !value.limits.is_empty() {
            self.words(words, 2);
            return self.words(&format!("{}{}", value.limits, factor(value)), 4);
        }
        let aligned = field.aligned(value, self.columns);
        let free = aligned.chars().count() - aligned.trim_start().chars().count();
        let lines = self.broken(words, 4);
        let last = lines.len() - 1;
        for (number, line) in lines.iter().enumerate() {
            let label = format!("{}{line}", " ".repeat(if number == 0 { 2 } else { 4 }));
            if number == last && label.chars().count() < free {
                return self.line(&format!("{label:free$}{}", aligned.trim_start()));
            }
            self.line(&label);
        }
        self.line(&aligned);
    }

    fn nearest(&mut self, nearest: &Nearest) {
        self.heading(&nearest.maker);
        self.words(&nearest.stamp, 0);
        self.words(&nearest.about, 0);
        self.words(&nearest.far, 0);
        let field = Field::of(nearest.rows.iter().map(|row| &row.difference));
        for row in &nearest.rows {
            self.words(&phrases(&[&row.measure, &row.method]), 0);
            self.value(&judged(row), &row.difference, &field);
        }
        for note in &nearest.notes {
            self.words(note, 0);
        }
    }

    fn reopen(&mut self, reopen: &Reopen) {
        self.heading(&reopen.title);
        self.words(&reopen.address, 0);
    }

    fn notes(&mut self, notes: &Notes) {
        self.heading(&notes.title);
        for line in &notes.lines {
            self.words(line, 0);
        }
    }
}

/// Phrases that are not empty, one behind the other.
fn phrases(all: &[&str]) -> String {
    let said: Vec<&str> = all.iter().copied().filter(|one| !one.is_empty()).collect();
    said.join(", ")
}

/// The verdict with what it rests on.
fn judged(row: &Step) -> String {
    match row.e_n.is_empty() {
        true => row.words.clone(),
        false => format!("{} (E_n{HOLD}{})", row.words, row.e_n),
    }
}

/// The factor of a value, as it stands behind it.
fn factor(value: &Value) -> String {
    match value.k.is_empty() {
        true => String::new(),
        false => format!(", k{HOLD}{}", value.k),
    }
}

/// How wide the values of a table are before and after the point.
struct Field {
    whole: usize,
    rest: usize,
}

impl Field {
    fn of<'a>(values: impl Iterator<Item = &'a Value>) -> Self {
        let none = Self { whole: 0, rest: 0 };
        values.fold(none, |field, value| Self {
            whole: field.whole.max(value.whole.chars().count()),
            rest: field
                .rest
                .max(value.rest.chars().count() + factor(value).chars().count()),
        })
    }

    /// A value with spaces before it, so that its point stands under the others'.
    fn aligned(&self, value: &Value, columns: usize) -> String {
        let point = columns
            .saturating_sub(self.rest)
            .max(self.whole.min(columns));
        let whole = format!("{:>point$}", value.whole);
        format!("{whole}{}{}", value.rest, factor(value))
    }
}
