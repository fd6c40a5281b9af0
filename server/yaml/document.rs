//! A file that passed the gate, and where everything in it stands.
//!
//! The nodes lie flat in the order in which they are written, each with the
//! stretch of nodes under it; a place is worked out when it is asked for.

use std::ops::Range;

use crate::diagnostic::Place;

use super::path::{Path, Step};
use super::source::Source;

/// What a node is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// A scalar without quotes.
    Plain,
    /// A scalar in quotes, or a block of text.
    Quoted,
    /// A list.
    List,
    /// A mapping.
    Mapping,
}

/// One value. Bytes and nodes are `u32` to keep a large table small.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub kind: Kind,
    /// The node above; the root is its own.
    pub parent: u32,
    /// One past the last node under this one.
    pub next: u32,
    /// Where it stands, in bytes.
    pub value: (u32, u32),
    /// Of a scalar: the [`fingerprint`] of its text.
    pub fingerprint: u32,
    /// Its key, if it stands in a mapping.
    pub key: Option<Key>,
}

/// The key of a value.
#[derive(Debug, Clone, Copy)]
pub(super) struct Key {
    /// Index into [`Document::names`].
    pub name: u32,
    /// Where it stands, in bytes.
    pub bytes: (u32, u32),
}

/// The root of every document.
pub(super) const ROOT: usize = 0;

/// A file that passed the gate. It owns the text.
#[derive(Debug)]
pub struct Document {
    pub(super) source: Source,
    pub(super) nodes: Vec<Node>,
    pub(super) names: Vec<Box<str>>,
}

impl Document {
    /// The text, without a byte order mark.
    pub fn text(&self) -> &str {
        &self.source.text
    }

    /// The name of the file, as people see it.
    pub fn file(&self) -> &str {
        &self.source.file
    }

    /// Where a value stands: the first line of it. If it is not there, where
    /// the nearest thing above it is named.
    ///
    /// Items are counted from the first, so the place of every row of a long
    /// table should not be asked for, only of those that are wrong.
    pub fn place(&self, path: &Path) -> Place {
        match self.find(path) {
            (node, true) => self.value_place(node),
            (node, false) => self.name_place(node),
        }
    }

    /// Where the key of a value stands; for an item of a list, the item. If it
    /// is not there, where the nearest thing above it is named.
    pub fn place_of_key(&self, path: &Path) -> Place {
        self.name_place(self.find(path).0)
    }

    /// The line, from 1, of each item of a list; empty where there is no list.
    pub fn lines(&self, list: &Path) -> Vec<usize> {
        match self.find(list) {
            (node, true) if self.nodes[node].kind == Kind::List => self
                .children(node)
                .map(|item| self.source.line(self.nodes[item].value.0 as usize))
                .collect(),
            _ => Vec::new(),
        }
    }

    /// Whether a scalar is in quotes or a block of text; `None` if there is no
    /// scalar there.
    pub fn quoted(&self, path: &Path) -> Option<bool> {
        match self.find(path) {
            (node, true) => match self.nodes[node].kind {
                Kind::Quoted => Some(true),
                Kind::Plain => Some(false),
                Kind::List | Kind::Mapping => None,
            },
            _ => None,
        }
    }

    pub(super) fn value_place(&self, node: usize) -> Place {
        self.source.place(range(self.nodes[node].value))
    }

    /// The key, or the value of what has none; the root is the whole file.
    pub(super) fn name_place(&self, node: usize) -> Place {
        match self.nodes[node].key {
            Some(key) => self.source.place(range(key.bytes)),
            None if node == ROOT => Place::whole(self.source.file.clone()),
            None => self.value_place(node),
        }
    }

    /// A value as it is written, quotes and all.
    pub(super) fn written(&self, node: usize) -> &str {
        &self.source.text[range(self.nodes[node].value)]
    }

    pub(super) fn name(&self, node: usize) -> Option<&str> {
        let key = self.nodes[node].key?;
        Some(&self.names[key.name as usize])
    }

    pub(super) fn first_child(&self, node: usize) -> Option<usize> {
        (node + 1 < self.nodes[node].next as usize).then_some(node + 1)
    }

    pub(super) fn next_sibling(&self, node: usize) -> Option<usize> {
        let next = self.nodes[node].next;
        let parent = self.nodes[node].parent as usize;
        (next < self.nodes[parent].next).then_some(next as usize)
    }

    pub(super) fn path(&self, node: usize) -> Path {
        if node == ROOT {
            return Path::root();
        }
        let parent = self.nodes[node].parent as usize;
        let step = match self.name(node) {
            Some(name) => Step::Key(name.into()),
            None => Step::Index(
                self.children(parent)
                    .take_while(|child| *child != node)
                    .count(),
            ),
        };
        self.path(parent).then(step)
    }

    fn children(&self, node: usize) -> impl Iterator<Item = usize> {
        std::iter::successors(self.first_child(node), |child| self.next_sibling(*child))
    }

    /// The deepest node on the path, and whether that is its end.
    fn find(&self, path: &Path) -> (usize, bool) {
        let mut node = ROOT;
        for step in path.steps() {
            match self.child(node, step) {
                Some(child) => node = child,
                None => return (node, false),
            }
        }
        (node, true)
    }

    fn child(&self, node: usize, step: &Step) -> Option<usize> {
        match (step, self.nodes[node].kind) {
            (Step::Key(key), Kind::Mapping) => self
                .children(node)
                .find(|child| self.name(*child) == Some(key)),
            (Step::Index(index), Kind::List) => self.children(node).nth(*index),
            _ => None,
        }
    }
}

/// A number by which texts that differ can be told from each other, nearly
/// always: FNV-1a in 32 bits, from its authors' published constants.
pub(super) fn fingerprint(text: &str) -> u32 {
    text.bytes().fold(0x811c_9dc5, |hash, byte| {
        (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193)
    })
}

fn range((start, end): (u32, u32)) -> Range<usize> {
    start as usize..end as usize
}
