//! One measure of two pieces, where of one or both only limits are known.
//!
//! The difference is an interval. It is larger or smaller only if all of it is, with the ends' own
//! uncertainty: beyond the feel limit it is felt, else that cannot be told. No ± is made up.

use super::feel::Feel;
use crate::language;
use crate::method::Method;
use crate::route::Known;
use crate::uncertainty::{Interval, Side};

/// `theirs` less `ours`, as limits. None where nothing is left to say, and for two values, of which the
/// difference is a value ([`super::Difference`]).
fn less(theirs: &Known, ours: &Known) -> Option<Interval> {
    match (theirs, ours) {
        (Known::Limits(theirs), Known::Limits(ours)) => {
            theirs.interval.minus_interval(&ours.interval)
        }
        (Known::Limits(theirs), Known::Value(ours)) => Some(theirs.interval.minus(&ours.estimate)),
        (Known::Value(theirs), Known::Limits(ours)) => {
            Some(ours.interval.taken_from(&theirs.estimate))
        }
        (Known::Value(_), Known::Value(_)) => None,
    }
}

/// A difference of which only limits are known.
#[derive(Clone, Debug)]
pub struct LimitedDifference {
    /// By which method both are stated.
    pub method: Method,
    /// The piece at hand.
    pub ours: Known,
    /// The match.
    pub theirs: Known,
    /// Theirs less ours; none where they are open on the same side.
    pub difference: Option<Interval>,
    /// On which side of the feel limit all of it lies.
    pub side: Side,
}

impl LimitedDifference {
    /// Of both by one method, at least one of them known by its limits only.
    pub fn between(ours: Known, theirs: Known, feel: &Feel) -> Self {
        let difference = less(&theirs, &ours);
        let limit = feel.limit(ours.method().quantity()).same;
        let side = |difference: &Interval| difference.side(limit);
        Self {
            method: theirs.method().clone(),
            side: difference.as_ref().map_or(Side::CannotTell, side),
            difference,
            ours,
            theirs,
        }
    }

    /// The least that it can be either way, without uncertainty, for ranking: zero where
    /// they may be the same.
    pub fn least(&self) -> f64 {
        self.theirs.span().beyond(self.ours.span())
    }

    /// The verdict in words, without numbers.
    pub fn words(&self) -> String {
        let (more, less) = self.method.quantity().directions();
        match self.side {
            Side::Same => say!("the same as far as anyone can feel"),
            Side::More => language::word(more),
            Side::Less => language::word(less),
            Side::AtTheLimit if self.least() > 0.0 => language::word(more),
            Side::AtTheLimit => language::word(less),
            Side::CannotTell => say!("cannot tell"),
        }
    }
}
