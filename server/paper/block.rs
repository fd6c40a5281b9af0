//! A block of the card: the smallest thing that is placed on a page.
//!
//! Blocks hold finished words. A block stays whole where a page can hold it; [`Block::split`] is
//! for those that no page holds.

use serde::Serialize;

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

/// The measures of the piece: the same metal by two ways of measuring, side by side.
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
    /// Where and how the gauge is put, and where the value comes from; empty for a difference.
    pub from: String,
}

/// The nearest piece of one scheme.
#[derive(Clone, Debug, Serialize)]
pub struct Nearest {
    /// Its maker.
    pub maker: String,
    /// Its stamp; empty where nothing could be compared.
    pub stamp: String,
    /// When it was made and on how many measures it was compared.
    pub about: String,
    /// What is said first where it is not near; empty where it is.
    pub far: String,
    /// Measure by measure.
    pub rows: Vec<Step>,
    /// What was not compared, what is outside the scheme's scale.
    pub notes: Vec<String>,
}

/// One measure of two pieces.
#[derive(Clone, Debug, Serialize)]
pub struct Step {
    /// What is compared, by which method.
    pub measure: String,
    /// Theirs less ours.
    pub difference: Value,
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

impl Block {
    /// The block in two, the first with `count` rows; none where that is no division.
    pub fn split(&self, count: usize) -> Option<(Self, Self)> {
        match self {
            Self::Measures(block) => {
                let (head, tail) = divided(&block.rows, count)?;
                let part = |rows| Self::Measures(Measures { rows });
                Some((part(head), part(tail)))
            }
            Self::Nearest(block) => {
                let (head, tail) = block.divided(count)?;
                Some((Self::Nearest(head), Self::Nearest(tail)))
            }
            Self::Notes(block) => {
                let (head, tail) = divided(&block.lines, count)?;
                let part = |lines| {
                    Self::Notes(Notes {
                        lines,
                        ..block.clone()
                    })
                };
                Some((part(head), part(tail)))
            }
            Self::Stamp(block) => {
                let (head, tail) = block.divided(count)?;
                Some((Self::Stamp(head), Self::Stamp(tail)))
            }
            Self::Shop(_) | Self::Section(_) => None,
        }
    }

    /// How many rows it can be split by.
    pub fn rows(&self) -> usize {
        match self {
            Self::Measures(block) => block.rows.len(),
            Self::Nearest(block) => block.rows.len() + block.notes.len(),
            Self::Notes(block) => block.lines.len(),
            Self::Stamp(block) => block.segments() + block.says.len(),
            Self::Shop(_) | Self::Section(_) => 0,
        }
    }
}

impl Stamp {
    fn segments(&self) -> usize {
        self.parts.iter().map(|part| part.segments.len()).sum()
    }

    /// In two, the first with `count` segments, or with all of them and the sentences that `count` leaves.
    fn divided(&self, count: usize) -> Option<(Self, Self)> {
        if count == 0 || count >= self.segments() + self.says.len() {
            return None;
        }
        let (mut head, mut tail) = (self.clone(), self.clone());
        let says = count.saturating_sub(self.segments());
        head.says.truncate(says);
        tail.says.drain(..says);
        tail.about.clear();
        let mut place = 0;
        for (first, rest) in head.parts.iter_mut().zip(&mut tail.parts) {
            let room = count.saturating_sub(place).min(first.segments.len());
            place += first.segments.len();
            first.segments.truncate(room);
            rest.segments.drain(..room);
        }
        head.parts.retain(|part| !part.segments.is_empty());
        tail.parts.retain(|part| !part.segments.is_empty());
        Some((head, tail))
    }
}

impl Nearest {
    /// In two, the first with `count` rows, or with all of them and the notes that `count` leaves.
    fn divided(&self, count: usize) -> Option<(Self, Self)> {
        if count == 0 || count >= self.rows.len() + self.notes.len() {
            return None;
        }
        let (mut head, mut tail) = (self.clone(), self.clone());
        let (rows, notes) = (
            count.min(self.rows.len()),
            count.saturating_sub(self.rows.len()),
        );
        head.rows.truncate(rows);
        head.notes.truncate(notes);
        tail.rows.drain(..rows);
        tail.notes.drain(..notes);
        tail.far.clear();
        Some((head, tail))
    }
}

fn divided<T: Clone>(rows: &[T], count: usize) -> Option<(Vec<T>, Vec<T>)> {
    let (head, tail) = rows.split_at_checked(count)?;
    (!head.is_empty() && !tail.is_empty()).then(|| (head.to_vec(), tail.to_vec()))
}
