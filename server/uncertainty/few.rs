//! Sums of parts that are each known from few readings.
//!
//! The squares of 95 % points add for normal parts. They do not for t with its heavy tails: of one
//! degree each the points themselves add, and of two degrees each a root of squares is 7 % short. So
//! two such parts are summed exactly: given how their variances were estimated against each other, the
//! sum is t of both degrees together, and the shares are averaged over (R. A. Fisher, Annals of Eugenics
//! 11 (1941) 141, on the test of Behrens). The sum then stands for one part, with the mean of the degrees, and takes the
//! next: good to 2 % of four parts. It takes some ten microseconds a pair.

use super::bell::{student_density, student_point, student_within};
use super::coverage::LEVEL;
use std::f64::consts::FRAC_PI_2;

/// From so many degrees of freedom on the squares of the points may be added: two parts of five come out
/// right to 1 %.
pub(super) const ENOUGH: f64 = 5.0;

/// A part, or a sum of several that stands for one.
#[derive(Clone, Copy)]
pub(super) struct Few {
    /// Degrees of freedom.
    pub freedom: f64,
    /// Half-width of 95 %.
    pub width: f64,
}

/// Half-width of 95 % of the sum.
pub(super) fn width(mut parts: Vec<Few>) -> f64 {
    // By the fewest degrees first, so that the order in which they are told does not matter.
    parts.sort_by(|one, other| {
        let by_freedom = one.freedom.total_cmp(&other.freedom);
        by_freedom.then(one.width.total_cmp(&other.width))
    });
    let sum = parts.into_iter().reduce(Few::plus);
    sum.map_or(0.0, |sum| sum.width)
}

/// Ways in which the two variances may lie to each other over which a sum is averaged: more make no
/// difference to the fourth digit.
const SHARES: usize = 48;

/// Relative accuracy of a width.
const CLOSE: f64 = 1e-6;

/// Newton steps; seven are common.
const STEPS: usize = 60;

impl Few {
    fn plus(self, other: Self) -> Self {
        let freedom = self.freedom + other.freedom;
        let spreads = [self, other].map(|part| {
            let scale = part.width / student_point(LEVEL, part.freedom);
            scale * scale * part.freedom / freedom
        });
        // Scale of the t, and weight, at each share.
        let at = |place: usize| {
            // Closer at both ends, where one part is far wider than its readings say.
            let along = (place as f64 + 0.5) / SHARES as f64;
            let (sine, cosine) = (along * along * (3.0 - 2.0 * along) * FRAC_PI_2).sin_cos();
            let apart = along * (1.0 - along);
            let scale = (spreads[0] / (sine * sine) + spreads[1] / (cosine * cosine)).sqrt();
            let weight = apart * sine.powf(self.freedom - 1.0) * cosine.powf(other.freedom - 1.0);
            (scale, weight)
        };
        let shares: [(f64, f64); SHARES] = std::array::from_fn(at);
        let whole: f64 = shares.iter().map(|(_, weight)| weight).sum();
        let mean = |of: &dyn Fn(f64) -> f64| {
            let terms = shares.iter().map(|(scale, weight)| weight * of(*scale));
            terms.sum::<f64>() / whole
        };
        // A sum is wider than its widest part, and concave in the width: Newton's method rises to it.
        let mut width = self.width.max(other.width);
        for _ in 0..STEPS {
            let within = mean(&|scale| student_within(width / scale, freedom));
            let slope = mean(&|scale| 2.0 * student_density(width / scale, freedom) / scale);
            let step = (LEVEL - within) / slope;
            width += step;
            if step.abs() <= CLOSE * width {
                break;
            }
        }
        let (one, two) = (self.width * self.width, other.width * other.width);
        Self {
            freedom: (self.freedom * one + other.freedom * two) / (one + two),
            width,
        }
    }
}
