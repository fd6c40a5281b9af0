//! All that all schemes can stamp, as one weighted automaton over glyphs.
//!
//! Without cycles and without empty steps: every branch is one glyph, and leads to a state that
//! stands before its own. The words of a field share their beginnings; grids are listed (a
//! scheme's check bounds them). Branches bear the negative logarithm of the prior: schemes are
//! equal, and so are templates of a scheme and spellings of a value; values of a field are as
//! usual as their scheme says, equal where it says nothing; an optional group is there as often as [`GROUP_PRESENT`] says. The names of a large catalogue
//! are one branch, by a [`Lexicon`]: of them a search lays those that it needs
//! ([`super::laid`]).
//!
//! It is built once and read only. Finding in it is [`super::find`].

use std::collections::HashMap;
use std::sync::Arc;

use super::glyphs::Glyphs;
use super::grammar::{Program, Step, programs, separators};
use super::lexicon::{LARGE, Lexicon};
use super::rests::{Known, Rests, Step as RestStep};
use super::spellings::{Value, hardened, values};
pub(super) use super::states::{Branch, NOTHING};
use super::states::{States, as_place};
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
    /// For each binding, how usual it is: the logarithm of its share over that of the mean value.
    pub(super) usual: Vec<f64>,
    pub(super) states: States,
    /// States from which a lexicon lies ahead, ends first.
    pub(super) upstream: Vec<u32>,
    pub(super) lexicons: Vec<Lexicon>,
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
    /// Builds it. The work and the size grow with the number of names and of signs. Values are as
    /// usual as their schemes say.
    pub fn build(schemes: &[Arc<Scheme>], glyphs: &Glyphs) -> Self {
        Self::weighted(schemes, glyphs, &|scheme, binding| {
            scheme.usual.weight(binding)
        })
    }

    /// The same with other weights, such as what a shop has on its shelf: any numbers above
    /// nought, of which only the ratio to those of other values of the field counts.
    pub fn weighted(schemes: &[Arc<Scheme>], glyphs: &Glyphs, weight: Weight<'_>) -> Self {
        let mut automaton = Self {
            schemes: schemes.to_vec(),
            glyphs: glyphs.clone(),
            symbols: Vec::new(),
            roots: Vec::new(),
            bindings: Vec::new(),
            usual: Vec::new(),
            states: States::default(),
            upstream: Vec::new(),
            lexicons: Vec::new(),
            rests: Rests::default(),
        };
        let mut known = Lists::default();
        let end = automaton.state(&mut known.rests, Vec::new(), 0.0);
        for (place, scheme) in schemes.iter().enumerate() {
            let programs = programs(scheme);
            let prior = ((schemes.len() * programs.len()) as f64).ln();
            let mut builder = Builder::new(&mut automaton, &mut known, (scheme, weight), end);
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

    /// How stamps are misread.
    pub fn glyphs(&self) -> &Glyphs {
        &self.glyphs
    }

    /// How many states there are.
    pub fn states(&self) -> usize {
        self.states.count()
    }

    /// Bytes that the names of large catalogues take beyond their own glyphs.
    pub fn lexicon_bytes(&self) -> usize {
        self.lexicons.iter().map(Lexicon::bytes).sum()
    }

    /// Whether a lexicon lies ahead of a state.
    pub(super) fn is_upstream(&self, state: u32) -> bool {
        self.states.rest(state) == NOTHING
    }

    /// A new state; the states that its branches lead to must be there.
    fn state(&mut self, known: &mut Known, branches: Vec<Branch>, accept: f64) -> u32 {
        let ahead = |branch: &Branch| {
            branch.lexicon().is_some() || self.states.rest(branch.target) == NOTHING
        };
        if branches.iter().any(ahead) {
            let state = self.states.add(branches, accept, NOTHING);
            self.upstream.push(state);
            return state;
        }
        let steps = branches
            .iter()
            .map(|branch| RestStep::by(branch, self.states.rest(branch.target)));
        let rest = self.rests.of(known, steps.collect(), accept);
        self.states.add(branches, accept, rest)
    }
}

/// What is in the automaton already, to be found while it is built.
#[derive(Default)]
struct Lists {
    symbols: HashMap<Symbol, u32>,
    rests: Known,
}

/// How usual a value of a scheme is against the others of its field.
pub type Weight<'a> = &'a dyn Fn(&Scheme, &Binding) -> f64;

/// A weight that can be reckoned with, whatever was given.
pub(super) fn weight_of(weight: Weight<'_>, scheme: &Scheme, binding: &Binding) -> f64 {
    let weight = weight(scheme, binding);
    if weight.is_nan() {
        return 1.0;
    }
    weight.clamp(LEAST_WEIGHT, 1.0 / LEAST_WEIGHT)
}

const LEAST_WEIGHT: f64 = 1e-12;

/// The logarithms of weights over their mean; all nought where they are equal.
pub(super) fn logarithms(mut weights: Vec<f64>) -> Vec<f64> {
    let mean = weights.iter().sum::<f64>() / weights.len() as f64;
    let equal = weights.iter().all(|weight| *weight == weights[0]);
    let logarithm = |weight: &mut f64| *weight = if equal { 0.0 } else { (*weight / mean).ln() };
    weights.iter_mut().for_each(logarithm);
    weights
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
    weight: Weight<'a>,
    separators: HashMap<char, Vec<Vec<char>>>,
    words: HashMap<Field, Vec<Word>>,
    /// The place of the lexicon of its entries, once one is made.
    lexicon: Option<u32>,
    end: u32,
}

impl<'a> Builder<'a> {
    fn new(
        automaton: &'a mut Automaton,
        known: &'a mut Lists,
        (scheme, weight): (&'a Scheme, Weight<'a>),
        end: u32,
    ) -> Self {
        let separators = separators(scheme);
        Self {
            automaton,
            known,
            scheme,
            weight,
            separators,
            words: HashMap::new(),
            lexicon: None,
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
                Step::Field(field, next) => self.field(field, states[next], program),
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
            let further = self.automaton.states.branches(state).iter();
            branches.extend(
                further.map(|one| Branch::new(one.symbol, one.target, one.says, one.prior + prior)),
            );
        }
        let accept = self.automaton.states.accept(without) + absent;
        self.state(branches, accept)
    }

    fn field(&mut self, field: Field, next: u32, program: &Program) -> u32 {
        if let Some(lexicon) = self.lexicon(field, program) {
            return self.state(vec![Branch::by_lexicon(lexicon, next)], f64::INFINITY);
        }
        let words = self
            .words
            .remove(&field)
            .unwrap_or_else(|| self.words(field));
        let root = self.tree(&words, 0, next);
        self.words.insert(field, words);
        root
    }

    /// The lexicon of a large catalogue; none where the names are few, or cannot stand in one.
    fn lexicon(&mut self, field: Field, program: &Program) -> Option<u32> {
        let fields = program.steps.iter();
        let entries = fields.filter(|step| matches!(step, Step::Field(Field::Entry, _)));
        if field != Field::Entry || self.scheme.entries.len() <= LARGE || entries.count() > 1 {
            return None;
        }
        if self.lexicon.is_none() {
            let place = self.automaton.lexicons.len();
            let weights = (self.scheme, self.weight);
            let lexicon = Lexicon::build(weights, |glyph| {
                let others = self.separators.get(&glyph);
                if others.is_some_and(|others| others.iter().any(|other| other.len() > 1)) {
                    return None;
                }
                let symbol = symbol_of(self.scheme, &self.separators, glyph);
                let may_vanish = symbol.may_vanish;
                let (symbols, known) = (&mut self.automaton.symbols, &mut self.known.symbols);
                Some((symbol_place(symbols, known, symbol), may_vanish))
            })?;
            self.automaton.lexicons.push(lexicon);
            self.lexicon = Some(as_place(place));
        }
        self.lexicon
    }

    /// All spellings of a field in the order of their glyphs.
    fn words(&mut self, field: Field) -> Vec<Word> {
        let values = values(self.scheme, field);
        let first = |value: &Value<'_>| value.spellings.first().map(|one| one.1.clone());
        let weights = values.iter().map(|value| {
            let binding = first(value);
            binding.map_or(1.0, |binding| weight_of(self.weight, self.scheme, &binding))
        });
        let usual = logarithms(weights.collect());
        let value_prior = (values.len() as f64).ln();
        let mut words = Vec::new();
        for (value, usual) in values.into_iter().zip(usual) {
            let prior = value_prior - usual + (value.spellings.len() as f64).ln();
            for (text, binding) in value.spellings {
                let says = as_place(self.automaton.bindings.len());
                self.automaton.bindings.push(binding);
                self.automaton.usual.push(usual);
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
        let symbol = self.symbol(symbol_of(self.scheme, &self.separators, glyph));
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
        symbol_place(&mut self.automaton.symbols, &mut self.known.symbols, symbol)
    }
}

fn symbol_place(
    symbols: &mut Vec<Symbol>,
    known: &mut HashMap<Symbol, u32>,
    symbol: Symbol,
) -> u32 {
    *known.entry(symbol.clone()).or_insert_with(|| {
        symbols.push(symbol);
        as_place(symbols.len() - 1)
    })
}

/// A glyph as a scheme strikes it.
fn symbol_of(scheme: &Scheme, separators: &HashMap<char, Vec<Vec<char>>>, glyph: char) -> Symbol {
    let others = separators.get(&glyph).map_or(&[][..], Vec::as_slice);
    Symbol {
        glyph: if scheme.case_matters {
            glyph
        } else {
            folded(glyph)
        },
        exact: scheme.case_matters,
        stand_ins: others
            .iter()
            .filter(|other| other.len() == 1)
            .map(|other| other[0])
            .collect(),
        may_vanish: others.iter().any(Vec::is_empty),
    }
}
