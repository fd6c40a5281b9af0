//! The spellings of a field, and a tree of them for reading.

use std::borrow::Cow;
use std::iter::repeat_n;

use super::typed::{HARD_BLANK, Typed, folded};
use crate::scheme::{Binding, Field, Scheme, Series, Sign, Signs};

/// One value of a field with all its spellings, the canonical one first.
pub(super) struct Value<'a> {
    /// Each spelling and what it binds.
    pub spellings: Vec<(Cow<'a, str>, Binding)>,
}

/// All values of a field, in the order of the scheme. A grid is listed too.
pub(super) fn values(scheme: &Scheme, field: Field) -> Vec<Value<'_>> {
    match field {
        Field::Series => scheme.series.iter().enumerate().map(series_value).collect(),
        Field::Entry => {
            let entries = scheme.entries.iter().enumerate();
            entries
                .map(|(place, entry)| alike(&entry.name, &entry.also, Binding::Entry(place)))
                .collect()
        }
        Field::Figure(figure) => match &scheme.figures[figure].signs {
            Signs::None => Vec::new(),
            Signs::Listed(list) => {
                let listed = list.iter();
                listed
                    .map(|(sign, also)| {
                        alike(&sign.text, also, Binding::Figure(figure, sign.clone()))
                    })
                    .collect()
            }
            Signs::Grid(grid) => (0..grid.count())
                .map(|place| on_grid(figure, grid.sign(place)))
                .collect(),
        },
        Field::Mark(mark) => {
            let codes = scheme.marks[mark].codes.iter().enumerate();
            codes
                .map(|(place, code)| {
                    alike(&code.code, &code.also, Binding::Mark { mark, code: place })
                })
                .collect()
        }
    }
}

fn series_value((series, named): (usize, &Series)) -> Value<'_> {
    let words = named.words.iter().enumerate();
    let spellings = words.map(|(word, (text, _))| {
        (
            Cow::Borrowed(text.as_str()),
            Binding::Series { series, word },
        )
    });
    Value {
        spellings: spellings.collect(),
    }
}

fn alike<'a>(canonical: &'a str, also: &'a [String], binding: Binding) -> Value<'a> {
    let texts = std::iter::once(canonical).chain(also.iter().map(String::as_str));
    let spellings = texts.map(Cow::Borrowed);
    Value {
        spellings: spellings.zip(repeat_n(binding, 1 + also.len())).collect(),
    }
}

fn on_grid(figure: usize, sign: Sign) -> Value<'static> {
    let text = Cow::Owned(sign.text.clone());
    Value {
        spellings: vec![(text, Binding::Figure(figure, sign))],
    }
}

/// The glyphs of a spelling. A blank between digits is hard: without it `1 1/16` would be
/// another number.
pub(super) fn hardened(text: &str) -> Vec<char> {
    let mut glyphs = Typed::of(text).glyphs;
    for place in 1..glyphs.len().saturating_sub(1) {
        let digits = glyphs[place - 1].is_ascii_digit() && glyphs[place + 1].is_ascii_digit();
        if glyphs[place] == ' ' && digits {
            glyphs[place] = HARD_BLANK;
        }
    }
    glyphs
}

/// Spellings that share their beginnings. Flat: children are a chain of neighbours.
#[derive(Debug)]
pub(super) struct Tree {
    nodes: Vec<Node>,
    bindings: Vec<Binding>,
}

#[derive(Debug, Default)]
struct Node {
    glyph: char,
    first_child: Option<usize>,
    next: Option<usize>,
    bound: Vec<usize>,
}

impl Tree {
    /// The node before all spellings.
    pub const ROOT: usize = 0;

    /// The tree of all spellings; letters that differ in case alone share a node unless
    /// `case_matters`.
    pub fn new(values: Vec<Value<'_>>, case_matters: bool) -> Self {
        let mut tree = Self {
            nodes: vec![Node::default()],
            bindings: Vec::new(),
        };
        for (text, binding) in values.into_iter().flat_map(|value| value.spellings) {
            tree.insert(&text, binding, case_matters);
        }
        tree
    }

    /// The nodes one glyph further on, each with its glyph.
    pub fn children(&self, node: usize) -> impl Iterator<Item = (char, usize)> {
        let first = self.nodes[node].first_child;
        let chain = std::iter::successors(first, |&child| self.nodes[child].next);
        chain.map(|child| (self.nodes[child].glyph, child))
    }

    /// What the spellings that end at a node bind.
    pub fn bound(&self, node: usize) -> impl Iterator<Item = &Binding> {
        self.nodes[node]
            .bound
            .iter()
            .map(|&place| &self.bindings[place])
    }

    fn insert(&mut self, text: &str, binding: Binding, case_matters: bool) {
        let mut node = Self::ROOT;
        for glyph in hardened(text) {
            node = self.child(node, glyph, case_matters);
        }
        if node != Self::ROOT {
            self.nodes[node].bound.push(self.bindings.len());
            self.bindings.push(binding);
        }
    }

    fn child(&mut self, node: usize, glyph: char, case_matters: bool) -> usize {
        let same = |one: char| one == glyph || (!case_matters && folded(one) == folded(glyph));
        let found = self.children(node).find(|(one, _)| same(*one));
        if let Some((_, child)) = found {
            return child;
        }
        let child = self.nodes.len();
        let next = self.nodes[node].first_child.replace(child);
        self.nodes.push(Node {
            glyph,
            next,
            ..Node::default()
        });
        child
    }
}
