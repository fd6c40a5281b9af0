//! What a marking says, segment by segment.
//!
//! A [`Reading`] has one part for each stamp in it (top, backbore …); a part has what it
//! binds and the segments of the text, each with its meaning in words. What the bindings
//! make of the metal is [`Scheme::make`].

use std::sync::Arc;

use super::encode::encode;
use crate::scheme::{Binding, PartKind, Scheme, Years};

/// One way to read a marking.
#[derive(Clone, Debug)]
pub struct Reading {
    /// The scheme that reads it so.
    pub scheme: Arc<Scheme>,
    /// The stamps of the parts, as they follow each other in the text.
    pub parts: Vec<PartReading>,
}

/// The stamp of one part.
#[derive(Clone, Debug, PartialEq)]
pub struct PartReading {
    /// Which part bears it.
    pub part: PartKind,
    /// Place among the scheme's stamps.
    pub stamp: usize,
    /// Which template: 0 the one that is written, then those in `also`.
    pub spelling: usize,
    /// What it says, in the order of the template.
    pub bindings: Vec<Binding>,
    /// The text, cut up; nothing but blanks is left out.
    pub segments: Vec<Segment>,
    /// When it can have been struck.
    pub years: Years,
}

/// A stretch of the text and what it means.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Segment {
    /// As it stands in the text.
    pub text: String,
    /// First character, from 0.
    pub start: usize,
    /// In characters.
    pub length: usize,
    /// What it stands for.
    pub what: SegmentKind,
    /// In words; stands alone.
    pub meaning: String,
}

/// What a segment stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SegmentKind {
    /// Struck as it stands.
    Literal,
    /// A series.
    Series,
    /// An entry of the catalogue.
    Entry,
    /// The figure at this place.
    Figure(usize),
    /// The mark at this place.
    Mark(usize),
    /// Only parts one sign from the next.
    Separator,
}

impl Reading {
    /// What all parts say together.
    pub fn bindings(&self) -> Vec<Binding> {
        self.parts
            .iter()
            .flat_map(|part| part.bindings.iter().cloned())
            .collect()
    }

    /// Places of the stamps of its parts.
    pub fn stamps(&self) -> Vec<usize> {
        self.parts.iter().map(|part| part.stamp).collect()
    }

    /// What tells a reading of a scheme from another: all that is said, in one order.
    pub(super) fn said(&self) -> String {
        let parts = self.parts.iter().map(|part| {
            let mut said: Vec<String> = part.bindings.iter().map(said_by).collect();
            said.sort();
            format!("{:?}: {}", part.part, said.join(", "))
        });
        let mut said: Vec<String> = parts.collect();
        said.sort();
        said.join(" + ")
    }

    /// The canonical spelling, parts in the order of [`PartKind::ALL`] joined by ` + `.
    pub fn canonical(&self) -> String {
        let mut parts: Vec<&PartReading> = self.parts.iter().collect();
        parts.sort_by_key(|part| PartKind::ALL.iter().position(|kind| *kind == part.part));
        let spelled = parts.iter().map(|part| {
            let written = encode(&self.scheme, part.stamp, &part.bindings);
            written.unwrap_or_else(|| part.segments.iter().map(|one| one.text.as_str()).collect())
        });
        spelled.collect::<Vec<_>>().join(" + ")
    }
}

fn said_by(binding: &Binding) -> String {
    match binding {
        Binding::Series { series, word } => format!("series {series} {word}"),
        Binding::Entry(entry) => format!("entry {entry}"),
        Binding::Figure(figure, sign) => format!("figure {figure} {}", sign.text),
        Binding::Mark { mark, code } => format!("mark {mark} {code}"),
    }
}
