//! One measure of two pieces, where of one or both only limits are known.
//!
//! The difference is an interval. It is larger or smaller only if all of it is, beyond the feel limit
//! and with the ends' own uncertainty; else it cannot be told, and no ± is made up.

use super::feel::Feel;
use crate::method::Method;
use crate::route::{Measured, Within};
use crate::uncertainty::{Interval, Side};

/// What is known of one measure of a piece.
#[derive(Clone, Debug)]
pub enum Known {
    /// A value with its uncertainty.
    Value(Measured),
    /// Limits.
    Limits(Within),
}

impl Known {
    /// By which method.
    pub fn method(&self) -> &Method {
        match self {
            Self::Value(measured) => &measured.method,
            Self::Limits(within) => &within.method,
        }
    }

    /// This less `other`, as limits. None where nothing is left to say, and for two values, of which the
    /// difference is a value ([`super::Difference`]).
    pub fn minus(&self, other: &Self) -> Option<Interval> {
        match (self, other) {
            (Self::Limits(one), Self::Limits(other)) => {
                one.interval.minus_interval(&other.interval)
            }
            (Self::Limits(one), Self::Value(other)) => Some(one.interval.minus(&other.estimate)),
            (Self::Value(one), Self::Limits(other)) => {
                Some(other.interval.taken_from(&one.estimate))
            }
            (Self::Value(_), Self::Value(_)) => None,
        }
    }
}

/// A difference of which only limits are known.
#[derive(Clone, Debug)]
pub struct LimitedDifference {
    /// By which method both are stated.
    pub method: Method,
    /// Theirs less ours; none where they are open on the same side.
    pub difference: Option<Interval>,
    /// On which side of the feel limit all of it lies.
    pub side: Side,
}

impl LimitedDifference {
    /// Of both by one method, at least one of them known by its limits only.
    pub fn between(ours: &Known, theirs: &Known, feel: &Feel) -> Self {
        let difference = theirs.minus(ours);
        let limit = feel.limit(ours.method().quantity()).same;
        let side = |difference: &Interval| difference.side(limit);
        Self {
            method: theirs.method().clone(),
            side: difference.as_ref().map_or(Side::CannotTell, side),
            difference,
        }
    }

    /// The verdict in words, without numbers.
    pub fn words(&self) -> &'static str {
        let (more, less) = self.method.quantity().directions();
        match self.side {
            Side::Same => "the same as far as anyone can feel",
            Side::More => more,
            Side::Less => less,
            Side::CannotTell => "cannot tell",
        }
    }
}
