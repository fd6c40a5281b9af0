//! Legible stamps: every reading of a whole text, exactly.
//!
//! All templates of all schemes read the text; what is left are rivals, ranked by the
//! liberties they take, then by the order of the schemes. Worn stamps are for
//! [`super::find`]. Parts of one piece are read together where ` + ` stands between them, and
//! where a `+` without blanks does in a text that no scheme reads otherwise.

use std::collections::HashSet;
use std::sync::Arc;

use super::grammar::Grammar;
use super::meaning::{kind, meaning};
use super::reading::{PartReading, Reading, Segment, SegmentKind};
use super::typed::{LONGEST, Typed};
use super::walk::{Bound, Liberties, Read, Walk, Way, What};
use crate::scheme::{Binding, PartKind, Scheme, Years};

/// Schemes made ready for reading. Making one costs a walk over all their names; reading
/// with it then depends on the text alone.
#[derive(Debug)]
pub struct Decoder {
    grammars: Vec<Grammar>,
}

/// All readings of a text, those that take the fewest liberties first.
#[derive(Clone, Debug)]
pub struct Decoded {
    /// The readings.
    pub readings: Vec<Reading>,
    /// Whether there can be no others: false where the work was cut short, or the text is
    /// longer than [`LONGEST`].
    pub complete: bool,
}

/// All readings of a whole, legible stamp. For more than one text, make a [`Decoder`] once.
pub fn decode(schemes: &[Arc<Scheme>], text: &str) -> Decoded {
    Decoder::new(schemes).decode(text)
}

/// More readings than anybody looks at; beyond them a text is not read further.
const MOST_READINGS: usize = 1000;

/// The most parts that one piece has (common practice, no source: rim, cup, backbore).
const MOST_PARTS: usize = 4;

impl Decoder {
    /// Makes schemes ready.
    pub fn new(schemes: &[Arc<Scheme>]) -> Self {
        Self {
            grammars: schemes.iter().cloned().map(Grammar::new).collect(),
        }
    }

    pub(super) fn grammars(&self) -> &[Grammar] {
        &self.grammars
    }

    /// All readings of `text` by all schemes.
    pub fn decode(&self, text: &str) -> Decoded {
        if text.chars().count() > LONGEST {
            return Decoded {
                readings: Vec::new(),
                complete: false,
            };
        }
        let source = Source {
            characters: text.chars().collect(),
            typed: Typed::of(text),
        };
        let (mut rivals, mut complete) = self.rivals(|grammar| source.read_by(grammar));
        if rivals.is_empty() && source.typed.glyphs.contains(&'+') {
            let pieces = source.typed.loose_pieces();
            let (loose, all) = self.rivals(|grammar| source.together(grammar, &pieces));
            rivals = loose;
            complete &= all;
        }
        rivals.sort_by(|one, other| one.0.cmp(&other.0));
        let mut known = HashSet::new();
        rivals.retain(|(rank, _)| known.insert((rank.scheme, rank.said.clone())));
        complete &= rivals.len() <= MOST_READINGS;
        rivals.truncate(MOST_READINGS);
        Decoded {
            readings: rivals.into_iter().map(|(_, reading)| reading).collect(),
            complete,
        }
    }

    /// What all schemes read, one by one.
    fn rivals(&self, read_by: impl Fn(&Grammar) -> (Vec<Rival>, bool)) -> Rivals {
        let mut complete = true;
        let mut rivals = Vec::new();
        for (order, grammar) in self.grammars.iter().enumerate() {
            let (read, all) = read_by(grammar);
            complete &= all;
            rivals.extend(read.into_iter().map(|rival| rival.ranked(order, grammar)));
        }
        (rivals, complete)
    }
}

/// Rivals with their ranks, and whether there can be no others.
type Rivals = (Vec<(Rank, Reading)>, bool);

/// The policy by which rivals follow each other.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Rank {
    liberties: Liberties,
    spellings: usize,
    scheme: usize,
    canonical: String,
    stamps: Vec<usize>,
    said: String,
}

/// A reading of all parts, before it is ranked.
#[derive(Clone, Default)]
struct Rival {
    liberties: Liberties,
    parts: Vec<PartReading>,
}

impl Rival {
    fn ranked(self, scheme: usize, grammar: &Grammar) -> (Rank, Reading) {
        let reading = Reading {
            scheme: grammar.scheme.clone(),
            parts: self.parts,
        };
        let rank = Rank {
            liberties: self.liberties,
            spellings: reading.parts.iter().map(|part| part.spelling).sum(),
            scheme,
            canonical: reading.canonical(),
            stamps: reading.parts.iter().map(|part| part.stamp).collect(),
            said: reading.said(),
        };
        (rank, reading)
    }

    /// This and one part more, where the parts can belong to one piece.
    fn and(&self, other: &Self) -> Option<Self> {
        let part = other.parts.first()?;
        let whole = |one: &PartReading| one.part == PartKind::OnePiece;
        let apart = !whole(part)
            && self
                .parts
                .iter()
                .all(|one| one.part != part.part && !whole(one));
        apart.then(|| Self {
            liberties: Liberties {
                separators: self.liberties.separators + other.liberties.separators,
                case: self.liberties.case + other.liberties.case,
            },
            parts: self.parts.iter().chain(&other.parts).cloned().collect(),
        })
    }
}

/// The text to read.
struct Source {
    characters: Vec<char>,
    typed: Typed,
}

impl Source {
    fn read_by(&self, grammar: &Grammar) -> (Vec<Rival>, bool) {
        let (mut rivals, complete) = self.one_stamp(grammar, &self.typed);
        let (together, all) = self.together(grammar, &self.typed.pieces());
        rivals.extend(together);
        (rivals, complete && all)
    }

    /// Stamps of several parts of one piece.
    fn together(&self, grammar: &Grammar, pieces: &[Typed]) -> (Vec<Rival>, bool) {
        if pieces.len() < 2 || pieces.len() > MOST_PARTS {
            return (Vec::new(), true);
        }
        let mut complete = true;
        let mut together = vec![Rival::default()];
        for piece in pieces {
            let (read, all) = self.one_stamp(grammar, piece);
            complete &= all;
            together = together
                .iter()
                .flat_map(|one| read.iter().filter_map(|other| one.and(other)))
                .collect();
            complete &= together.len() <= MOST_READINGS;
            together.truncate(MOST_READINGS);
        }
        (together, complete)
    }

    fn one_stamp(&self, grammar: &Grammar, typed: &Typed) -> (Vec<Rival>, bool) {
        let mut complete = true;
        let mut rivals = Vec::new();
        for program in &grammar.programs {
            let (ways, all) = Walk::all(grammar, program, typed, false);
            complete &= all;
            let parts = ways.iter().map(|way| {
                let part = self.part(grammar, (program.stamp, program.spelling), typed, way);
                Rival {
                    liberties: way.liberties,
                    parts: vec![part],
                }
            });
            rivals.extend(parts.filter(|rival| possible(rival.parts[0].years)));
        }
        (rivals, complete)
    }

    fn part(
        &self,
        grammar: &Grammar,
        (stamp, spelling): (usize, usize),
        typed: &Typed,
        way: &Way<'_>,
    ) -> PartReading {
        let scheme = &grammar.scheme;
        let bindings = bindings(way);
        PartReading {
            part: scheme.stamps[stamp].part,
            stamp,
            spelling,
            years: years(scheme, stamp, &bindings),
            bindings,
            segments: self.segments(scheme, typed, way),
        }
    }

    fn segments(&self, scheme: &Scheme, typed: &Typed, way: &Way<'_>) -> Vec<Segment> {
        let mut segments = Vec::new();
        for read in merged(&way.reads) {
            let (what, meaning) = match &read.what {
                What::Bound(bound) => {
                    let binding = bound.binding();
                    (kind(&binding), meaning(scheme, &binding))
                }
                What::Literal(glyph) if glyph.is_alphanumeric() => {
                    (SegmentKind::Literal, STRUCK.to_owned())
                }
                _ => (SegmentKind::Separator, PARTS.to_owned()),
            };
            let (start, length) = typed.stretch(read.start, read.end);
            let text: String = self.characters[start..start + length].iter().collect();
            if !text.trim().is_empty() {
                segments.push(Segment {
                    text,
                    start,
                    length,
                    what,
                    meaning,
                });
            }
        }
        segments
    }
}

pub(super) const STRUCK: &str = "struck as it stands";
pub(super) const PARTS: &str = "parts one sign from the next";

/// What a way binds, in the order of the text.
pub(super) fn bindings(way: &Way<'_>) -> Vec<Binding> {
    way.bound().map(Bound::binding).collect()
}

/// Neighbouring letters of a template as one stretch.
fn merged<'a>(reads: &[Read<'a>]) -> Vec<Read<'a>> {
    let letter =
        |read: &Read<'_>| matches!(read.what, What::Literal(glyph) if glyph.is_alphanumeric());
    let mut merged: Vec<Read<'a>> = Vec::new();
    for read in reads {
        match merged.last_mut() {
            Some(last) if letter(last) && letter(read) => last.end = read.end,
            _ => merged.push(*read),
        }
    }
    merged
}

/// When a stamp that says this can have been struck.
pub(super) fn years(scheme: &Scheme, stamp: usize, bindings: &[Binding]) -> Years {
    bindings
        .iter()
        .fold(scheme.stamps[stamp].years, |years, binding| match binding {
            Binding::Series { series, word } => years.both(scheme.series[*series].words[*word].1),
            Binding::Entry(entry) => years.both(scheme.entries[*entry].years),
            _ => years,
        })
}

/// Whether any year is left: a word given up before the template came in is no reading.
pub(super) fn possible(years: Years) -> bool {
    !matches!((years.from, years.until), (Some(from), Some(until)) if until < from)
}
