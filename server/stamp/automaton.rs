//! All that all schemes can stamp, as one weighted automaton over glyphs.
//!
//! Without cycles and without empty steps: every branch is one glyph, and leads to a state that
//! stands before its own. The words of a field share their beginnings; grids are listed (a
//! scheme's check bounds them). Branches bear the negative logarithm of the prior: schemes are
//! equal, and so are templates of a scheme, values of a field and spellings of a value; an
//! optional group is there as often as [`GROUP_PRESENT`] says.
//!
//! It is built once and read only. Finding in it is [`super::find`].

use std::collections::HashMap;
use std::sync::Arc;

use super::glyphs::Glyphs;
use super::grammar::{Program, Step, programs, separators};
use super::rests::{Known, Rests, Step as RestStep};
use super::spellings::{hardened, values};
use super::typed::{LONGEST, folded};
use crate::scheme::{Binding, Field, Scheme};

/// How often an optional group is there (judged by this project, no source).
const GROUP_PRESENT: f64 = 0.25;

/// Every stamp of every scheme.
#[derive(Debug)]
pub struct Automaton {
    pub(super) schemes: Vec<Arc<Scheme>>,
    pub(super) glyphs: Glyphs,
    pub(super) symbols: Vec<Symbol>,
    pub(super) roots: Vec<Root>,
    pub(super) bindings: Vec<Binding>,
    /// For each state, where its branches begin; one more at the end.
    first_branch: Vec<u32>,
    branches: Vec<Branch>,
    /// For each state, the cost of a stamp that ends there; infinite where none does.
    accept: Vec<f64>,
    /// For each state, the place of what follows it.
    rest: Vec<u32>,
    pub(super) rests: Rests,
}

/// A glyph as one scheme strikes it.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) struct Symbol {
    /// The glyph; folded unless case matters.
    pub glyph: char,
    /// Whether the other case is another mark.
    pub exact: bool,
    /// Single glyphs that may stand in its place.
    pub stand_ins: Vec<char>,
    /// Whether nothing may stand in its place.
    pub may_vanish: bool,
}

/// One glyph further.
#[derive(Clone, Copy, Debug)]
pub(super) struct Branch {
    /// Place of the symbol.
    pub symbol: u32,
    /// The state it leads to.
    pub target: u32,
    /// Place of what is said once this glyph is struck, or [`NOTHING`].
    pub says: u32,
    /// Negative logarithm of the prior.
    pub prior: f64,
}

impl Branch {
    fn new(symbol: u32, target: u32, says: u32, prior: f64) -> Self {
        Self {
            symbol,
            target,
            says,
            prior,
        }
    }
}

/// A branch that says nothing yet.
pub(super) const NOTHING: u32 = u32::MAX;

/// Where the stamps of one template begin.
#[derive(Clone, Copy, Debug)]
pub(super) struct Root {
    /// The state.
    pub state: u32,
    /// Negative logarithm of the prior.
    pub prior: f64,
    /// Place of the scheme.
    pub scheme: usize,
    /// Place of the stamp in the scheme.
    pub stamp: usize,
}

impl Automaton {
    /// Builds it. The work and the size grow with the number of names and of signs.
    pub fn build(schemes: &[Arc<Scheme>], glyphs: &Glyphs) -> Self {
        let mut automaton = Self {
            schemes: schemes.to_vec(),
            glyphs: glyphs.clone(),
            symbols: Vec::new(),
            roots: Vec::new(),
            bindings: Vec::new(),
            first_branch: vec![0],
            branches: Vec::new(),
            accept: Vec::new(),
            rest: Vec::new(),
            rests: Rests::default(),
        };
        let mut known = Lists::default();
        let end = automaton.state(&mut known.rests, Vec::new(), 0.0);
        for (place, scheme) in schemes.iter().enumerate() {
            let programs = programs(scheme);
            let prior = ((schemes.len() * programs.len()) as f64).ln();
            let mut builder = Builder::new(&mut automaton, &mut known, scheme, end);
            for program in &programs {
                let state = builder.program(program);
                builder.automaton.roots.push(Root {
                    state,
                    prior,
                    scheme: place,
                    stamp: program.stamp,
                });
            }
        }
        automaton
    }

    /// How many states there are.
    pub fn states(&self) -> usize {
        self.accept.len()
    }

    /// The branches of a state.
    pub(super) fn branches(&self, state: u32) -> &[Branch] {
        &self.branches[self.first_branch[state as usize] as usize
            ..self.first_branch[state as usize + 1] as usize]
    }

    /// The cost of a stamp that ends at a state.
    pub(super) fn accept(&self, state: u32) -> f64 {
        self.accept[state as usize]
    }

    /// What follows a state, among [`Self::rests`].
    pub(super) fn rest(&self, state: u32) -> usize {
        self.rest[state as usize] as usize
    }

    /// A new state; the states that its branches lead to must be there.
    fn state(&mut self, known: &mut Known, branches: Vec<Branch>, accept: f64) -> u32 {
        let steps = branches.iter().map(|branch| RestStep {
            symbol: branch.symbol,
            rest: self.rest[branch.target as usize],
            prior: branch.prior,
            chance: (-branch.prior).exp(),
        });
        let rest = self.rests.of(known, steps.collect(), accept);
        self.rest.push(rest);
        self.branches.extend(branches);
        self.first_branch.push(as_place(self.branches.len()));
        self.accept.push(accept);
        as_place(self.accept.len() - 1)
    }
}

/// A place in one of the lists.
fn as_place(place: usize) -> u32 {
    u32::try_from(place)
        .expect("schemes of a megabyte each do not reach four thousand million branches")
}

/// What is in the automaton already, to be found while it is built.
#[derive(Default)]
struct Lists {
    symbols: HashMap<Symbol, u32>,
    rests: Known,
}

/// A spelling on its way into the automaton: glyphs, what it says, its prior.
struct Word {
    glyphs: Vec<char>,
    says: u32,
    prior: f64,
}

struct Builder<'a> {
    automaton: &'a mut Automaton,
    known: &'a mut Lists,
    scheme: &'a Scheme,
    separators: HashMap<char, Vec<Vec<char>>>,
    words: HashMap<Field, Vec<Word>>,
    end: u32,
}

impl<'a> Builder<'a> {
    fn new(
        automaton: &'a mut Automaton,
        known: &'a mut Lists,
        scheme: &'a Scheme,
        end: u32,
    ) -> Self {
        let separators = separators(scheme);
        Self {
            automaton,
            known,
            scheme,
            separators,
            words: HashMap::new(),
            end,
        }
    }

    fn state(&mut self, branches: Vec<Branch>, accept: f64) -> u32 {
        self.automaton
            .state(&mut self.known.rests, branches, accept)
    }

    /// Lays a template; the steps that follow stand before.
    fn program(&mut self, program: &Program) -> u32 {
        let mut states: Vec<u32> = Vec::with_capacity(program.steps.len());
        for step in &program.steps {
            let state = match *step {
                Step::End => self.end,
                Step::Literal(glyph, next) => {
                    let branches = self.glyph(glyph, states[next], NOTHING, 0.0);
                    self.state(branches, f64::INFINITY)
                }
                Step::Either(with, without) => self.either(states[with], states[without]),
                Step::Field(field, next) => self.field(field, states[next]),
            };
            states.push(state);
        }
        states[program.start()]
    }

    /// A state from which both lead on, without an empty step.
    fn either(&mut self, with: u32, without: u32) -> u32 {
        let (present, absent) = (-GROUP_PRESENT.ln(), -(1.0 - GROUP_PRESENT).ln());
        let mut branches = Vec::new();
        for (state, prior) in [(with, present), (without, absent)] {
            let further = self.automaton.branches(state).iter();
            branches.extend(
                further.map(|one| Branch::new(one.symbol, one.target, one.says, one.prior + prior)),
            );
        }
        let accept = self.automaton.accept(without) + absent;
        self.state(branches, accept)
    }

    fn field(&mut self, field: Field, next: u32) -> u32 {
        let words = self
            .words
            .remove(&field)
            .unwrap_or_else(|| self.words(field));
        let root = self.tree(&words, 0, next);
        self.words.insert(field, words);
        root
    }

    /// All spellings of a field in the order of their glyphs.
    fn words(&mut self, field: Field) -> Vec<Word> {
        let values = values(self.scheme, field);
        let value_prior = (values.len() as f64).ln();
        let mut words = Vec::new();
        for value in values {
            let prior = value_prior + (value.spellings.len() as f64).ln();
            for (text, binding) in value.spellings {
                let says = as_place(self.automaton.bindings.len());
                self.automaton.bindings.push(binding);
                words.push(Word {
                    glyphs: self.cased(hardened(&text)),
                    says,
                    prior,
                });
            }
        }
        words.retain(|word| (1..=LONGEST).contains(&word.glyphs.len()));
        words.sort_by(|one, other| one.glyphs.cmp(&other.glyphs));
        words
    }

    fn cased(&self, glyphs: Vec<char>) -> Vec<char> {
        if self.scheme.case_matters {
            glyphs
        } else {
            glyphs.into_iter().map(folded).collect()
        }
    }

    /// The tree of sorted words that agree up to `depth`; where one ends, `next` follows.
    fn tree(&mut self, words: &[Word], depth: usize, next: u32) -> u32 {
        let mut branches = Vec::new();
        for group in words.chunk_by(|one, other| one.glyphs[depth] == other.glyphs[depth]) {
            let glyph = group[0].glyphs[depth];
            let longer = group.partition_point(|word| word.glyphs.len() == depth + 1);
            for word in &group[..longer] {
                branches.extend(self.glyph(glyph, next, word.says, word.prior));
            }
            if longer < group.len() {
                let child = self.tree(&group[longer..], depth + 1, next);
                branches.extend(self.glyph(glyph, child, NOTHING, 0.0));
            }
        }
        self.state(branches, f64::INFINITY)
    }

    /// The branch of one glyph, and a chain of branches for each of several glyphs that may stand
    /// in its place.
    fn glyph(&mut self, glyph: char, target: u32, says: u32, prior: f64) -> Vec<Branch> {
        let others = self.separators.get(&glyph).cloned().unwrap_or_default();
        let symbol = self.symbol(Symbol {
            glyph: if self.scheme.case_matters {
                glyph
            } else {
                folded(glyph)
            },
            exact: self.scheme.case_matters,
            stand_ins: others
                .iter()
                .filter(|other| other.len() == 1)
                .map(|other| other[0])
                .collect(),
            may_vanish: others.iter().any(Vec::is_empty),
        });
        let mut branches = vec![Branch::new(symbol, target, says, prior)];
        for other in others.iter().filter(|other| other.len() > 1) {
            let mut further = Branch::new(self.plain(other[other.len() - 1]), target, says, prior);
            for glyph in other[..other.len() - 1].iter().rev() {
                let state = self.state(vec![further], f64::INFINITY);
                further = Branch::new(self.plain(*glyph), state, NOTHING, 0.0);
            }
            branches.push(further);
        }
        branches
    }

    /// A glyph for which nothing else may stand.
    fn plain(&mut self, glyph: char) -> u32 {
        self.symbol(Symbol {
            glyph,
            exact: self.scheme.case_matters,
            stand_ins: Vec::new(),
            may_vanish: false,
        })
    }

    fn symbol(&mut self, symbol: Symbol) -> u32 {
        let symbols = &mut self.automaton.symbols;
        *self.known.symbols.entry(symbol.clone()).or_insert_with(|| {
            symbols.push(symbol);
            as_place(symbols.len() - 1)
        })
    }
}
