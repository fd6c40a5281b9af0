//! Values of which only limits are known, carried along routes.
//!
//! What a method reads rises with what another method of the same piece reads, all else equal, so
//! each end is carried for itself, by the surest route that is open to it, and stays an end. An
//! end that no route reaches is lost: the interval gets wider and stays true.

use super::carry::{Carried, Route};
use super::piece::{Piece, Stated};
use crate::method::Method;
use crate::uncertainty::{Estimate, Interval, NoInterval};

/// A figure that is stated by its limits: a drill passes and the next does not.
#[derive(Clone, Debug)]
pub struct Limited {
    /// By which method.
    pub method: Method,
    /// Its limits, mm or mm³.
    pub interval: Interval,
    /// As it was given.
    pub given: String,
    /// Who says so.
    pub source: String,
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

impl Piece {
    /// Between which readings of `method` this piece lies, where of `limited`'s quantity only
    /// limits are known. What the piece states of other quantities and its form stand as they are.
    ///
    /// # Errors
    /// Why no end can be carried.
    pub fn within(&self, limited: &Limited, method: &Method) -> Result<Within, String> {
        let mut routes: Vec<Route> = Vec::new();
        let mut why = String::new();
        let carry = |end: &Estimate| match self.at(limited, end).carry(method) {
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
        match limited.interval.carried(carry) {
            Ok(interval) => Ok(Within {
                method: method.clone(),
                interval,
                routes,
            }),
            Err(NoInterval::Endless) => Err(why),
            Err(crossed) => Err(crossed.to_string()),
        }
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
}
