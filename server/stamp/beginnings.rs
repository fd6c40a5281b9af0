//! Beginnings of stamps, the most promising first.
//!
//! A beginning is a chain of glyphs from a root. It costs what its glyphs cost against the
//! text so far, and promises what the sweep says is the least to the end; that is never too
//! little and never too much, so no beginning is looked at in vain. Equal promises are taken
//! longest first, so that many equal answers are not all begun before one ends.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::automaton::{Branch, NOTHING};
use super::column::{Before, Column, trace};
use super::decode::possible;
use super::encode::{goes_without_saying, spelled};
use super::find::FoundReading;
use super::query::Hand;
use super::search::Search;
use super::struck::struck;
use super::taken::taken;
use crate::scheme::Binding;

/// The beginnings of one search.
pub(super) struct Beginnings<'a> {
    search: &'a Search<'a>,
    all: Vec<Beginning>,
    queue: BinaryHeap<Waiting>,
    /// How many have waited so far.
    waited: usize,
}

/// A beginning of a stamp.
struct Beginning {
    before: Option<usize>,
    root: usize,
    /// The symbol that led here, and what it says.
    symbol: u32,
    says: u32,
    state: u32,
    prior: f64,
    column: Column,
}

/// What is next.
pub(super) struct Next {
    /// The least cost of a stamp that begins so.
    pub cost: f64,
    /// The beginning.
    pub beginning: usize,
    /// Whether the stamp ends here.
    pub ends: bool,
    depth: usize,
}

/// What waits: the cheapest first, then the longest, then the earliest. Costs are in grains
/// so that equal costs are equal.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Waiting {
    cost: Reverse<i64>,
    depth: usize,
    order: Reverse<usize>,
    beginning: usize,
    ends: bool,
}

/// Costs that differ by less are equal.
const GRAIN: f64 = 1e-10;

impl<'a> Beginnings<'a> {
    /// Those of no glyphs yet.
    pub fn new(search: &'a Search<'a>) -> Self {
        let mut beginnings = Self {
            search,
            all: Vec::new(),
            queue: BinaryHeap::new(),
            waited: 0,
        };
        let column = Column::first(&search.query);
        for (place, root) in search.roots() {
            let (state, prior, column) = (root.state, root.prior, column.clone());
            let none = Beginning {
                before: None,
                root: place,
                symbol: 0,
                says: NOTHING,
                state,
                prior,
                column,
            };
            beginnings.add(none, 0);
        }
        beginnings
    }

    /// How many there were.
    pub fn count(&self) -> usize {
        self.all.len()
    }

    /// The most promising, which no longer waits.
    pub fn next(&mut self) -> Option<Next> {
        let Waiting {
            cost,
            depth,
            beginning,
            ends,
            ..
        } = self.queue.pop()?;
        Some(Next {
            cost: cost.0 as f64 * GRAIN,
            beginning,
            ends,
            depth,
        })
    }

    /// Adds what this beginning leads to: its end, and those with one glyph more.
    pub fn go_on(&mut self, next: &Next) {
        let Search { laid, query, .. } = self.search;
        let from = &self.all[next.beginning];
        let ends = from.prior + laid.accept(from.state) + from.column.whole(query);
        let branches = laid.branches(from.state);
        if ends.is_finite() {
            self.wait(ends, next.depth, next.beginning, true);
        }
        for branch in branches {
            let longer = self.longer(next.beginning, branch);
            self.add(longer, next.depth + 1);
        }
    }

    fn longer(&self, place: usize, branch: &Branch) -> Beginning {
        let from = &self.all[place];
        let before = self.before(from).map(|column| Before {
            column,
            symbol: from.symbol,
        });
        Beginning {
            before: Some(place),
            root: from.root,
            symbol: branch.symbol,
            says: branch.says,
            state: branch.target,
            prior: from.prior + branch.prior,
            column: from
                .column
                .next(&self.search.query, branch.symbol, before.as_ref()),
        }
    }

    fn before(&self, beginning: &Beginning) -> Option<&Column> {
        Some(&self.all[beginning.before?].column)
    }

    fn add(&mut self, beginning: Beginning, depth: usize) {
        let cost = self.promise(&beginning);
        if cost.is_finite() {
            self.wait(cost, depth, self.all.len(), false);
            self.all.push(beginning);
        }
    }

    fn wait(&mut self, cost: f64, depth: usize, beginning: usize, ends: bool) {
        self.waited += 1;
        let (cost, order) = (Reverse((cost / GRAIN).round() as i64), Reverse(self.waited));
        self.queue.push(Waiting {
            cost,
            depth,
            order,
            beginning,
            ends,
        });
    }

    /// The least cost of a whole stamp that begins so.
    fn promise(&self, beginning: &Beginning) -> f64 {
        let rest = self.search.laid.rest(beginning.state);
        let onward = self.search.sweep.cost(rest);
        let costs = beginning
            .column
            .0
            .iter()
            .zip(onward)
            .map(|(before, after)| before + after);
        beginning.prior
            + costs
                .fold(f64::INFINITY, f64::min)
                .min(self.in_a_swap(beginning, rest))
    }

    /// The same where the last glyph and the next stand the wrong way round.
    fn in_a_swap(&self, beginning: &Beginning, rest: usize) -> f64 {
        let Search {
            sweep, query, laid, ..
        } = self.search;
        let Some(before) = self.before(beginning).filter(|_| query.swapped.is_finite()) else {
            return f64::INFINITY;
        };
        let costs = query.plain(beginning.symbol).iter().map(|second| {
            let place = second - 1;
            before.0[place] + query.swapped + sweep.second_of_swap(&laid.rests, query, rest, place)
        });
        costs.fold(f64::INFINITY, f64::min)
    }

    /// The stamp that ends here; none where no year is left for it. Its cost is the one
    /// that it waited by, so that what comes first is never dearer in the last digits.
    pub fn reading(&self, end: &Next) -> Option<FoundReading> {
        let Search {
            automaton,
            laid,
            query,
            typed,
            hand,
            toll,
            ..
        } = self.search;
        let chain = self.chain(end.beginning);
        let root = &laid.roots[chain.first()?.root];
        let scheme = &automaton.schemes[root.scheme];
        let bindings = self.bindings(&chain);
        let (text, reading) = spelled(scheme, root.stamp, &bindings)?;
        if !possible(reading.parts[0].years) {
            return None;
        }
        let last = chain.last()?;
        let misreading = last.column.whole(query);
        let columns: Vec<&Column> = chain.iter().map(|one| &one.column).collect();
        let symbols: Vec<u32> = chain[1..].iter().map(|one| one.symbol).collect();
        let moves = trace(query, &symbols, &columns);
        Some(FoundReading {
            scheme: scheme.clone(),
            text,
            reading,
            bindings,
            cost: end.cost + toll,
            misreading,
            usual: says(&chain).map(|says| laid.usual(says)).sum(),
            legible: *hand == Hand::Legible && query.is_whole(),
            probability: 0.0,
            taken: taken(automaton, query, typed, &symbols, &moves),
            struck: struck(automaton, query, typed, &symbols, &moves),
        })
    }

    /// What the chain says beyond what goes without saying.
    fn bindings(&self, chain: &[&Beginning]) -> Vec<Binding> {
        let Search {
            automaton, laid, ..
        } = self.search;
        let all: Vec<Binding> = says(chain).map(|says| laid.binding(says).clone()).collect();
        let scheme = &automaton.schemes[laid.roots[chain[0].root].scheme];
        let telling = all
            .iter()
            .filter(|binding| !goes_without_saying(scheme, &all, binding));
        telling.cloned().collect()
    }

    /// From the root to here.
    fn chain(&self, end: usize) -> Vec<&Beginning> {
        let back = std::iter::successors(Some(&self.all[end]), |one| Some(&self.all[one.before?]));
        let mut chain: Vec<&Beginning> = back.collect();
        chain.reverse();
        chain
    }
}

/// What is said along a chain.
fn says(chain: &[&Beginning]) -> impl Iterator<Item = u32> {
    let says = chain.iter().map(|one| one.says);
    says.filter(|&says| says != NOTHING)
}
