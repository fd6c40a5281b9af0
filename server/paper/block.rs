//! A block of the card: the smallest thing that is placed on a page.
//!
//! Blocks hold finished words. Where they stand is a template's to say, and [`super::text`]'s.

use serde::Serialize;

use super::code::Code;
use crate::answer::SectionAnswer;

/// One block.
#[derive(Clone, Debug, Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub enum Block {
    /// Who hands the card out.
    Shop(Shop),
    /// The stamp, segment by segment.
    Stamp(Stamp),
    /// Values by their methods.
    Measures(Measures),
    /// The section drawing.
    Section(SectionAnswer),
    /// The nearest piece of one scheme.
    Nearest(Nearest),
    /// Sentences.
    Notes(Notes),
    /// How the card is opened again.
    Reopen(Reopen),
}

/// Who hands the card out.
#[derive(Clone, Debug, Serialize)]
pub struct Shop {
    /// Its name; may be empty.
    pub name: String,
    /// Its address.
    pub lines: Vec<String>,
}

/// The stamp as read.
#[derive(Clone, Debug, Serialize)]
pub struct Stamp {
    /// The maker.
    pub maker: String,
    /// Instruments, and when it can have been made.
    pub about: String,
    /// Part by part.
    pub parts: Vec<Part>,
    /// The canonical spelling where it differs from what was typed, rivals, what is said besides.
    pub says: Vec<String>,
}

/// What is struck into one part.
#[derive(Clone, Debug, Serialize)]
pub struct Part {
    /// Which, with its thread; empty for a piece of one part.
    pub title: String,
    /// Segment by segment.
    pub segments: Vec<Segment>,
}

/// One segment.
#[derive(Clone, Debug, Serialize)]
pub struct Segment {
    /// As on the metal.
    pub struck: String,
    /// In words; may be empty.
    pub meaning: String,
}

/// The measures of the piece: the same metal by two ways of measuring.
#[derive(Clone, Debug, Serialize)]
pub struct Measures {
    /// Row by row.
    pub rows: Vec<Measure>,
}

/// One quantity.
#[derive(Clone, Debug, Serialize)]
pub struct Measure {
    /// What is meant.
    pub quantity: String,
    /// By the maker's method.
    pub maker: Option<Value>,
    /// By the method of the neutral frame.
    pub neutral: Option<Value>,
    /// One figure for both, the maker's own.
    pub both: Option<Value>,
    /// Why there is none in the neutral frame; empty where there is one.
    pub cannot: String,
}

/// A value, divided where the decimal points stand under one another.
#[derive(Clone, Debug, Serialize)]
pub struct Value {
    /// Sign and figures before the decimal point.
    pub whole: String,
    /// From the decimal point on, unit and uncertainty included.
    pub rest: String,
    /// Limits in words, which break like words; empty where it is a value.
    pub limits: String,
    /// The coverage factor of its uncertainty, "1.96"; empty where it is exact.
    pub k: String,
    /// Where and how the gauge is put, and where the value comes from; empty for a difference.
    pub from: String,
}

/// The nearest piece of one scheme.
#[derive(Clone, Debug, Serialize)]
pub struct Nearest {
    /// Its maker, and that nothing is near where it is so.
    pub maker: String,
    /// Whether it is near.
    pub near: bool,
    /// Its stamp; empty where nothing could be compared.
    pub stamp: String,
    /// When it was made and on how many measures it was compared.
    pub about: String,
    /// Why nothing is near; empty where it is.
    pub far: String,
    /// Measure by measure.
    pub rows: Vec<Step>,
    /// What was not compared, what is outside the scheme's scale.
    pub notes: Vec<String>,
}

/// One measure of two pieces.
#[derive(Clone, Debug, Serialize)]
pub struct Step {
    /// What is compared.
    pub measure: String,
    /// By which method; empty where it is that of the neutral frame, which the measures name.
    pub method: String,
    /// Theirs less ours.
    pub difference: Value,
    /// The difference over its uncertainty, "0.44"; empty where there is none.
    pub e_n: String,
    /// The verdict.
    pub words: String,
}

/// Sentences under a heading.
#[derive(Clone, Debug, Serialize)]
pub struct Notes {
    /// The heading.
    pub title: String,
    /// The sentences.
    pub lines: Vec<String>,
    /// Whether they are cautions.
    pub caution: bool,
}

/// How the card is opened again.
#[derive(Clone, Debug, Serialize)]
pub struct Reopen {
    /// The heading.
    pub title: String,
    /// The address, or what is behind the counter's own where nobody else reaches that.
    pub address: String,
    /// The same as a square; none where no telephone could follow it.
    pub code: Option<Code>,
}
