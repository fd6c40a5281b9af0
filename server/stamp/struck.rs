//! What a reading takes each place of a text for.
//!
//! A place is a character that was typed, or the gap before one. What is blank is nothing. With
//! this, readings of one text can be held against each other place by place ([`super::look`]);
//! what of it is worth telling about one reading is [`super::taken`].

use super::automaton::Automaton;
use super::column::Move;
use super::query::{Query, Seen};
use super::typed::{HARD_BLANK, Typed};

/// A place of what was typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Spot {
    /// Before the character of this number, from 0; the number of characters where it is the end.
    Before(usize),
    /// The character of this number, from 0.
    At(usize),
}

/// What is meant at a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Struck {
    /// Where.
    pub spot: Spot,
    /// The glyphs; none where what stands there means nothing.
    pub meant: String,
}

/// What the glyphs of a reading are at each place, in the order of the text.
pub(super) fn struck(
    automaton: &Automaton,
    query: &Query,
    typed: &Typed,
    symbols: &[u32],
    moves: &[(Move, usize, usize)],
) -> Vec<Struck> {
    let glyph = |place: usize| match automaton.symbols[symbols[place] as usize].glyph {
        ' ' | HARD_BLANK => String::new(),
        glyph => glyph.to_string(),
    };
    let mut all: Vec<Struck> = Vec::new();
    for &(step, meant, place) in moves {
        let at = |place: usize| spot(query, typed, place);
        let taken = match step {
            Move::Taken => vec![(at(place), glyph(meant))],
            Move::Lost => vec![(before(query, typed, place), glyph(meant))],
            Move::Passed => vec![(at(place), String::new())],
            Move::Split => vec![(at(place), glyph(meant)), (at(place + 1), String::new())],
            Move::Swapped => vec![(at(place), glyph(meant)), (at(place + 1), glyph(meant + 1))],
        };
        for (spot, meant) in taken {
            match all.last_mut() {
                Some(last) if last.spot == spot => last.meant.push_str(&meant),
                _ => all.push(Struck { spot, meant }),
            }
        }
    }
    all
}

/// A place of the query as one of what was typed; open ends are gaps.
fn spot(query: &Query, typed: &Typed, place: usize) -> Spot {
    match query.seen[place] {
        Seen::Open => before(query, typed, place),
        _ => Spot::At(character(query, typed, place)),
    }
}

/// The gap before a place, which is the stretch itself where one was typed there.
fn before(query: &Query, typed: &Typed, place: usize) -> Spot {
    match query.seen.get(place) {
        Some(Seen::Stretch) => Spot::At(character(query, typed, place)),
        Some(Seen::Open) if place == 0 => Spot::Before(character(query, typed, 1)),
        _ => Spot::Before(character(query, typed, place)),
    }
}

/// The first character that a place came from; the number of characters beyond the last.
fn character(query: &Query, typed: &Typed, place: usize) -> usize {
    let glyph = query.typed.get(place).copied().unwrap_or(typed.len());
    typed.stretch(glyph, glyph).0
}
