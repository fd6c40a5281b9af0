//! A piece that a target scheme can name.
//!
//! Nothing of it depends on the piece at hand, so that a target keeps the ones it was asked for last and
//! questions share them: the metal, and its own figures as they are compared.

use std::any::Any;
use std::sync::{Arc, OnceLock};

use crate::language::Sentence;
use crate::route::Known;
use crate::scheme::{Binding, Made, Scheme};

/// What is struck on a piece that a scheme can name, its metal left aside.
#[derive(Debug)]
pub struct Struck {
    /// Places of the stamps, one a part.
    pub stamps: Arc<Vec<usize>>,
    /// What they say.
    pub bindings: Vec<Binding>,
}

/// A piece that a scheme can name, whole.
#[derive(Debug)]
pub struct Named {
    /// Places of the stamps, one a part.
    pub stamps: Arc<Vec<usize>>,
    /// What they say.
    pub bindings: Vec<Binding>,
    /// The metal.
    pub made: Made,
    own: OnceLock<Vec<Result<Known, Sentence>>>,
    kept: OnceLock<Box<dyn Any + Send + Sync>>,
}

impl Named {
    pub(super) fn new(scheme: &Scheme, bindings: Vec<Binding>, stamps: &Arc<Vec<usize>>) -> Self {
        Self {
            made: scheme.make_another(&bindings, stamps),
            stamps: stamps.clone(),
            bindings,
            own: OnceLock::new(),
            kept: OnceLock::new(),
        }
    }

    /// Its figures by the methods that they are compared by, in the order of [`Made::figures`].
    pub(super) fn own(&self, scheme: &Scheme) -> &[Result<Known, Sentence>] {
        self.own.get_or_init(|| {
            let figures = self.made.figures.iter();
            let methods = figures.map(|given| &scheme.figures[given.figure].compared_by);
            methods
                .map(|method| self.made.piece.known(method))
                .collect()
        })
    }

    /// The place among its own figures of what is known by one of them; none where `known` is not kept with it.
    pub fn place(&self, known: &Known) -> Option<usize> {
        let same = |one: &Result<Known, Sentence>| one.as_ref().is_ok_and(|one| one.is(known));
        self.own.get()?.iter().position(same)
    }

    /// What those who show it make of it, made once and kept with it. None for another type than the first
    /// that was kept.
    pub fn kept<T: Send + Sync + 'static>(&self, make: impl FnOnce() -> T) -> Option<&T> {
        let kept = self.kept.get_or_init(|| Box::new(make()));
        kept.downcast_ref()
    }
}
