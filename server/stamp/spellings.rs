//! The spellings of a field, and a tree of them for reading.

use std::borrow::Cow;
use std::iter::repeat_n;

use super::grammar::Heads;
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

/// Spellings that share their beginnings. Flat: children are a chain of neighbours, and so is
/// what one spelling binds.
#[derive(Debug)]
pub(super) struct Tree {
    nodes: Vec<Node>,
    bindings: Vec<(Binding, u32)>,
    case_matters: bool,
    /// With what spellings begin.
    heads: Heads,
}

/// A glyph of a spelling. Numbers are places, small so that many nodes lie together.
#[derive(Debug, Clone, Copy)]
pub(super) struct Node {
    /// As it is spelled.
    pub glyph: char,
    /// As it is compared.
    pub key: char,
    /// Whether others may stand for it.
    pub has_stand_ins: bool,
    first_child: u32,
    next: u32,
    /// The first of the bindings of the spelling that ends here.
    bound: u32,
}

/// No place.
const NONE: u32 = u32::MAX;

impl Node {
    fn of(glyph: char, key: char, has_stand_ins: bool) -> Self {
        Self {
            glyph,
            key,
            has_stand_ins,
            first_child: NONE,
            next: NONE,
            bound: NONE,
        }
    }
}

impl Tree {
    /// The node before all spellings.
    pub const ROOT: usize = 0;

    /// The tree of all spellings; letters that differ in case alone share a node unless
    /// `case_matters`. `has_stand_ins` knows of a glyph whether others may stand for it.
    pub fn new(
        values: Vec<Value<'_>>,
        case_matters: bool,
        has_stand_ins: impl Fn(char) -> bool,
    ) -> Self {
        let mut tree = Self {
            nodes: vec![Node::of('\0', '\0', false)],
            bindings: Vec::with_capacity(values.len()),
            case_matters,
            heads: 0,
        };
        for (text, binding) in values.into_iter().flat_map(|value| value.spellings) {
            tree.insert(&text, binding, &has_stand_ins);
        }
        tree
    }

    /// A glyph as it is compared: without its case, unless that matters.
    #[inline]
    pub fn key(&self, glyph: char) -> char {
        match self.case_matters {
            true => glyph,
            false => folded(glyph),
        }
    }

    /// With what spellings begin.
    pub fn heads(&self) -> Heads {
        self.heads
    }

    /// Whether a spelling can begin with this glyph, or where nothing more is typed.
    #[inline]
    pub fn may_begin_with(&self, typed: Option<char>) -> bool {
        match typed.map(|typed| self.key(typed)).filter(char::is_ascii) {
            Some(key) => self.heads >> u32::from(key) & 1 == 1,
            None => self.heads == Heads::MAX,
        }
    }

    /// The nodes one glyph further on, with their places.
    #[inline]
    pub fn children(&self, node: usize) -> impl Iterator<Item = (usize, &Node)> {
        let mut next = self.nodes[node].first_child;
        std::iter::from_fn(move || {
            let child = next as usize;
            let one = self.nodes.get(child)?;
            next = one.next;
            Some((child, one))
        })
    }

    /// What the spellings that end at a node bind.
    #[inline]
    pub fn bound(&self, node: usize) -> impl Iterator<Item = &Binding> {
        let mut next = self.nodes[node].bound;
        std::iter::from_fn(move || {
            let (binding, after) = self.bindings.get(next as usize)?;
            next = *after;
            Some(binding)
        })
    }

    fn insert(&mut self, text: &str, binding: Binding, has_stand_ins: impl Fn(char) -> bool) {
        let mut node = Self::ROOT;
        for glyph in hardened(text) {
            node = self.child(node, glyph, &has_stand_ins);
        }
        if node != Self::ROOT {
            self.bind(node, binding);
        }
    }

    /// Adds to what a spelling binds, at the end.
    fn bind(&mut self, node: usize, binding: Binding) {
        let place = place(self.bindings.len());
        let (mut last, mut next) = (NONE, self.nodes[node].bound);
        while let Some((_, after)) = self.bindings.get(next as usize) {
            (last, next) = (next, *after);
        }
        match self.bindings.get_mut(last as usize) {
            Some((_, next)) => *next = place,
            None => self.nodes[node].bound = place,
        }
        self.bindings.push((binding, NONE));
    }

    fn child(&mut self, node: usize, glyph: char, has_stand_ins: impl Fn(char) -> bool) -> usize {
        let key = self.key(glyph);
        let found = self.children(node).find(|(_, one)| one.key == key);
        if let Some((child, _)) = found {
            return child;
        }
        let child = self.nodes.len();
        let next = std::mem::replace(&mut self.nodes[node].first_child, place(child));
        let new = Node::of(glyph, key, has_stand_ins(glyph));
        if node == Self::ROOT {
            self.heads |= match key.is_ascii() && !new.has_stand_ins {
                true => 1 << u32::from(key),
                false => Heads::MAX,
            };
        }
        self.nodes.push(Node { next, ..new });
        child
    }
}

fn place(number: usize) -> u32 {
    u32::try_from(number).expect("a file under 4 GiB has fewer glyphs")
}
