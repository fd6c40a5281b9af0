//! Worn stamps of several parts of one piece.
//!
//! Each part is looked for by itself; then those of one scheme that are on different parts
//! are put together. A piece is of one scheme, so the prior of the scheme counts once.
//! Only the best of each part are put together: a piece whose parts are all far down is missed.

use super::automaton::Automaton;
use super::find::{Answer, FoundReading};
use super::hunt::Seeking;
use super::typed::Typed;
use crate::scheme::PartKind;

/// Readings of each part that are put together with those of the others.
const BEST_OF_PART: usize = 24;

/// Pieces that are kept while parts are added.
const MOST_KEPT: usize = 256;

/// The best pieces whose parts bear these stamps; none where there is one stamp only, or no
/// scheme has such parts.
pub(super) fn together(
    automaton: &Automaton,
    stamps: &[Typed],
    limit: usize,
    way: Seeking,
) -> Option<Answer> {
    if stamps.len() < 2 || stamps.len() > PartKind::ALL.len() || stamps.iter().any(Typed::is_empty)
    {
        return None;
    }
    let parts: Vec<Answer> = stamps
        .iter()
        .map(|stamp| automaton.answer(stamp, BEST_OF_PART.max(limit), way))
        .collect();
    let again = (automaton.schemes.len() as f64).ln();
    let (first, others) = parts.split_first()?;
    let mut pieces = first.readings.clone();
    for other in others {
        let more = |piece: &FoundReading| {
            other
                .readings
                .iter()
                .filter_map(|part| joined(piece, part, again))
                .collect()
        };
        pieces = pieces
            .iter()
            .flat_map(|piece| -> Vec<FoundReading> { more(piece) })
            .collect();
        pieces.sort_by(|one, two| {
            two.legible
                .cmp(&one.legible)
                .then(one.cost.total_cmp(&two.cost))
        });
        pieces.truncate(MOST_KEPT);
    }
    if pieces.is_empty() {
        return None;
    }
    pieces.truncate(limit);
    let share = automaton.glyphs.unknown_share;
    let product = |of: &dyn Fn(&Answer) -> f64, once: f64| {
        parts.iter().map(of).product::<f64>() / once.powi(parts.len() as i32 - 1)
    };
    let per_scheme = 1.0 / automaton.schemes.len() as f64;
    Some(Answer {
        readings: pieces,
        made: (0..automaton.schemes.len())
            .map(|scheme| product(&|part| part.made[scheme], per_scheme))
            .collect(),
        unknown: product(&|part| part.unknown, share),
        complete: parts.iter().all(|part| part.complete),
    })
}

/// A piece with one part more, where that can be.
fn joined(piece: &FoundReading, part: &FoundReading, again: f64) -> Option<FoundReading> {
    let kinds = piece
        .reading
        .parts
        .iter()
        .chain(&part.reading.parts)
        .map(|one| one.part);
    let kinds: Vec<PartKind> = kinds.collect();
    let twice = kinds
        .iter()
        .enumerate()
        .any(|(place, kind)| kinds[..place].contains(kind));
    if piece.scheme.id != part.scheme.id || twice || kinds.contains(&PartKind::OnePiece) {
        return None;
    }
    let mut joined = piece.clone();
    joined
        .reading
        .parts
        .extend(part.reading.parts.iter().cloned());
    joined.text = joined.reading.canonical();
    joined.bindings.extend(part.bindings.iter().cloned());
    joined.cost += part.cost - again;
    joined.misreading += part.misreading;
    joined.usual += part.usual;
    joined.legible &= part.legible;
    joined.taken.extend(part.taken.iter().cloned());
    joined.struck.extend(part.struck.iter().cloned());
    Some(joined)
}
