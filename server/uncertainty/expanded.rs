//! A value with its expanded uncertainty: what leaves the program.
//!
//! The coverage factor is stated beside the number and is the same throughout.
//! Intervals for few degrees of freedom are not made here.

use super::Estimate;

/// k = 2, a level of confidence of about 95 % for a result near to normal
/// (JCGM 100, 6.3.3).
pub const COVERAGE_FACTOR: f64 = 2.0;

/// A value, u, and U = k u, all in one unit: the caller's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expanded {
    /// The best estimate.
    pub value: f64,
    /// Combined standard uncertainty.
    pub u: f64,
    /// Expanded uncertainty U.
    pub expanded: f64,
    /// The coverage factor that makes U of u.
    pub k: f64,
}

impl From<&Estimate> for Expanded {
    fn from(estimate: &Estimate) -> Self {
        let u = estimate.u();
        Self {
            value: estimate.value(),
            u,
            expanded: COVERAGE_FACTOR * u,
            k: COVERAGE_FACTOR,
        }
    }
}
