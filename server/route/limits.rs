//! Values of which only limits are known, carried along routes.
//!
//! What a method reads rises with what another method of the same quantity reads on the same piece,
//! all else equal (a cup's volume with its depth too), so each end is carried for itself, by the
//! surest route that is open to it, and stays an end. An end that no route reaches is lost: the
//! interval gets wider and stays true.
//!
//! Limits pin no metal: what would need such a figure for a correction of another quantity
//! cannot be compared.

use std::sync::Arc;

use super::carry::{Carried, Measured, Route};
use super::piece::{Piece, Stated};
use crate::language::Sentence;
use crate::method::{Method, Quantity};
use crate::uncertainty::{Estimate, Interval, NoInterval};
use crate::unit::Span;

/// A figure that is stated by its limits: a drill passes and the next does not.
#[derive(Clone, Debug)]
pub struct Limited {
    /// By which method.
    pub method: Method,
    /// Its limits, mm or mm³.
    pub interval: Interval,
    /// As it was given.
    pub given: Sentence,
    /// Who says so.
    pub source: Sentence,
}

/// Limits by a method, and how they got there.
#[derive(Clone, Debug)]
pub struct Within {
    /// By which method.
    pub method: Method,
    /// The limits, mm or mm³.
    pub interval: Interval,
    /// The route of each end that is left, once where both took the same.
    pub routes: Vec<Route>,
}

/// What is known of one measure of a piece.
#[derive(Clone, Debug)]
pub enum Known {
    /// A value with its uncertainty.
    Value(Arc<Measured>),
    /// Limits.
    Limits(Arc<Within>),
}

impl Known {
    /// By which method.
    pub fn method(&self) -> &Method {
        match self {
            Self::Value(measured) => &measured.method,
            Self::Limits(within) => &within.method,
        }
    }

    /// Whether it is the very same, shared, and not only equal.
    pub fn is(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Value(one), Self::Value(other)) => Arc::ptr_eq(one, other),
            (Self::Limits(one), Self::Limits(other)) => Arc::ptr_eq(one, other),
            _ => false,
        }
    }

    /// All that it may be, mm or mm³, without uncertainty: for ranking.
    pub fn span(&self) -> Span {
        match self {
            Self::Value(measured) => Span::at(measured.estimate.value()),
            Self::Limits(within) => within.interval.span(),
        }
    }
}

impl Piece {
    /// What `method` reads on this piece: a value where one can be had, or else limits.
    ///
    /// # Errors
    /// What is missing.
    pub fn known(&self, method: &Method) -> Result<Known, Sentence> {
        match self.carry(method) {
            Carried::By(best, _) => Ok(Known::Value(Arc::new(best))),
            Carried::CannotBeCompared(why) => match self.limits_of(method) {
                Some(within) => Ok(Known::Limits(Arc::new(within?))),
                None => Err(why),
            },
        }
    }

    /// All limits of one measure together; none where there are none.
    fn limits_of(&self, method: &Method) -> Option<Result<Within, Sentence>> {
        let same = |one: &Limited| measure(one.method.quantity()) == measure(method.quantity());
        let all = self
            .limited()
            .iter()
            .zip(self.ends())
            .filter(|(one, _)| same(one));
        all.map(|(_, ends)| between(ends, method))
            .reduce(|one, other| both(one?, other))
    }

    /// Between which readings of `method` this piece lies, where of `limited`'s quantity only
    /// limits are known. What the piece states of other quantities and its form stand as they are.
    ///
    /// # Errors
    /// Why no end can be carried.
    pub fn within(&self, limited: &Limited, method: &Method) -> Result<Within, Sentence> {
        between(&self.at_ends(limited), method)
    }

    /// The piece as it would be at the lower and at the upper end.
    pub(super) fn at_ends(&self, limited: &Limited) -> Ends {
        let at = |end: Option<&Estimate>| end.map(|end| self.at(limited, end));
        [at(limited.interval.low()), at(limited.interval.high())]
    }

    /// The piece as it would be if it measured just what one end says.
    fn at(&self, limited: &Limited, end: &Estimate) -> Self {
        let quantity = limited.method.quantity();
        let others = (self.stated().iter()).filter(|one| one.method.quantity() != quantity);
        let stated = Stated {
            method: limited.method.clone(),
            estimate: end.clone(),
            given: limited.given.clone(),
            source: limited.source.clone(),
        };
        Self::corrected(
            std::iter::once(stated).chain(others.cloned()).collect(),
            self.contour().cloned(),
            self.corrections().to_vec(),
        )
    }

    /// The piece as it is drawn: one that its limits allow, in their middle or at their only
    /// end. For a picture only; none where it has no limits.
    pub fn pictured(&self) -> Option<Self> {
        let (first, rest) = self.limited().split_first()?;
        let start = |limited: &Limited| Estimate::exact(limited.interval.span().start());
        let at = |piece: Self, limited: &Limited| piece.at(limited, &start(limited));
        Some(rest.iter().fold(self.at(first, &start(first)), at))
    }
}

/// A piece at the lower and at the upper end of its limits; none where that side is open.
pub(super) type Ends = [Option<Piece>; 2];

/// What `method` reads at either end.
fn between(ends: &Ends, method: &Method) -> Result<Within, Sentence> {
    let mut routes: Vec<Route> = Vec::new();
    let mut why = Sentence::from("");
    let mut carry = |piece: &Piece| match piece.carry(method) {
        Carried::By(best, _) => {
            if !routes.contains(&best.route) {
                routes.push(best.route);
            }
            Some(best.estimate)
        }
        Carried::CannotBeCompared(reason) => {
            why = reason;
            None
        }
    };
    let [low, high] = ends.each_ref().map(|end| carry(end.as_ref()?));
    match Interval::new(low, high) {
        Ok(interval) => Ok(Within {
            method: method.clone(),
            interval,
            routes,
        }),
        Err(NoInterval::Endless) => Err(why),
        Err(fault) => Err(fault.sentence()),
    }
}

/// What two limits of one measure leave.
fn both(one: Within, other: Result<Within, Sentence>) -> Result<Within, Sentence> {
    let other = other?;
    let interval = one.interval.narrowed(&other.interval);
    let mut routes = one.routes;
    for route in other.routes {
        if !routes.contains(&route) {
            routes.push(route);
        }
    }
    Ok(Within {
        method: one.method,
        interval: interval.map_err(|fault| fault.sentence())?,
        routes,
    })
}

/// Depth and volume both say how much cup there is: one measure, counted once.
pub fn measure(quantity: Quantity) -> Quantity {
    match quantity {
        Quantity::CupVolume => Quantity::CupDepth,
        other => other,
    }
}
