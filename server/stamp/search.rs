//! A search for a text by one hand.
//!
//! One [`Sweep`] says what it costs to finish from everywhere. With that as its guide a
//! best-first walk over the beginnings of stamps goes straight to each answer: its order is
//! exact, and it takes as long as the answer is, not as the names are many. Of large
//! catalogues the cheapest names are hunted for first ([`super::hunt`]) and laid; no other
//! name can be in an answer that is cheaper than the last of them.

use super::automaton::{Automaton, Root};
use super::beginnings::Beginnings;
use super::edges::edges;
use super::find::FoundReading;
use super::hunt::{Catch, Seeking, hunt};
use super::laid::Laid;
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

/// Float noise between two ways of adding up the same costs.
const NOISE: f64 = 1e-9;

/// A search by one hand.
pub(super) struct Search<'a> {
    /// What is searched.
    pub automaton: &'a Automaton,
    /// The same, with the names laid that are looked for.
    pub laid: Laid<'a>,
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
    /// Stamps up to this cost are all laid.
    horizon: f64,
    /// Whether all could be laid.
    complete: bool,
    /// By scheme, about how probable names are that are not laid.
    unlaid: Vec<f64>,
}

impl<'a> Search<'a> {
    /// Prices the text, sweeps what can be paid for, and lays so many names of large
    /// catalogues.
    pub fn new(
        automaton: &'a Automaton,
        typed: &'a Typed,
        hand: Hand,
        names: (usize, Seeking),
    ) -> Self {
        let query = Query::new(automaton, typed, hand);
        let laid = Laid::on(automaton);
        let rests = laid.rests.count().min(MOST_CELLS / query.width());
        let sweep = Sweep::over(&laid.rests, &query, rests);
        let misread = automaton.glyphs.misread;
        let share = if hand == Hand::Worn {
            misread
        } else {
            1.0 - misread
        };
        let mut search = Self {
            complete: rests == laid.rests.count(),
            automaton,
            laid,
            typed,
            query,
            sweep,
            hand,
            toll: -share.ln(),
            horizon: f64::INFINITY,
            unlaid: vec![0.0; automaton.schemes.len()],
        };
        if search.complete && !automaton.upstream.is_empty() {
            search.lay(names);
        }
        search
    }

    /// Lays the cheapest names of large catalogues.
    fn lay(&mut self, (wanted, way): (usize, Seeking)) {
        let edges = edges(self.automaton, &self.laid, &self.query, &self.sweep);
        let Catch {
            names,
            complete,
            others,
        } = hunt(self.automaton, &self.query, &edges, (wanted, way));
        self.laid.lay(&edges, &names);
        self.sweep
            .go_on(&self.laid.rests, &self.query, self.laid.rests.count());
        self.complete = complete;
        if let Some(last) = names.get(wanted.saturating_sub(1)) {
            self.horizon = last.cost + NOISE;
        }
        for (edge, others) in edges.iter().zip(others) {
            let lexicon = &self.automaton.lexicons[edge.lexicon];
            self.unlaid[edge.scheme] += others * lexicon.mean_share();
        }
    }

    /// Whether more stamps are needed than names were laid for.
    pub fn is_short(&self, limit: usize, readings: &[FoundReading]) -> bool {
        let beyond = |one: &FoundReading| one.cost - self.toll > self.horizon;
        self.horizon.is_finite() && (readings.len() < limit || readings.iter().any(beyond))
    }

    /// The roots that were swept, with their places.
    pub fn roots(&self) -> impl Iterator<Item = (usize, &Root)> {
        let swept = |root: &Root| self.laid.rest(root.state) < self.sweep.count();
        self.laid
            .roots
            .iter()
            .enumerate()
            .filter(move |(_, root)| swept(root))
    }

    /// Adds, for each scheme, the probability that it made a stamp that is read so.
    pub fn add_made(&self, made: &mut [f64]) {
        let inside = (-self.query.missing_start).exp();
        for (_, root) in self.roots() {
            let mass = self.sweep.mass(self.laid.rest(root.state));
            made[root.scheme] += (-root.prior - self.toll).exp() * (inside * mass[0] + mass[1]);
        }
        for (made, unlaid) in made.iter_mut().zip(&self.unlaid) {
            *made += unlaid * (-self.toll).exp();
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
        self.complete
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
