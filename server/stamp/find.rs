//! Worn stamps: what a text most probably was, the most probable first.
//!
//! A person types what can be seen: `?` for one glyph that cannot be read, `*` for a
//! stretch. What is legible as it stands comes first, then what was misread, each ordered by
//! cost: the prior of the stamp and what was taken for what. The order is exact: one
//! [`Sweep`] says what it costs to finish from everywhere, and with that the best-first walk
//! goes straight to each answer, so it takes as long as the answer is, not as the names are
//! many. Of each stamp the cheapest way to read the text so counts; the ways that
//! do not, the other stamps, and markings of no scheme here share the rest of the probability.
//!
//! How free words are found is [`crate::words`]; what a gauge says is not known here.

use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashSet};
use std::sync::Arc;

use super::automaton::{Automaton, NOTHING};
use super::column::{Before, Column};
use super::encode::{goes_without_saying, spelled};
use super::query::{Hand, Query, Seen};
use super::reading::Reading;
use super::sweep::Sweep;
use super::taken::{Taken, taken};
use super::typed::{LONGEST, Typed};
use crate::scheme::{Binding, Scheme};

/// What a text may have been.
#[derive(Clone, Debug)]
pub struct Found {
    /// The best readings, the legible ones first, then by cost.
    pub readings: Vec<FoundReading>,
    /// The probability that the text is a marking of no scheme here.
    pub unexplained: f64,
    /// Whether all schemes were searched; false where the work was cut short.
    pub complete: bool,
}

/// One stamp that a text may have been.
#[derive(Clone, Debug)]
pub struct FoundReading {
    /// The scheme.
    pub scheme: Arc<Scheme>,
    /// The whole stamp in its canonical spelling.
    pub text: String,
    /// The reading of that spelling.
    pub reading: Reading,
    /// What it says.
    pub bindings: Vec<Binding>,
    /// Negative natural logarithm of the probability that this stamp is made and is read so.
    pub cost: f64,
    /// The part of the cost that is misreading; near 0 where the text is legible.
    pub misreading: f64,
    /// Whether the text is this stamp just as it stands.
    pub legible: bool,
    /// The probability of this reading, given the text.
    pub probability: f64,
    /// What was taken for what.
    pub taken: Vec<Taken>,
}

/// Why nothing was looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FindError {
    /// Nothing was typed.
    Empty,
    /// Nothing was typed that says anything.
    NothingSeen,
    /// More than [`LONGEST`] characters were typed; so many.
    TooLong(usize),
}

impl std::fmt::Display for FindError {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Empty => out.write_str("nothing was typed; type what is on the metal"),
            Self::NothingSeen => out
                .write_str("`*` alone can be any stamp; type at least one glyph that can be seen"),
            Self::TooLong(length) => write!(
                out,
                "{length} characters are no stamp; at most {LONGEST} are read"
            ),
        }
    }
}

impl std::error::Error for FindError {}

/// State rows times places that one search may cost: some tenths of a second.
const MOST_CELLS: usize = 50_000_000;

/// Beyond this many nats behind the best, a reading is not worth showing: one in 65 million.
const CUT: f64 = 18.0;

/// Beginnings that one walk may look at; an answer takes about as many as it has glyphs.
const MOST_BEGINNINGS: usize = 200_000;

impl Automaton {
    /// The `limit` best readings of what was typed.
    ///
    /// # Errors
    /// [`FindError`], where there is nothing to look for.
    pub fn find(&self, partial: &str, limit: usize) -> Result<Found, FindError> {
        let length = partial.chars().count();
        if length > LONGEST {
            return Err(FindError::TooLong(length));
        }
        let typed = Typed::of(partial);
        if typed.is_empty() {
            return Err(FindError::Empty);
        }
        if typed.glyphs.iter().all(|glyph| matches!(glyph, '*' | ' ')) {
            return Err(FindError::NothingSeen);
        }
        Ok(self.search(&typed, limit))
    }

    fn search(&self, typed: &Typed, limit: usize) -> Found {
        let searches = [Hand::Legible, Hand::Worn].map(|hand| Search::new(self, typed, hand));
        let unknown = self.unknown(typed);
        let total = unknown + searches.iter().map(Search::mass).sum::<f64>();
        let mut known = HashSet::new();
        let mut readings = Vec::new();
        let mut complete = true;
        for search in &searches {
            complete &= search.sweep.states() == self.states();
            complete &= search.walk(limit, &mut known, &mut readings);
        }
        readings.iter_mut().for_each(|reading: &mut FoundReading| {
            reading.probability = (-reading.cost).exp() / total
        });
        Found {
            readings,
            unexplained: unknown / total,
            complete,
        }
    }

    /// The probability of the text as a marking of no scheme here.
    fn unknown(&self, typed: &Typed) -> f64 {
        let seen = typed
            .glyphs
            .iter()
            .filter(|glyph| !matches!(glyph, ' ' | '?' | '*'))
            .count();
        self.glyphs.unknown_share * self.glyphs.unknown_glyphs.powi(-(seen as i32))
    }

    /// How many states of the first schemes one search can pay for.
    fn affordable(&self, width: usize) -> usize {
        let most = MOST_CELLS / width;
        if most >= self.states() {
            return self.states();
        }
        let whole = self
            .roots
            .iter()
            .map(|root| root.state as usize + 1)
            .filter(|&state| state <= most);
        whole.max().unwrap_or(0)
    }
}

/// A search by one hand.
struct Search<'a> {
    automaton: &'a Automaton,
    typed: &'a Typed,
    query: Query,
    sweep: Sweep,
    hand: Hand,
    /// The cost of this hand.
    toll: f64,
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

/// What waits in the queue: the least cost that it can lead to, in parts of a millionth so
/// that equal costs are equal; among equals the longest beginning, then the earliest.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Waiting {
    cost: Reverse<i64>,
    depth: usize,
    order: Reverse<usize>,
    beginning: usize,
    ends: bool,
}

/// Costs that differ by less are equal.
const GRAIN: f64 = 1e-7;

fn in_grains(cost: f64) -> i64 {
    (cost / GRAIN).round() as i64
}

impl<'a> Search<'a> {
    fn new(automaton: &'a Automaton, typed: &'a Typed, hand: Hand) -> Self {
        let query = Query::new(automaton, typed, hand);
        let sweep = Sweep::over(automaton, &query, automaton.affordable(query.width()));
        let misread = automaton.glyphs.misread;
        let toll = -(if hand == Hand::Worn {
            misread
        } else {
            1.0 - misread
        })
        .ln();
        Self {
            automaton,
            typed,
            query,
            sweep,
            hand,
            toll,
        }
    }

    /// The probability of the text by this hand, all stamps together.
    fn mass(&self) -> f64 {
        let inside = (-self.query.missing_start).exp();
        let roots = self
            .automaton
            .roots
            .iter()
            .filter(|root| (root.state as usize) < self.sweep.states());
        let masses = roots.map(|root| {
            let mass = self.sweep.mass(root.state as usize);
            (-root.prior).exp() * (inside * mass[0] + mass[1])
        });
        masses.sum::<f64>() * (-self.toll).exp()
    }

    /// Adds the best readings that are not known; whether the walk came to its end.
    fn walk(
        &self,
        limit: usize,
        known: &mut HashSet<String>,
        readings: &mut Vec<FoundReading>,
    ) -> bool {
        let mut walk = Walk {
            search: self,
            beginnings: Vec::new(),
            queue: BinaryHeap::new(),
            waited: 0,
        };
        walk.begin();
        let mut worst = f64::INFINITY;
        while let Some(waiting) = walk.queue.pop() {
            let cost = waiting.cost.0 as f64 * GRAIN;
            if readings.len() >= limit || cost > worst {
                return true;
            }
            if walk.beginnings.len() > MOST_BEGINNINGS {
                return false;
            }
            if !waiting.ends {
                walk.go_on(&waiting);
            } else if let Some(reading) = walk.reading(waiting.beginning, known) {
                worst = worst.min(cost + CUT);
                readings.push(reading);
            }
        }
        true
    }
}

struct Walk<'a> {
    search: &'a Search<'a>,
    beginnings: Vec<Beginning>,
    queue: BinaryHeap<Waiting>,
    /// How many have waited so far.
    waited: usize,
}

impl Walk<'_> {
    fn begin(&mut self) {
        let first = Column::first(&self.search.query);
        for (place, root) in self.search.automaton.roots.iter().enumerate() {
            if (root.state as usize) < self.search.sweep.states() {
                self.add(
                    Beginning {
                        before: None,
                        root: place,
                        symbol: 0,
                        says: NOTHING,
                        state: root.state,
                        prior: root.prior,
                        column: first.clone(),
                    },
                    0,
                );
            }
        }
    }

    fn add(&mut self, beginning: Beginning, depth: usize) {
        let cost = self.least(&beginning);
        if cost.is_finite() {
            self.wait(cost, depth, self.beginnings.len(), false);
            self.beginnings.push(beginning);
        }
    }

    fn wait(&mut self, cost: f64, depth: usize, beginning: usize, ends: bool) {
        self.waited += 1;
        let (cost, order) = (Reverse(in_grains(cost)), Reverse(self.waited));
        self.queue.push(Waiting {
            cost,
            depth,
            order,
            beginning,
            ends,
        });
    }

    /// The least cost of a whole stamp that begins so.
    fn least(&self, beginning: &Beginning) -> f64 {
        let Search {
            sweep,
            query,
            automaton,
            ..
        } = self.search;
        let onward = sweep.cost(beginning.state as usize);
        let column = &beginning.column.0;
        let straight = column
            .iter()
            .zip(onward)
            .map(|(before, after)| before + after)
            .fold(f64::INFINITY, f64::min);
        let in_swap = self.before(beginning).map_or(f64::INFINITY, |before| {
            let places = query
                .plain(beginning.symbol)
                .iter()
                .filter(|_| query.swapped.is_finite());
            let costs = places.map(|&second| {
                let place = second - 1;
                let rest = sweep.second_of_swap(automaton, query, beginning.state as usize, place);
                before.0[place] + query.swapped + rest
            });
            costs.fold(f64::INFINITY, f64::min)
        });
        beginning.prior + straight.min(in_swap)
    }

    fn before(&self, beginning: &Beginning) -> Option<&Column> {
        Some(&self.beginnings[beginning.before?].column)
    }

    fn go_on(&mut self, waiting: &Waiting) {
        let Search {
            automaton, query, ..
        } = self.search;
        let from = &self.beginnings[waiting.beginning];
        let (state, prior, root) = (from.state as usize, from.prior, from.root);
        let ends = prior + automaton.accept(state) + from.column.whole(query);
        if ends.is_finite() && from.before.is_some() {
            self.wait(ends, waiting.depth, waiting.beginning, true);
        }
        for branch in automaton.branches(state) {
            let from = &self.beginnings[waiting.beginning];
            let before = self.before(from).map(|column| Before {
                column,
                symbol: from.symbol,
            });
            let column = from.column.next(query, branch.symbol, before.as_ref());
            let beginning = Beginning {
                before: Some(waiting.beginning),
                root,
                symbol: branch.symbol,
                says: branch.says,
                state: branch.target,
                prior: prior + branch.prior,
                column,
            };
            self.add(beginning, waiting.depth + 1);
        }
    }

    /// The stamp that ends here, where it is not known yet.
    fn reading(&self, end: usize, known: &mut HashSet<String>) -> Option<FoundReading> {
        let Search {
            automaton,
            query,
            typed,
            hand,
            toll,
            ..
        } = self.search;
        let chain = self.chain(end);
        let root = &automaton.roots[self.beginnings[end].root];
        let says = chain
            .iter()
            .map(|&one| self.beginnings[one].says)
            .filter(|&says| says != NOTHING);
        let all: Vec<Binding> = says
            .map(|says| automaton.bindings[says as usize].clone())
            .collect();
        let scheme = &automaton.schemes[root.scheme];
        let telling = all
            .iter()
            .filter(|binding| !goes_without_saying(scheme, &all, binding));
        let bindings: Vec<Binding> = telling.cloned().collect();
        let (text, reading) = spelled(scheme, root.stamp, &bindings)?;
        if !super::decode::possible(reading.parts[0].years)
            || !known.insert(format!("{} {}", root.scheme, reading.said()))
        {
            return None;
        }
        let columns: Vec<Column> = chain
            .iter()
            .map(|&one| self.beginnings[one].column.clone())
            .collect();
        let symbols: Vec<u32> = chain[1..]
            .iter()
            .map(|&one| self.beginnings[one].symbol)
            .collect();
        let misreading = columns.last()?.whole(query);
        Some(FoundReading {
            scheme: scheme.clone(),
            text,
            reading,
            bindings,
            cost: self.beginnings[end].prior
                + automaton.accept(self.beginnings[end].state as usize)
                + misreading
                + toll,
            misreading,
            legible: *hand == Hand::Legible
                && !query
                    .seen
                    .iter()
                    .any(|seen| matches!(seen, Seen::Any | Seen::Stretch)),
            probability: 0.0,
            taken: taken(automaton, query, typed, &symbols, &columns),
        })
    }

    /// From the root to here.
    fn chain(&self, end: usize) -> Vec<usize> {
        let mut chain: Vec<usize> =
            std::iter::successors(Some(end), |&one| self.beginnings[one].before).collect();
        chain.reverse();
        chain
    }
}
