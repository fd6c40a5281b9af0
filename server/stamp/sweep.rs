//! One sweep over what can follow: what it costs to finish from everywhere.
//!
//! For each rest and each number of places of the text gone by: the least cost to the end
//! of a stamp, and the probability of all ways to it together. Rests are visited in their
//! own order, which is from the ends backward, so each is done once. The rows lie one
//! after another, and the inner loops run along them.
//!
//! A swap is a way over two steps at once (optimal string alignment: what was swapped is
//! not edited again).

use super::query::Query;
use super::rests::{Layered, Step};

/// Costs and probabilities to the end.
#[derive(Debug)]
pub(super) struct Sweep {
    width: usize,
    chances: Chances,
    /// Least cost; infinite where there is no way.
    cost: Vec<f64>,
    /// Probability of all ways.
    mass: Vec<f64>,
    /// The places from which there is a way.
    open: Vec<Places>,
}

impl Sweep {
    /// Sweeps the first `count` rests.
    pub fn over(rests: &Layered, query: &Query, count: usize) -> Self {
        let width = query.width();
        let mut sweep = Self {
            width,
            chances: Chances::of(query),
            cost: Vec::with_capacity(count * width),
            mass: Vec::with_capacity(count * width),
            open: Vec::with_capacity(count),
        };
        sweep.go_on(rests, query, count);
        sweep
    }

    /// Sweeps on, until the first `count` rests are done.
    pub fn go_on(&mut self, rests: &Layered, query: &Query, count: usize) {
        let mut row = Row {
            cost: vec![0.0; self.width],
            mass: vec![0.0; self.width],
        };
        for rest in self.count()..count {
            row.begin(rests.accept(rest), query);
            for step in rests.steps(rest).iter().filter(|step| self.leads_on(step)) {
                self.follow(rests, query, step, &mut row);
            }
            row.pass(query, &self.chances);
            self.open.push(Places::finite(&row.cost));
            self.cost.extend_from_slice(&row.cost);
            self.mass.extend_from_slice(&row.mass);
        }
    }

    /// The least cost to the end from a rest, by places gone by.
    pub fn cost(&self, rest: usize) -> &[f64] {
        &self.cost[rest * self.width..][..self.width]
    }

    /// The probability of all ways to the end from a rest, by places gone by.
    pub fn mass(&self, rest: usize) -> &[f64] {
        &self.mass[rest * self.width..][..self.width]
    }

    /// How many rests were swept.
    pub fn count(&self) -> usize {
        self.open.len()
    }

    /// The least cost of a step of `rest` whose glyph stands as meant at `place`, and on
    /// from there with the place after the next gone by: the second half of a swap.
    pub fn second_of_swap(&self, rests: &Layered, query: &Query, rest: usize, place: usize) -> f64 {
        let fitting = rests
            .steps(rest)
            .iter()
            .filter(|step| query.plain(step.symbol).contains(&place));
        fitting
            .map(|step| step.prior + self.cost(step.rest as usize)[place + 2])
            .fold(f64::INFINITY, f64::min)
    }

    /// Whether any way goes over a step.
    fn leads_on(&self, step: &Step) -> bool {
        let open = self.open[step.rest as usize];
        let reach = &self.chances.reach[step.symbol as usize];
        reach.split || open.before().meets(reach.taken) || open.meets(reach.lost)
    }

    fn follow(&self, rests: &Layered, query: &Query, step: &Step, row: &mut Row) {
        let chances = &self.chances;
        let target = step.rest as usize;
        let (cost, mass) = (self.cost(target), self.mass(target));
        least(
            &mut row.cost,
            step.prior,
            cost,
            query.substitution(step.symbol),
            query.lost(step.symbol),
        );
        let symbol = step.symbol as usize * self.width;
        let substitution = &chances.substitution[symbol..][..self.width];
        together(
            &mut row.mass,
            step.chance,
            mass,
            substitution,
            &chances.lost[symbol..][..self.width],
        );
        for &(place, split) in query.splits(step.symbol) {
            row.take(
                place,
                step.prior + split + cost[place + 2],
                step.chance * (-split).exp() * mass[place + 2],
            );
        }
        if query.swapped.is_finite() && !query.plain(step.symbol).is_empty() {
            self.swap(rests, query, step, row);
        }
    }

    /// The ways on which the glyph of this step and the next stand the wrong way round.
    fn swap(&self, rests: &Layered, query: &Query, step: &Step, row: &mut Row) {
        let chances = &self.chances;
        for next in rests.steps(step.rest as usize) {
            for &place in query
                .plain(next.symbol)
                .iter()
                .filter(|&place| query.plain(step.symbol).contains(&(place + 1)))
            {
                let target = next.rest as usize;
                let cost = step.prior + query.swapped + next.prior + self.cost(target)[place + 2];
                let mass =
                    step.chance * chances.swapped * next.chance * self.mass(target)[place + 2];
                row.take(place, cost, mass);
            }
        }
    }
}

/// The costs of a query as probabilities, and where its symbols can stand at all.
#[derive(Debug)]
struct Chances {
    substitution: Vec<f64>,
    lost: Vec<f64>,
    passed: Vec<f64>,
    swapped: f64,
    reach: Vec<Reach>,
}

/// Where a symbol can be taken, where it can be lost, and whether it can fall apart.
#[derive(Debug)]
struct Reach {
    taken: Places,
    lost: Places,
    split: bool,
}

impl Chances {
    fn of(query: &Query) -> Self {
        let symbols = 0..query.symbols();
        let of_all = |costs: &dyn Fn(u32) -> Vec<f64>| symbols.clone().flat_map(costs).collect();
        let reach = symbols.clone().map(|symbol| Reach {
            taken: Places::finite(query.substitution(symbol)),
            lost: Places::finite(query.lost(symbol)),
            split: !query.splits(symbol).is_empty(),
        });
        Self {
            reach: reach.collect(),
            substitution: of_all(&|symbol| chances(query.substitution(symbol))),
            lost: of_all(&|symbol| chances(query.lost(symbol))),
            passed: chances(&query.passed),
            swapped: (-query.swapped).exp(),
        }
    }
}

/// Costs as probabilities. Neighbours often cost the same, and an exponential is dear.
fn chances(costs: &[f64]) -> Vec<f64> {
    let mut last = (0.0, 1.0);
    let chance = |cost: &f64| {
        if *cost != last.0 {
            last = (*cost, (-cost).exp());
        }
        last.1
    };
    costs.iter().map(chance).collect()
}

/// A set of places; those from 127 on are one.
#[derive(Clone, Copy, Debug)]
struct Places(u128);

impl Places {
    const LAST: u32 = 127;

    fn finite(costs: &[f64]) -> Self {
        let places = costs.iter().zip(0..).filter(|(cost, _)| cost.is_finite());
        Self(places.fold(0, |set, (_, place): (_, u32)| {
            set | 1 << place.min(Self::LAST)
        }))
    }

    /// The places one before these.
    fn before(self) -> Self {
        Self(self.0 >> 1 | self.0 & 1 << Self::LAST)
    }

    fn meets(self, other: Self) -> bool {
        self.0 & other.0 != 0
    }
}

/// The row of the rest at hand.
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
        let (taken, lost) = (taken + further, lost + here);
        let way = if taken < lost { taken } else { lost } + prior;
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
