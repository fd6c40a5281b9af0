//! One sweep over the automaton: what it costs to finish from everywhere.
//!
//! For each state and each number of places of the text gone by: the least cost to the end
//! of a stamp, and the probability of all ways to it together. States are visited in their
//! own order, which is from the ends backward, so each is done once. The rows lie one
//! after another, and the inner loops run along them.
//!
//! A swap is a way over two branches at once (optimal string alignment: what was swapped is
//! not edited again).

use super::automaton::{Automaton, Branch};
use super::query::Query;

/// Costs and probabilities to the end.
#[derive(Debug)]
pub(super) struct Sweep {
    width: usize,
    /// Least cost; infinite where there is no way.
    cost: Vec<f64>,
    /// Probability of all ways.
    mass: Vec<f64>,
    /// Whether a state has any way at all.
    alive: Vec<bool>,
}

/// The prices of a symbol as probabilities, to go with those of the query.
struct Chances {
    substitution: Vec<f64>,
    lost: Vec<f64>,
    passed: Vec<f64>,
    swapped: f64,
}

impl Sweep {
    /// Sweeps the first `states` states.
    pub fn over(automaton: &Automaton, query: &Query, states: usize) -> Self {
        let width = query.width();
        let mut sweep = Self {
            width,
            cost: vec![f64::INFINITY; states * width],
            mass: vec![0.0; states * width],
            alive: vec![false; states],
        };
        let symbols = 0..automaton.symbols.len() as u32;
        let chances = |costs: &mut dyn Iterator<Item = f64>| {
            costs.map(|cost| (-cost).exp()).collect::<Vec<_>>()
        };
        let chances = Chances {
            substitution: chances(
                &mut symbols
                    .clone()
                    .flat_map(|one| query.substitution(one).iter().copied()),
            ),
            lost: chances(&mut symbols.flat_map(|one| query.lost(one).iter().copied())),
            passed: chances(&mut query.passed.iter().copied()),
            swapped: (-query.swapped).exp(),
        };
        let mut row = Row {
            cost: vec![0.0; width],
            mass: vec![0.0; width],
        };
        for state in 0..states {
            row.begin(automaton.accept(state), query);
            for branch in automaton.branches(state) {
                if sweep.alive[branch.target as usize] {
                    sweep.follow(automaton, query, &chances, branch, &mut row);
                }
            }
            row.pass(query, &chances);
            sweep.alive[state] = row.cost.iter().any(|cost| cost.is_finite());
            sweep.cost[state * width..][..width].copy_from_slice(&row.cost);
            sweep.mass[state * width..][..width].copy_from_slice(&row.mass);
        }
        sweep
    }

    /// The least cost to the end from a state, by places gone by.
    pub fn cost(&self, state: usize) -> &[f64] {
        &self.cost[state * self.width..][..self.width]
    }

    /// The probability of all ways to the end from a state, by places gone by.
    pub fn mass(&self, state: usize) -> &[f64] {
        &self.mass[state * self.width..][..self.width]
    }

    /// How many states were swept.
    pub fn states(&self) -> usize {
        self.alive.len()
    }

    /// The least cost of a branch of `state` whose glyph stands as meant at `place`, and on
    /// from there with the place after the next gone by: the second half of a swap.
    pub fn second_of_swap(
        &self,
        automaton: &Automaton,
        query: &Query,
        state: usize,
        place: usize,
    ) -> f64 {
        let fitting = automaton
            .branches(state)
            .iter()
            .filter(|branch| query.plain(branch.symbol).contains(&place));
        fitting
            .map(|branch| branch.prior + self.cost(branch.target as usize)[place + 2])
            .fold(f64::INFINITY, f64::min)
    }

    fn follow(
        &self,
        automaton: &Automaton,
        query: &Query,
        chances: &Chances,
        branch: &Branch,
        row: &mut Row,
    ) {
        let (width, target) = (self.width, branch.target as usize);
        let symbol = branch.symbol as usize * width;
        let chance = branch.chance;
        let (cost, mass) = (self.cost(target), self.mass(target));
        least(
            &mut row.cost,
            branch.prior,
            cost,
            query.substitution(branch.symbol),
            query.lost(branch.symbol),
        );
        let (substitution, lost) = (
            &chances.substitution[symbol..][..width],
            &chances.lost[symbol..][..width],
        );
        together(&mut row.mass, chance, mass, substitution, lost);
        for &(place, split) in query.splits(branch.symbol) {
            row.take(
                place,
                branch.prior + split + cost[place + 2],
                chance * (-split).exp() * mass[place + 2],
            );
        }
        for &second in query
            .plain(branch.symbol)
            .iter()
            .filter(|_| query.swapped.is_finite())
        {
            let Some(place) = second.checked_sub(1) else {
                continue;
            };
            for other in automaton
                .branches(target)
                .iter()
                .filter(|one| query.plain(one.symbol).contains(&place))
            {
                let further = other.target as usize;
                let cost =
                    branch.prior + query.swapped + other.prior + self.cost(further)[place + 2];
                let mass = chance * chances.swapped * other.chance * self.mass(further)[place + 2];
                row.take(place, cost, mass);
            }
        }
    }
}

/// The row of the state at hand.
struct Row {
    cost: Vec<f64>,
    mass: Vec<f64>,
}

impl Row {
    fn begin(&mut self, accept: f64, query: &Query) {
        self.cost.fill(f64::INFINITY);
        self.mass.fill(0.0);
        if accept.is_finite() {
            for end in query.ends() {
                self.cost[end] = accept;
                self.mass[end] = (-accept).exp();
            }
        }
    }

    fn take(&mut self, place: usize, cost: f64, mass: f64) {
        self.cost[place] = self.cost[place].min(cost);
        self.mass[place] += mass;
    }

    /// Places that were passed by, the last first.
    fn pass(&mut self, query: &Query, chances: &Chances) {
        for place in (0..query.passed.len()).rev() {
            self.cost[place] = self.cost[place].min(query.passed[place] + self.cost[place + 1]);
            self.mass[place] += chances.passed[place] * self.mass[place + 1];
        }
    }
}

fn least(row: &mut [f64], prior: f64, target: &[f64], substitution: &[f64], lost: &[f64]) {
    let last = row.len() - 1;
    let ahead = target[1..].iter().zip(&target[..last]);
    for ((cost, (further, here)), (taken, lost)) in
        row.iter_mut().zip(ahead).zip(substitution.iter().zip(lost))
    {
        let way = (taken + further).min(lost + here) + prior;
        *cost = if way < *cost { way } else { *cost };
    }
    row[last] = row[last].min(prior + lost[last] + target[last]);
}

fn together(row: &mut [f64], chance: f64, target: &[f64], substitution: &[f64], lost: &[f64]) {
    let last = row.len() - 1;
    let ahead = target[1..].iter().zip(&target[..last]);
    for ((mass, (further, here)), (taken, lost)) in
        row.iter_mut().zip(ahead).zip(substitution.iter().zip(lost))
    {
        *mass += chance * (taken * further + lost * here);
    }
    row[last] += chance * lost[last] * target[last];
}
