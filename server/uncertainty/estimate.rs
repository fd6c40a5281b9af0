//! A value with its error sources: an uncertain number.
//!
//! Each part says how far the value moves when one source errs by one standard
//! deviation, with its sign. Parts are kept sorted by source, each source once,
//! none at zero, so that combining is one walk over two lists. Whatever is
//! shared between two estimates cancels or adds by itself (JCGM 100, 5.2 and
//! F.1.2.3), and the parts of one estimate are independent of each other.
//!
//! First order only: a model's own value and sensitivities come from the
//! caller.

use super::{Distribution, Source, coverage};
use std::cmp::Ordering;
use std::sync::Arc;

/// What one source does to a value.
#[derive(Debug, Clone)]
pub struct Part {
    /// The source.
    pub source: Arc<Source>,
    /// Sensitivity × standard uncertainty of the source, in the unit of the value, signed.
    pub contribution: f64,
}

/// A value and the parts of its uncertainty. Unit: the caller's, the same throughout.
#[derive(Debug, Clone)]
pub struct Estimate {
    value: f64,
    parts: Vec<Part>,
}

impl Estimate {
    /// A value without uncertainty.
    pub fn exact(value: f64) -> Self {
        Self {
            value,
            parts: Vec::new(),
        }
    }

    /// A value with one source; `u` is a standard uncertainty, zero or more.
    pub fn new(value: f64, u: f64, mut source: Arc<Source>) -> Self {
        source.of_input(value, u);
        let mut parts = Vec::with_capacity(1);
        push(&mut parts, &source, u);
        Self { value, parts }
    }

    /// A value within limits: u = half-width / √3 (JCGM 100, 4.3.7).
    pub fn rectangular(value: f64, half_width: f64, source: Arc<Source>) -> Self {
        Self::new(
            value,
            half_width / Distribution::Rectangular.divisor(),
            source,
        )
    }

    /// The value of a model, with its sensitivity (partial derivative) to each
    /// input. An input may stand there more than once.
    ///
    /// All combining goes through here: JCGM 100, eq. 13, with the
    /// covariances that shared sources make.
    pub fn linear(value: f64, terms: &[(f64, &Self)]) -> Self {
        let parts = match terms {
            [] => Vec::new(),
            [only] => merged(weighted(only), (1.0, &[])),
            [one, other, rest @ ..] => rest
                .iter()
                .fold(merged(weighted(one), weighted(other)), |sum, next| {
                    merged((1.0, &sum), weighted(next))
                }),
        };
        Self { value, parts }
    }

    /// The sum.
    #[must_use]
    pub fn plus(&self, other: &Self) -> Self {
        Self::linear(self.value + other.value, &[(1.0, self), (1.0, other)])
    }

    /// The difference.
    #[must_use]
    pub fn minus(&self, other: &Self) -> Self {
        Self::linear(self.value - other.value, &[(1.0, self), (-1.0, other)])
    }

    /// The value times an exact factor.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self::linear(self.value * factor, &[(factor, self)])
    }

    /// The value plus an exact one.
    #[must_use]
    pub fn offset(&self, by: f64) -> Self {
        Self::linear(self.value + by, &[(1.0, self)])
    }

    /// The best estimate.
    pub fn value(&self) -> f64 {
        self.value
    }

    /// The parts of the uncertainty, each source once, in no order that means anything.
    pub fn parts(&self) -> &[Part] {
        &self.parts
    }

    /// Combined standard uncertainty.
    pub fn u(&self) -> f64 {
        self.variance().sqrt()
    }

    /// The square of [`Estimate::u`].
    pub fn variance(&self) -> f64 {
        self.parts
            .iter()
            .map(|part| part.contribution * part.contribution)
            .sum()
    }

    /// Covariance of two estimates, from the sources they share (JCGM 100, F.1.2.3).
    pub fn covariance(&self, other: &Self) -> f64 {
        let mut sum = 0.0;
        walk(&self.parts, &other.parts, |pair| {
            if let Pair::Both(one, other) = pair {
                sum += one.contribution * other.contribution;
            }
        });
        sum
    }

    /// The factor that makes an expanded uncertainty of [`Estimate::u`], for 95 %; see
    /// [`super::coverage`].
    pub fn coverage_factor(&self) -> f64 {
        coverage::factor(&self.parts)
    }

    /// Effective degrees of freedom by Welch and Satterthwaite (JCGM 100,
    /// G.4.1), not truncated. None if infinite, as when no part has a finite number.
    pub fn effective_degrees_of_freedom(&self) -> Option<f64> {
        let variance = self.variance();
        let share = |part: &Part| {
            let freedom = part.source.degrees_of_freedom()?;
            // As shares of the whole, so that small numbers do not vanish in their fourth power.
            Some((part.contribution * part.contribution / variance).powi(2) / freedom)
        };
        let sum: f64 = self.parts.iter().filter_map(share).sum();
        (sum > 0.0).then(|| 1.0 / sum)
    }
}

fn weighted<'a>(term: &'a (f64, &Estimate)) -> (f64, &'a [Part]) {
    (term.0, &term.1.parts)
}

/// The weighted sum of two sorted lists of parts, sorted.
fn merged(one: (f64, &[Part]), other: (f64, &[Part])) -> Vec<Part> {
    let mut sum = Vec::with_capacity(one.1.len() + other.1.len());
    walk(one.1, other.1, |pair| match pair {
        Pair::One(part) => push(&mut sum, &part.source, one.0 * part.contribution),
        Pair::Other(part) => push(&mut sum, &part.source, other.0 * part.contribution),
        Pair::Both(left, right) => {
            let contribution = one.0 * left.contribution + other.0 * right.contribution;
            let source = Source::more_cautious(&left.source, &right.source);
            push(&mut sum, source, contribution);
        }
    });
    sum
}

fn push(parts: &mut Vec<Part>, source: &Arc<Source>, contribution: f64) {
    if contribution != 0.0 {
        parts.push(Part {
            source: Arc::clone(source),
            contribution,
        });
    }
}

/// A source that one list has, the other, or both.
enum Pair<'a> {
    One(&'a Part),
    Other(&'a Part),
    Both(&'a Part, &'a Part),
}

/// Visits every source of two sorted lists once, in order.
fn walk<'a>(mut one: &'a [Part], mut other: &'a [Part], mut visit: impl FnMut(Pair<'a>)) {
    while let ([left, one_rest @ ..], [right, other_rest @ ..]) = (one, other) {
        let order = Source::order(&left.source, &right.source);
        visit(match order {
            Ordering::Less => Pair::One(left),
            Ordering::Greater => Pair::Other(right),
            Ordering::Equal => Pair::Both(left, right),
        });
        if order.is_le() {
            one = one_rest;
        }
        if order.is_ge() {
            other = other_rest;
        }
    }
    one.iter().for_each(|part| visit(Pair::One(part)));
    other.iter().for_each(|part| visit(Pair::Other(part)));
}
