//! Where a search comes to a lexicon, and what surrounds the name there.
//!
//! One pass over the states before the lexicons, the beginnings first, says at what cost each
//! is come to; the sweep has said already what it costs to go on after the name. Branches by
//! one lexicon to one state are one edge.

use std::collections::HashMap;

use super::automaton::Automaton;
use super::column::Column;
use super::laid::Laid;
use super::outline::Around;
use super::query::Query;
use super::sweep::Sweep;

/// A way by a lexicon.
#[derive(Debug)]
pub(super) struct Edge {
    /// Place of the lexicon.
    pub lexicon: usize,
    /// The state after the name.
    pub next: u32,
    /// Place of the scheme.
    pub scheme: usize,
    /// What the surroundings of the name cost, with all priors but what is a name's own.
    pub around: Around,
}

impl Edge {
    /// What a name costs because its entry has several spellings, or is not the most usual.
    pub fn own(&self, automaton: &Automaton, name: usize) -> f64 {
        let lexicon = &automaton.lexicons[self.lexicon];
        let also = &automaton.schemes[self.scheme].entries[lexicon.entry(name)].also;
        ((also.len() + 1) as f64).ln() + lexicon.rarity(name)
    }
}

/// How a state is come to: the costs by places gone by, and by places at which the glyph
/// before stands one place on and the next one is awaited.
struct Reached {
    column: Vec<f64>,
    swapping: Vec<f64>,
    scheme: usize,
}

impl Reached {
    fn nowhere(width: usize, scheme: usize) -> Self {
        Self {
            column: vec![f64::INFINITY; width],
            swapping: vec![f64::INFINITY; width],
            scheme,
        }
    }
}

fn take(costs: &mut [f64], others: impl IntoIterator<Item = f64>) {
    for (cost, other) in costs.iter_mut().zip(others) {
        *cost = cost.min(other);
    }
}

/// All edges of an automaton for a text.
pub(super) fn edges(automaton: &Automaton, laid: &Laid, query: &Query, sweep: &Sweep) -> Vec<Edge> {
    let width = query.width();
    let mut reached: HashMap<u32, Reached> = HashMap::new();
    for root in automaton
        .roots
        .iter()
        .filter(|root| automaton.is_upstream(root.state))
    {
        let known = reached.entry(root.state);
        let known = known.or_insert_with(|| Reached::nowhere(width, root.scheme));
        let first = Column::first(query).0;
        take(
            &mut known.column,
            first.iter().map(|cost| cost + root.prior),
        );
    }
    let mut edges: Vec<Edge> = Vec::new();
    for state in automaton.upstream.iter().rev() {
        let Some(here) = reached.remove(state) else {
            continue;
        };
        for branch in automaton.states.branches(*state) {
            if let Some(lexicon) = branch.lexicon() {
                let prior = branch.prior + automaton.lexicons[lexicon].prior;
                let edge = edge_to(&mut edges, (lexicon, branch.target), &here, width);
                take(
                    &mut edge.around.start,
                    here.column.iter().map(|cost| cost + prior),
                );
                take(
                    &mut edge.around.swap_in,
                    here.swapping.iter().map(|cost| cost + prior),
                );
            } else if automaton.is_upstream(branch.target) {
                let known = reached.entry(branch.target);
                let known = known.or_insert_with(|| Reached::nowhere(width, here.scheme));
                let mut column = Column(here.column.clone()).next(query, branch.symbol, None);
                for &place in query.plain(branch.symbol) {
                    column = column.reached(query, place + 2, here.swapping[place]);
                    if let Some(first) = place.checked_sub(1) {
                        let swapping = here.column[first] + branch.prior + query.swapped;
                        known.swapping[first] = known.swapping[first].min(swapping);
                    }
                }
                take(
                    &mut known.column,
                    column.0.iter().map(|cost| cost + branch.prior),
                );
            }
        }
    }
    for edge in &mut edges {
        let rest = laid.rest(edge.next);
        edge.around.end = sweep.cost(rest).to_vec();
        for place in 0..width.saturating_sub(2) {
            let second = sweep.second_of_swap(&laid.rests, query, rest, place);
            edge.around.swap_out[place] = query.swapped + second;
        }
    }
    edges
}

/// The edge by a lexicon to a state, new where there is none yet.
fn edge_to<'a>(
    edges: &'a mut Vec<Edge>,
    (lexicon, next): (usize, u32),
    here: &Reached,
    width: usize,
) -> &'a mut Edge {
    let known = edges
        .iter()
        .position(|edge| (edge.lexicon, edge.next) == (lexicon, next));
    let place = known.unwrap_or_else(|| {
        let nowhere = || vec![f64::INFINITY; width];
        edges.push(Edge {
            lexicon,
            next,
            scheme: here.scheme,
            around: Around {
                start: nowhere(),
                end: nowhere(),
                swap_in: nowhere(),
                swap_out: nowhere(),
            },
        });
        edges.len() - 1
    });
    &mut edges[place]
}
