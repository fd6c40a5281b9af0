//! The same piece with the errors of one trial, carried along the same route.

use std::sync::Arc;

use super::carry::{Carried, Measured, RouteKind};
use super::declared::Declared;
use super::piece::{Correction, Piece, Stated};
use crate::method::Method;
use crate::profile::{Contour, ContourFigure};
use crate::uncertainty::Draw;

impl Piece {
    /// The piece as it would be with the errors of `draw`: every figure, contour figure, point of a
    /// trace and correction moved, their sources kept, so that routes are chosen and named as before. Its profile is
    /// solved anew when it is asked for.
    #[must_use]
    pub fn drawn(&self, draw: &Draw) -> Self {
        let stated = self.stated().iter().map(|stated| Stated {
            estimate: stated.estimate.moved(draw),
            ..stated.clone()
        });
        let corrections = self.corrections().iter().map(|one| corrected(one, draw));
        let piece = Self::corrected(
            stated.collect(),
            self.contour().map(|contour| moved(contour, draw)),
            corrections.collect(),
        );
        let piece = match self.trace() {
            Some(trace) => piece.with_trace(Arc::new(trace.moved(draw))),
            None => piece,
        };
        piece.in_a_trial()
    }

    /// What `wanted` would be of this piece: by its method and along its route. None where that
    /// route is closed to it.
    pub fn along(&self, wanted: &Measured) -> Option<Measured> {
        if wanted.route.kind == RouteKind::Traced {
            let estimate = self.trace()?.read(&wanted.method)?;
            return Some(Measured {
                estimate,
                ..wanted.clone()
            });
        }
        let same = |one: &Measured| one.route == wanted.route;
        match self.carry(&wanted.method) {
            Carried::By(best, others) => std::iter::once(best).chain(others).find(same),
            Carried::CannotBeCompared(_) => None,
        }
    }

    /// Every value that a method has on this piece, by each route, the surest first.
    pub fn by_every_route(&self, method: &Method) -> Vec<Measured> {
        match self.carry(method) {
            Carried::By(best, others) => std::iter::once(best).chain(others).collect(),
            Carried::CannotBeCompared(_) => Vec::new(),
        }
    }
}

fn corrected(correction: &Correction, draw: &Draw) -> Correction {
    match correction {
        Correction::Declared(offset) => Correction::Declared(Arc::new(Declared {
            offset: offset.offset.moved(draw),
            // The route was open before; an error of this trial does not close it.
            range: (f64::NEG_INFINITY, f64::INFINITY),
            ..(**offset).clone()
        })),
        Correction::Paired { fit, .. } => Correction::Paired {
            fit: fit.clone(),
            errors: Some(*draw),
        },
    }
}

fn moved(contour: &Contour, draw: &Draw) -> Contour {
    let figures = ContourFigure::ALL.map(|which| contour.figure(which).moved(draw));
    Contour::new(
        figures,
        contour.throat.as_ref().map(|throat| throat.moved(draw)),
    )
}
