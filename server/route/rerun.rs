//! A carried value on other numbers: what the same route gives when its inputs are drawn.
//!
//! A Monte Carlo run (JCGM 101) draws every source of doubt, makes plain numbers of the
//! estimates that go in, and asks for the reading again. The route stays the one that was
//! chosen; solving and reading are the code that makes the estimates.

use super::carry::{Measured, direct, profile_route, trace_route};
use super::equations::{Equations, Reading};
use super::piece::Piece;
use super::solve::pin_numbers;
use crate::method::Method;
use crate::profile::{Gauge, Trace};
use crate::uncertainty::Estimate;

/// How a carried value is made of numbers.
#[derive(Clone, Debug)]
pub struct Rerun<'a> {
    method: &'a Method,
    from: From<'a>,
}

#[derive(Clone, Debug)]
enum From<'a> {
    /// The figure itself, as stated or carried by an offset.
    Figure(&'a Estimate),
    Trace(&'a Trace),
    Metal(Equations<'a>),
}

impl Rerun<'_> {
    /// The reading where each input is as `number` says of its estimate; none where these
    /// numbers make no metal, or none that the gauge reads.
    pub fn read(&self, mut number: impl FnMut(&Estimate) -> f64) -> Option<f64> {
        match &self.from {
            From::Figure(estimate) => Some(number(estimate)),
            From::Trace(trace) => self.method.read(&trace.numbers(number)),
            From::Metal(equations) => {
                let inputs: Vec<f64> = equations.inputs().map(number).collect();
                pin_numbers(equations, &inputs).ok()?.read(self.method)
            }
        }
    }
}

impl Piece {
    /// How a value that was carried on this piece is made of numbers; none for a value of
    /// another piece.
    pub fn rerun<'a>(&'a self, measured: &'a Measured) -> Option<Rerun<'a>> {
        let (method, route) = (&measured.method, &measured.route);
        let figure = || {
            let mut anchors = self.anchors.iter();
            let same = anchors.find(|anchor| {
                anchor.stated.method == *method && direct(anchor, method).route == *route
            });
            same.map(|anchor| From::Figure(&anchor.stated.estimate))
        };
        let trace = || {
            let trace = self.trace()?;
            (trace_route(trace, method) == *route).then_some(From::Trace(trace))
        };
        let metal = || {
            let contour = self.contour()?;
            let mut solutions = self.solutions().iter();
            let solution = solutions.find(|solution| {
                let read = solution.profile.read(method);
                read.is_some_and(|read| profile_route(solution, method, &read) == *route)
            })?;
            let anchors = solution.anchors.iter();
            let readings = anchors.map(|anchor| (&anchor.stated.method, &anchor.stated.estimate));
            let readings: Vec<Reading<'_>> = readings.collect();
            Some(From::Metal(Equations::new(&readings, contour)?))
        };
        let from = figure().or_else(trace).or_else(metal)?;
        Some(Rerun { method, from })
    }
}
