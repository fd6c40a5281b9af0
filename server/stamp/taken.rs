//! Which of the characters that were typed were taken for which glyphs.

use super::automaton::Automaton;
use super::column::Move;
use super::query::{Query, Seen};
use super::typed::{HARD_BLANK, Typed};

/// Something that was not read as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Taken {
    /// The character typed, from 0, at which it is, or before which something is missing.
    pub position: usize,
    /// What was typed; empty where something is missing.
    pub seen: String,
    /// What was meant; empty where a glyph was never struck.
    pub meant: String,
}

/// What of a text was not read as it stands, in order. What is missing in one place is one.
pub(super) fn taken(
    automaton: &Automaton,
    query: &Query,
    typed: &Typed,
    symbols: &[u32],
    moves: &[(Move, usize, usize)],
) -> Vec<Taken> {
    let glyph = |place: usize| automaton.symbols[symbols[place] as usize].glyph;
    let mut found: Vec<(usize, usize, String)> = Vec::new();
    for &(step, meant, place) in moves {
        let (places, glyphs) = match step {
            Move::Taken => (1, 1),
            Move::Lost => (0, 1),
            Move::Passed => (1, 0),
            Move::Split => (2, 1),
            Move::Swapped => (2, 2),
        };
        let struck: String = (meant..meant + glyphs)
            .map(glyph)
            .map(|one| if one == HARD_BLANK { ' ' } else { one })
            .collect();
        match found.last_mut() {
            Some(last) if joins(query, step, last, place) => {
                last.1 = place + places;
                last.2.push_str(&struck);
            }
            _ if step == Move::Taken && is_plain(query, symbols[meant], place) => {}
            _ => found.push((place, place + places, struck)),
        }
    }
    found
        .into_iter()
        .filter_map(|one| shown(query, typed, one))
        .collect()
}

/// Whether a glyph lost, or a stretch passed, belongs to what is missing already.
fn joins(query: &Query, step: Move, last: &(usize, usize, String), place: usize) -> bool {
    let stretch = |place: usize| matches!(query.seen.get(place), Some(Seen::Stretch | Seen::Open));
    let missing = last.1 == last.0 || (last.1 == last.0 + 1 && stretch(last.0));
    match step {
        Move::Lost => missing && last.1 == place,
        Move::Passed => missing && last.1 == place && stretch(place),
        _ => false,
    }
}

fn is_plain(query: &Query, symbol: u32, place: usize) -> bool {
    query.substitution(symbol)[place] == 0.0 && matches!(query.seen[place], Seen::Glyph(_))
}

/// Blanks that are not there, and open ends that hold nothing, are not worth a word.
fn shown(
    query: &Query,
    typed: &Typed,
    (start, end, meant): (usize, usize, String),
) -> Option<Taken> {
    let at = |place: usize| query.typed.get(place).copied().unwrap_or(typed.len());
    let open = |place: usize| matches!(query.seen.get(place), Some(Seen::Open));
    let (first, last) = (
        if open(start) && start == 0 {
            at(1)
        } else {
            at(start)
        },
        if end > start { at(end - 1) + 1 } else { 0 },
    );
    let seen = if end == start || open(start) {
        String::new()
    } else {
        typed.part(first, last).text()
    };
    let position = typed
        .stretch(first.min(typed.len()), first.min(typed.len()))
        .0;
    let meant = meant.trim().to_owned();
    (!seen.trim().is_empty() || !meant.is_empty()).then_some(Taken {
        position,
        seen,
        meant,
    })
}
