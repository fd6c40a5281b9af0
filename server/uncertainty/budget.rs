//! How a value explains its uncertainty: the budget.
//!
//! One line a source, the largest share first, as JCGM 100 (H.1, Table H.1) has it: the
//! quantity with its own value and u in its own unit, how it is spread, its degrees of freedom, the
//! sensitivity of the result to it, and what it contributes. Shares are of the variance and add
//! up to one, since the parts of an estimate are independent.

use super::{Distribution, Estimate, Expanded, Input, Part};
use crate::language::Sentence;

/// All lines of a value's uncertainty.
#[derive(Clone, Debug, PartialEq)]
pub struct Budget {
    /// What the lines add up to.
    pub total: Expanded,
    /// Effective degrees of freedom by Welch and Satterthwaite (JCGM 100, G.4.1); none if infinite.
    pub effective_degrees_of_freedom: Option<f64>,
    /// The lines, the largest share first.
    pub lines: Vec<Line>,
}

/// One source.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What a person is told of it.
    pub source: Sentence,
    /// What makes it the same source elsewhere.
    pub key: String,
    /// Its own value and u, in `unit`, where known.
    pub input: Option<Input>,
    /// The symbol of its own unit; empty where unknown or none.
    pub unit: &'static str,
    /// How it is spread.
    pub distribution: Distribution,
    /// None if infinite.
    pub degrees_of_freedom: Option<f64>,
    /// By how much the value changes with the source, per unit of it; none where its own u is not known.
    pub sensitivity: Option<f64>,
    /// Sensitivity × u, in the unit of the value, signed.
    pub contribution: f64,
    /// Share of the variance, 0 to 1.
    pub share: f64,
}

impl From<&Estimate> for Budget {
    fn from(estimate: &Estimate) -> Self {
        let variance = estimate.variance();
        let mut lines: Vec<Line> = estimate
            .parts()
            .iter()
            .map(|part| Line::of(part, variance))
            .collect();
        lines.sort_by(|one, other| {
            other
                .share
                .total_cmp(&one.share)
                .then_with(|| one.key.cmp(&other.key))
        });
        Self {
            total: Expanded::from(estimate),
            effective_degrees_of_freedom: estimate.effective_degrees_of_freedom(),
            lines,
        }
    }
}

impl Line {
    fn of(part: &Part, variance: f64) -> Self {
        let (source, contribution) = (&part.source, part.contribution);
        let known = source.input().filter(|input| input.u > 0.0);
        Self {
            source: source.label().clone(),
            key: source.key().to_owned(),
            input: source.input(),
            unit: source.unit(),
            distribution: source.distribution(),
            degrees_of_freedom: source.degrees_of_freedom(),
            sensitivity: known.map(|input| contribution / input.u),
            contribution,
            share: contribution * contribution / variance,
        }
    }

    /// Half of the width of its limits, in `unit`; none where it has none.
    pub fn half_width(&self) -> Option<f64> {
        let bounded = self.distribution != Distribution::Normal;
        let input = self.input.filter(|_| bounded)?;
        Some(input.u * self.distribution.divisor())
    }
}
