//! The automaton as one search sees it: with the names laid into it that it needs.
//!
//! What stands before a lexicon is laid anew above the automaton, each branch by the lexicon
//! replaced by chains of glyphs, one for each name. All else is as it was. Names and what they
//! say are made from the scheme here, for the few that are laid.

use std::collections::HashMap;

use super::automaton::{Automaton, Branch, NOTHING, Root};
use super::hunt::{Caught, Edge};
use super::rests::{Layered, Step};
use super::states::{States, as_place};
use crate::scheme::Binding;

/// An automaton with names laid above it.
#[derive(Debug)]
pub(super) struct Laid<'a> {
    below: &'a Automaton,
    above: States,
    /// What can follow.
    pub rests: Layered<'a>,
    /// Where stamps begin, without those that no name was laid for.
    pub roots: Vec<Root>,
    bindings: Vec<Binding>,
    /// For each, how usual it is.
    usual: Vec<f64>,
}

impl<'a> Laid<'a> {
    /// With no names yet.
    pub fn on(below: &'a Automaton) -> Self {
        let roots = below.roots.iter();
        Self {
            roots: roots
                .filter(|root| !below.is_upstream(root.state))
                .copied()
                .collect(),
            rests: Layered::on(&below.rests),
            above: States::default(),
            bindings: Vec::new(),
            usual: Vec::new(),
            below,
        }
    }

    /// The branches of a state.
    pub fn branches(&self, state: u32) -> &[Branch] {
        match self.above_place(state) {
            Some(above) => self.above.branches(above),
            None => self.below.states.branches(state),
        }
    }

    /// The cost of a stamp that ends at a state.
    pub fn accept(&self, state: u32) -> f64 {
        match self.above_place(state) {
            Some(above) => self.above.accept(above),
            None => self.below.states.accept(state),
        }
    }

    /// What follows a state.
    pub fn rest(&self, state: u32) -> usize {
        let rest = match self.above_place(state) {
            Some(above) => self.above.rest(above),
            None => self.below.states.rest(state),
        };
        rest as usize
    }

    /// What is said at a branch.
    pub fn binding(&self, says: u32) -> &Binding {
        let below = &self.below.bindings;
        let above = || &self.bindings[says as usize - below.len()];
        below.get(says as usize).unwrap_or_else(above)
    }

    /// How usual what is said at a branch is: the logarithm of its share over that of the mean.
    pub fn usual(&self, says: u32) -> f64 {
        let below = &self.below.usual;
        let above = || self.usual[says as usize - below.len()];
        below.get(says as usize).copied().unwrap_or_else(above)
    }

    fn above_place(&self, state: u32) -> Option<u32> {
        state.checked_sub(as_place(self.below.states.count()))
    }

    /// Lays names, and all that stands before them.
    pub fn lay(&mut self, edges: &[Edge], names: &[Caught]) {
        let mut heads: HashMap<(usize, u32), Vec<Branch>> = HashMap::new();
        for name in names {
            let edge = &edges[name.edge];
            let head = self.chain(edge, name.name);
            heads
                .entry((edge.lexicon, edge.next))
                .or_default()
                .push(head);
        }
        let mut moved: HashMap<u32, u32> = HashMap::new();
        for &state in &self.below.upstream {
            let mut branches = Vec::new();
            for branch in self.below.states.branches(state) {
                let Some(lexicon) = branch.lexicon() else {
                    let target = moved.get(&branch.target).copied().unwrap_or(branch.target);
                    branches.push(Branch { target, ..*branch });
                    continue;
                };
                let heads = heads.get(&(lexicon, branch.target)).into_iter().flatten();
                branches.extend(heads.map(|head| Branch {
                    prior: head.prior + branch.prior,
                    ..*head
                }));
            }
            let accept = self.below.states.accept(state);
            moved.insert(state, self.state(branches, accept));
        }
        let roots = self.below.roots.iter().filter_map(|root| {
            let state = *moved.get(&root.state)?;
            Some(Root { state, ..*root })
        });
        self.roots.extend(roots);
    }

    /// A chain of the glyphs of a name; answers the branch that leads into it.
    fn chain(&mut self, edge: &Edge, name: usize) -> Branch {
        let lexicon = &self.below.lexicons[edge.lexicon];
        let says = as_place(self.below.bindings.len() + self.bindings.len());
        self.bindings.push(Binding::Entry(lexicon.entry(name)));
        self.usual.push(lexicon.usual(lexicon.entry(name)));
        let prior = lexicon.prior + edge.own(self.below, name);
        let (mut target, mut says, mut prior) = (edge.next, says, prior);
        let (first, others) = lexicon
            .name(name)
            .split_first()
            .expect("a lexicon takes no empty name");
        for &code in others.iter().rev() {
            let branch = Branch::new(lexicon.symbols[usize::from(code)], target, says, prior);
            target = self.state(vec![branch], f64::INFINITY);
            (says, prior) = (NOTHING, 0.0);
        }
        Branch::new(lexicon.symbols[usize::from(*first)], target, says, prior)
    }

    /// A state of its own; those that its branches lead to are there.
    fn state(&mut self, branches: Vec<Branch>, accept: f64) -> u32 {
        let steps: Vec<Step> = branches
            .iter()
            .map(|branch| Step::by(branch, as_place(self.rest(branch.target))))
            .collect();
        let rest = self.rests.add(steps, accept);
        let above = self.above.add(branches, accept, rest);
        as_place(self.below.states.count()) + above
    }
}
