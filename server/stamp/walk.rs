//! Every way in which a template reads a text.
//!
//! Recursive descent over the steps of a [`Program`], all ways, with the dead ends
//! remembered: the work is bounded by steps times glyphs, and by [`Walk::MOST_STEPS`] and
//! [`Walk::MOST_WAYS`] where very many readings are alive. A lenient walk lets one figure be a sign that the scheme
//! does not have.

use std::iter::zip;

use super::grammar::{Grammar, Program, Step};
use super::spellings::Tree;
use super::typed::Typed;
use crate::scheme::{Binding, Field, Grid, Signs};

/// How far a text is from the spelling that is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Liberties {
    /// Separators and blanks that are not as written.
    pub separators: usize,
    /// Letters of the other case.
    pub case: usize,
}

/// What stretch of the glyphs was read as what.
#[derive(Clone, Copy, Debug)]
pub(super) struct Read<'a> {
    /// First glyph.
    pub start: usize,
    /// One past the last.
    pub end: usize,
    /// What was read.
    pub what: What<'a>,
}

/// What a stretch was read as.
#[derive(Clone, Copy, Debug)]
pub(super) enum What<'a> {
    /// A glyph of the template.
    Literal(char),
    /// A value of a field.
    Bound(Bound<'a>),
    /// A sign that this figure does not have.
    Unknown(usize),
}

/// A value of a field, before anybody asks what it states.
#[derive(Clone, Copy, Debug)]
pub(super) enum Bound<'a> {
    /// One that is listed.
    Listed(&'a Binding),
    /// A number on the grid of the figure at this place.
    OnGrid(usize, &'a Grid, i64),
}

impl Bound<'_> {
    /// What it binds.
    pub fn binding(self) -> Binding {
        match self {
            Self::Listed(binding) => binding.clone(),
            Self::OnGrid(figure, grid, number) => Binding::Figure(figure, grid.of(number)),
        }
    }

    /// Whether it binds just this.
    pub fn is(self, other: &Binding) -> bool {
        match (self, other) {
            (Self::Listed(Binding::Figure(figure, sign)), Binding::Figure(place, other)) => {
                figure == place && sign.text == other.text
            }
            (Self::Listed(binding), other) => binding == other,
            (Self::OnGrid(figure, grid, number), Binding::Figure(place, other)) => {
                figure == *place && grid.on_grid(&other.text) == Some(number)
            }
            _ => false,
        }
    }
}

/// One way through a template.
#[derive(Clone, Debug, Default)]
pub(super) struct Way<'a> {
    /// The stretches in order.
    pub reads: Vec<Read<'a>>,
    /// How far it is from the written spelling.
    pub liberties: Liberties,
}

impl<'a> Way<'a> {
    /// What it binds, in the order of the text.
    pub fn bound(&self) -> impl Iterator<Item = Bound<'a>> {
        self.reads.iter().filter_map(|read| match read.what {
            What::Bound(bound) => Some(bound),
            _ => None,
        })
    }
}

/// A walk of one text through one template.
pub(super) struct Walk<'a> {
    grammar: &'a Grammar,
    program: &'a Program,
    glyphs: &'a [char],
    lenient: bool,
    way: Way<'a>,
    unknown: bool,
    /// One bit for each step, glyph and `unknown`: whether the end cannot be reached from there.
    dead: Vec<u64>,
    steps: usize,
    /// Where values that were read end, of one field after the other.
    ends: Vec<(usize, Liberties, Bound<'a>)>,
    found: Vec<Way<'a>>,
}

impl<'a> Walk<'a> {
    /// Steps after which a walk stops; a legible stamp takes some hundreds.
    const MOST_STEPS: usize = 200_000;

    /// Ways after which a walk stops; a legible stamp has one or two.
    const MOST_WAYS: usize = 2000;

    /// All ways in which `program` reads the whole of `typed`, and whether that is all.
    pub fn all(
        grammar: &'a Grammar,
        program: &'a Program,
        typed: &'a Typed,
        lenient: bool,
    ) -> (Vec<Way<'a>>, bool) {
        // What stands there in a lenient walk may be no sign of the scheme.
        if !lenient && !grammar.may_begin_with(program, typed.glyphs.first().copied()) {
            return (Vec::new(), true);
        }
        let states = program.steps.len() * (typed.len() + 1) * 2;
        let mut walk = Self {
            grammar,
            program,
            glyphs: &typed.glyphs,
            lenient,
            way: Way {
                reads: Vec::with_capacity(program.steps.len()),
                liberties: Liberties::default(),
            },
            unknown: false,
            dead: vec![0; states.div_ceil(64)],
            steps: 0,
            ends: Vec::new(),
            found: Vec::new(),
        };
        walk.step(program.start(), 0);
        (walk.found, walk.steps < Self::MOST_STEPS)
    }

    /// Whether the end can be reached from here.
    fn step(&mut self, step: usize, at: usize) -> bool {
        self.steps += 1;
        let here = (step * (self.glyphs.len() + 1) + at) * 2 + usize::from(self.unknown);
        let (word, bit) = (here / 64, 1 << (here % 64));
        if self.steps >= Self::MOST_STEPS || self.dead[word] & bit != 0 {
            return false;
        }
        let alive = match self.program.steps[step] {
            Step::End => self.end(at),
            Step::Literal(meant, next) => self.literal(meant, next, at),
            Step::Either(with, without) => self.step(with, at) | self.step(without, at),
            Step::Field(field, next) => self.field(field, next, at),
        };
        if !alive {
            self.dead[word] |= bit;
        }
        alive
    }

    fn end(&mut self, at: usize) -> bool {
        if at != self.glyphs.len() {
            return false;
        }
        self.found.push(self.way.clone());
        if self.found.len() >= Self::MOST_WAYS {
            self.steps = Self::MOST_STEPS;
        }
        true
    }

    fn literal(&mut self, meant: char, next: usize, at: usize) -> bool {
        let mut alive = false;
        self.ways(meant, at, |walk, end, liberties| {
            let what = What::Literal(meant);
            let read = Read {
                start: at,
                end,
                what,
            };
            alive |= walk.go_on(next, read, liberties);
        });
        alive
    }

    fn field(&mut self, field: Field, next: usize, at: usize) -> bool {
        let grammar = self.grammar;
        let first = self.ends.len();
        if let Some(tree) = grammar.tree(field) {
            if tree.may_begin_with(self.glyphs.get(at).copied()) {
                self.in_tree(tree, Tree::ROOT, at, Liberties::default());
            }
        } else if let Field::Figure(figure) = field {
            self.on_grid(figure, at);
        }
        let mut alive = false;
        for place in first..self.ends.len() {
            let (end, liberties, bound) = self.ends[place];
            let what = What::Bound(bound);
            let read = Read {
                start: at,
                end,
                what,
            };
            alive |= self.go_on(next, read, liberties);
        }
        self.ends.truncate(first);
        alive | self.unknown_sign(field, next, at)
    }

    fn go_on(&mut self, next: usize, read: Read<'a>, liberties: Liberties) -> bool {
        let (before, end) = (self.way.liberties, read.end);
        self.way.liberties.separators += liberties.separators;
        self.way.liberties.case += liberties.case;
        self.way.reads.push(read);
        let alive = self.step(next, end);
        self.way.reads.pop();
        self.way.liberties = before;
        alive
    }

    /// Goes on in every way in which one glyph of a template can stand at `at`: where it ends,
    /// and what liberties that takes.
    fn ways(&mut self, meant: char, at: usize, mut go_on: impl FnMut(&mut Self, usize, Liberties)) {
        let (grammar, rest) = (self.grammar, &self.glyphs[at..]);
        if let Some(case) = rest.first().and_then(|&typed| grammar.same(meant, typed)) {
            let case = case.into();
            go_on(
                self,
                at + 1,
                Liberties {
                    separators: 0,
                    case,
                },
            );
        }
        for other in grammar.stand_ins(meant) {
            // Glyph by glyph: they are one or two, and comparing memory is a call.
            let fits = other.len() <= rest.len() && zip(other, rest).all(|(one, two)| one == two);
            if fits {
                let separators = 1;
                go_on(
                    self,
                    at + other.len(),
                    Liberties {
                        separators,
                        case: 0,
                    },
                );
            }
        }
    }

    /// Most glyphs of a tree have no way here; letters and digits have at most one.
    fn in_tree(&mut self, tree: &'a Tree, node: usize, at: usize, liberties: Liberties) {
        self.steps += 1;
        let bound = tree.bound(node).map(Bound::Listed);
        self.ends.extend(bound.map(|bound| (at, liberties, bound)));
        let typed = self.glyphs.get(at).copied();
        let key = typed.map(|typed| tree.key(typed));
        for (child, next) in tree.children(node) {
            if !next.has_stand_ins {
                if Some(next.key) == key {
                    let case = liberties.case + usize::from(Some(next.glyph) != typed);
                    self.in_tree(tree, child, at + 1, Liberties { case, ..liberties });
                }
                continue;
            }
            self.ways(next.glyph, at, |walk, end, more| {
                let separators = liberties.separators + more.separators;
                let case = liberties.case + more.case;
                walk.in_tree(tree, child, end, Liberties { separators, case });
            });
        }
    }

    /// A number of a grid is digits with a decimal sign at most, the comma being one too.
    fn on_grid(&mut self, figure: usize, at: usize) {
        let Signs::Grid(grid) = &self.grammar.scheme.figures[figure].signs else {
            return;
        };
        let mut text = String::new();
        let mut liberties = Liberties::default();
        for (place, &glyph) in self.number(at).iter().enumerate() {
            liberties.separators += usize::from(glyph == ',');
            text.push(if glyph == ',' { '.' } else { glyph });
            if let Some(number) = grid.on_grid(&text) {
                self.ends.push((
                    at + place + 1,
                    liberties,
                    Bound::OnGrid(figure, grid, number),
                ));
            }
        }
    }

    /// The digits and decimal signs from `at` on.
    fn number(&self, at: usize) -> &'a [char] {
        /// No number on a mouthpiece has more digits (common practice, no source).
        const MOST_DIGITS: usize = 12;
        let rest = &self.glyphs[at..];
        let length = rest
            .iter()
            .take_while(|one| one.is_ascii_digit() || matches!(one, '.' | ','))
            .count();
        &rest[..length.min(MOST_DIGITS)]
    }

    /// In a lenient walk, one figure may be any number or word that it does not have.
    fn unknown_sign(&mut self, field: Field, next: usize, at: usize) -> bool {
        let Field::Figure(figure) = field else {
            return false;
        };
        if !self.lenient || self.unknown {
            return false;
        }
        let glyphs = self.glyphs;
        let length = glyphs[at..]
            .iter()
            .take_while(|one| one.is_alphanumeric() || matches!(one, '.' | '/'))
            .count();
        let mut alive = false;
        self.unknown = true;
        for end in (at + 1..=at + length)
            .rev()
            .filter(|&end| is_whole(glyphs, at, end))
        {
            alive |= self.go_on(
                next,
                Read {
                    start: at,
                    end,
                    what: What::Unknown(figure),
                },
                Liberties::default(),
            );
        }
        self.unknown = false;
        alive
    }
}

/// Whether no number is cut in two at either end.
fn is_whole(glyphs: &[char], start: usize, end: usize) -> bool {
    let digit = |place: usize| glyphs.get(place).is_some_and(char::is_ascii_digit);
    let cut = |place: usize| place > 0 && digit(place - 1) && digit(place);
    !cut(start) && !cut(end)
}
