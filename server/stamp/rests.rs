//! What can follow: the automaton without what is said.
//!
//! Many states are followed by the very same glyphs with the same priors, such as the cup
//! letters behind every number of a catalogue. Such states have one *rest*, and what it costs
//! to finish is worked out once a rest. A rest leads to rests that stand before it.

use std::collections::HashMap;

use super::states::Branch;

/// All rests.
#[derive(Debug, Default)]
pub(super) struct Rests {
    /// For each rest, where its steps end.
    ends: Vec<u32>,
    steps: Vec<Step>,
    /// For each rest, the cost of a stamp that ends there; infinite where none does.
    accept: Vec<f64>,
}

/// One glyph further.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Step {
    /// Place of the symbol.
    pub symbol: u32,
    /// The rest that follows.
    pub rest: u32,
    /// The least cost of the branches that go this way.
    pub prior: f64,
    /// The probability of all of them.
    pub chance: f64,
}

impl Step {
    /// The step of a branch to a state that is followed by `rest`.
    pub fn by(branch: &Branch, rest: u32) -> Self {
        Self {
            symbol: branch.symbol,
            rest,
            prior: branch.prior,
            chance: (-branch.prior).exp(),
        }
    }
}

/// What makes rests the same: where stamps end, and where each glyph leads, floats by their bits.
type Key = (u64, Vec<(u32, u32, u64, u64)>);

/// Finds the rests that there are already.
#[derive(Debug, Default)]
pub(super) struct Known(HashMap<Key, u32>);

impl Rests {
    /// How many there are.
    pub fn count(&self) -> usize {
        self.accept.len()
    }

    /// The steps of a rest.
    pub fn steps(&self, rest: usize) -> &[Step] {
        let start = rest.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.steps[start as usize..self.ends[rest] as usize]
    }

    /// The cost of a stamp that ends at a rest.
    pub fn accept(&self, rest: usize) -> f64 {
        self.accept[rest]
    }

    /// The rest with these steps, in any order, known or new.
    pub fn of(&mut self, known: &mut Known, steps: Vec<Step>, accept: f64) -> u32 {
        let steps = joined(steps);
        let bits = |step: &Step| {
            (
                step.symbol,
                step.rest,
                step.prior.to_bits(),
                step.chance.to_bits(),
            )
        };
        let key = (accept.to_bits(), steps.iter().map(bits).collect());
        *known
            .0
            .entry(key)
            .or_insert_with(|| self.add(steps, accept))
    }

    /// A rest with these steps that nothing shares.
    pub fn add(&mut self, steps: impl IntoIterator<Item = Step>, accept: f64) -> u32 {
        self.steps.extend(steps);
        self.ends.push(place(self.steps.len()));
        self.accept.push(accept);
        place(self.accept.len() - 1)
    }
}

/// Rests for all searches, and above them those for one.
#[derive(Debug)]
pub(super) struct Layered<'a> {
    below: &'a Rests,
    above: Rests,
}

impl<'a> Layered<'a> {
    /// With none above yet.
    pub fn on(below: &'a Rests) -> Self {
        Self {
            below,
            above: Rests::default(),
        }
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.below.count() + self.above.count()
    }

    /// The steps of a rest.
    pub fn steps(&self, rest: usize) -> &[Step] {
        match rest.checked_sub(self.below.count()) {
            Some(above) => self.above.steps(above),
            None => self.below.steps(rest),
        }
    }

    /// The cost of a stamp that ends at a rest.
    pub fn accept(&self, rest: usize) -> f64 {
        match rest.checked_sub(self.below.count()) {
            Some(above) => self.above.accept(above),
            None => self.below.accept(rest),
        }
    }

    /// A rest above.
    pub fn add(&mut self, steps: impl IntoIterator<Item = Step>, accept: f64) -> u32 {
        place(self.below.count()) + self.above.add(steps, accept)
    }
}

fn place(place: usize) -> u32 {
    u32::try_from(place).expect("there are no more rests than states, which are counted so too")
}

/// Steps by one glyph to one rest are one step.
fn joined(mut steps: Vec<Step>) -> Vec<Step> {
    steps.sort_by_key(|step| (step.symbol, step.rest));
    steps.dedup_by(|step, kept| {
        let same = (step.symbol, step.rest) == (kept.symbol, kept.rest);
        if same {
            kept.prior = kept.prior.min(step.prior);
            kept.chance += step.chance;
        }
        same
    });
    steps
}
