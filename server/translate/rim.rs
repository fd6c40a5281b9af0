//! Which pieces of a scheme share a rim and a cup.
//!
//! A scheme names many pieces of one rim and cup: other throats, backbores, blanks and parts. Who looks
//! for the nearest wants the first of each, so that the first places are not all one rim.

use crate::method::Quantity;
use crate::unit::Span;

/// What makes two pieces different ones, whatever stands behind the cup.
pub const RIM_AND_CUP: [Quantity; 3] = [
    Quantity::RimInnerDiameter,
    Quantity::CupDepth,
    Quantity::CupVolume,
];

/// The rim and cup of a piece as its scheme states them.
#[derive(Clone, Debug, PartialEq)]
pub struct RimAndCup {
    /// The form, by the first one of the target whose figures are the same.
    form: usize,
    /// Figures and what they may be, by their places in the scheme; never empty.
    stated: Vec<(usize, Span)>,
}

impl RimAndCup {
    /// None where nothing is stated of either.
    pub(super) fn new(form: usize, stated: impl Iterator<Item = (usize, Span)>) -> Option<Self> {
        let mut stated: Vec<(usize, Span)> = stated.collect();
        stated.sort_unstable_by_key(|(figure, _)| *figure);
        (!stated.is_empty()).then_some(Self { form, stated })
    }
}

/// What is looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Wanted {
    /// The nearest pieces.
    Pieces,
    /// The nearest piece of each rim and cup, with the next few that share them.
    Rims,
}

impl Wanted {
    /// Pieces that are kept of one rim and cup beside the nearest.
    pub fn further(self) -> usize {
        match self {
            Self::Pieces => 0,
            Self::Rims => FURTHER,
        }
    }
}

/// So many further names of one rim and cup are read by anybody; one more tells that there are others.
const FURTHER: usize = MOST_SHOWN + 1;

/// No more further names of one rim and cup are shown.
pub const MOST_SHOWN: usize = 3;
