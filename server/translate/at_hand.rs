//! The piece at hand, held against one target after the other.
//!
//! Most targets are compared by the same few methods of the neutral frame: what the piece is by each of them is
//! carried once.

use std::cell::RefCell;

use super::candidates::Target;
use super::feel::Feel;
use super::rim::Wanted;
use super::search::{Carrier, Translation, search};
use crate::language::Sentence;
use crate::method::Method;
use crate::route::{Known, Piece};
use crate::scheme::{Binding, Instrument};

/// What the piece at hand is called, and for what it is.
#[derive(Clone, Debug)]
pub struct Origin {
    /// The name of its scheme.
    pub scheme: String,
    /// Places of its stamps, one a part.
    pub stamps: Vec<usize>,
    /// What they say.
    pub bindings: Vec<Binding>,
    /// Which instruments it serves.
    pub serves: Vec<Instrument>,
}

/// A piece and what is known of it by the methods that targets are compared by.
#[derive(Debug)]
pub struct AtHand<'a> {
    pub(super) piece: &'a Piece,
    pub(super) origin: Option<Origin>,
    carried: RefCell<Vec<(Method, Result<Known, Sentence>)>>,
}

impl<'a> AtHand<'a> {
    /// Of a piece of which no name is known.
    pub fn new(piece: &'a Piece) -> Self {
        Self {
            piece,
            origin: None,
            carried: RefCell::default(),
        }
    }

    /// The same with its name: of equally near pieces it comes first itself, then what serves its instruments.
    #[must_use]
    pub fn called(self, origin: Origin) -> Self {
        Self {
            origin: Some(origin),
            ..self
        }
    }

    /// The nearest pieces of `target`, at most `limit`, as [`super::translate`] finds them.
    pub fn translate(&self, target: &Target, feel: &Feel, limit: usize) -> Translation {
        search(&Carrier::new(self, target, Wanted::Pieces), feel, limit)
    }

    /// The nearest piece of each of `target`'s rims and cups, at most `limit`, each with the next few that share them.
    pub fn rims(&self, target: &Target, feel: &Feel, limit: usize) -> Translation {
        search(&Carrier::new(self, target, Wanted::Rims), feel, limit)
    }

    /// What `method` reads on the piece, or why nothing does.
    pub(super) fn known(&self, method: &Method) -> Result<Known, Sentence> {
        let mut carried = self.carried.borrow_mut();
        if let Some((_, known)) = carried.iter().find(|(one, _)| one.is(method)) {
            return known.clone();
        }
        let known = self.piece.known(method);
        carried.push((method.clone(), known.clone()));
        known
    }
}
