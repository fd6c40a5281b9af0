//! A search for a text by one hand.
//!
//! One [`Sweep`] says what it costs to finish from everywhere. With that as its guide a
//! best-first walk over the beginnings of stamps goes straight to each answer: its order is
//! exact, and it takes as long as the answer is, not as the names are many.

use super::automaton::{Automaton, Root};
use super::beginnings::Beginnings;
use super::find::FoundReading;
use super::query::{Hand, Query};
use super::sweep::Sweep;
use super::typed::Typed;

/// Rests times places that one search may cost: some tenths of a second.
const MOST_CELLS: usize = 50_000_000;

/// Beyond so many nats behind the best, a reading is not worth showing: one in 65 million.
const CUT: f64 = 18.0;

/// Beginnings that one walk may look at; an answer takes about as many as it has glyphs,
/// times the glyphs that may follow each.
const MOST_BEGINNINGS: usize = 200_000;

/// A search by one hand.
pub(super) struct Search<'a> {
    /// What is searched.
    pub automaton: &'a Automaton,
    /// What is looked for.
    pub typed: &'a Typed,
    /// The same, priced.
    pub query: Query,
    /// What it costs to finish.
    pub sweep: Sweep,
    /// How the text is read.
    pub hand: Hand,
    /// The cost of reading it so.
    pub toll: f64,
}

impl<'a> Search<'a> {
    /// Prices the text and sweeps what can be paid for.
    pub fn new(automaton: &'a Automaton, typed: &'a Typed, hand: Hand) -> Self {
        let query = Query::new(automaton, typed, hand);
        let rests = automaton.rests.count().min(MOST_CELLS / query.width());
        let sweep = Sweep::over(&automaton.rests, &query, rests);
        let misread = automaton.glyphs.misread;
        let share = if hand == Hand::Worn {
            misread
        } else {
            1.0 - misread
        };
        Self {
            automaton,
            typed,
            query,
            sweep,
            hand,
            toll: -share.ln(),
        }
    }

    /// The roots that were swept, with their places.
    pub fn roots(&self) -> impl Iterator<Item = (usize, &'a Root)> {
        let swept = |root: &Root| self.automaton.rest(root.state) < self.sweep.count();
        self.automaton
            .roots
            .iter()
            .enumerate()
            .filter(move |(_, root)| swept(root))
    }

    /// Adds, for each scheme, the probability that it made a stamp that is read so.
    pub fn add_made(&self, made: &mut [f64]) {
        let inside = (-self.query.missing_start).exp();
        for (_, root) in self.roots() {
            let mass = self.sweep.mass(self.automaton.rest(root.state));
            made[root.scheme] += (-root.prior - self.toll).exp() * (inside * mass[0] + mass[1]);
        }
    }

    /// Adds the best readings that are not there yet, until there are `limit`; whether that
    /// is certain.
    pub fn best(&self, limit: usize, readings: &mut Vec<FoundReading>) -> bool {
        let mut beginnings = Beginnings::new(self);
        let mut worst = f64::INFINITY;
        while let Some(next) = beginnings.next() {
            if readings.len() >= limit || next.cost > worst {
                break;
            }
            if beginnings.count() > MOST_BEGINNINGS {
                return false;
            }
            if !next.ends {
                beginnings.go_on(&next);
            } else if let Some(reading) = beginnings
                .reading(&next)
                .filter(|one| is_new(one, readings))
            {
                worst = worst.min(next.cost + CUT);
                readings.push(reading);
            }
        }
        self.sweep.count() == self.automaton.rests.count()
    }
}

fn is_new(reading: &FoundReading, readings: &[FoundReading]) -> bool {
    let same = |one: &FoundReading| {
        one.text == reading.text
            && one.scheme.id == reading.scheme.id
            && one.reading.said() == reading.reading.said()
    };
    !readings.iter().any(same)
}
