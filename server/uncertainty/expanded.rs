//! A value with its expanded uncertainty: what leaves the program.
//!
//! U = k u holds the value with 95 %. k is what the value's own parts make it (see
//! [`super::coverage`]): 1.65 for one that lies within limits and nothing else, 1.96 for many small
//! parts, more where readings are few. It is stated beside the number.

use super::Estimate;

/// A value, u, and U = k u, all in one unit: the caller's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expanded {
    /// The best estimate.
    pub value: f64,
    /// Combined standard uncertainty.
    pub u: f64,
    /// Expanded uncertainty U.
    pub expanded: f64,
    /// The coverage factor that makes U of u, to hundredths.
    pub k: f64,
}

impl From<&Estimate> for Expanded {
    fn from(estimate: &Estimate) -> Self {
        let (u, k) = (estimate.u(), estimate.coverage_factor());
        Self {
            value: estimate.value(),
            u,
            expanded: k * u,
            k,
        }
    }
}

/// What a coverage factor is made by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// Many parts, near to normal.
    Normal,
    /// Limits of one or two parts outweigh all else.
    Limits,
    /// Few degrees of freedom.
    FewReadings,
}

/// Below this k a bounded part has more than about two thirds of the variance.
const LIMITS_BELOW: f64 = 1.85;

/// From this k on the degrees of freedom are about twenty or fewer.
const FEW_FROM: f64 = 2.08;

impl Basis {
    /// By the factor alone.
    pub fn of(k: f64) -> Self {
        match k {
            k if k < LIMITS_BELOW => Self::Limits,
            k if k >= FEW_FROM => Self::FewReadings,
            _ => Self::Normal,
        }
    }

    /// What a person is told; nothing where it is as usual.
    pub fn says(self) -> Option<&'static str> {
        match self {
            Self::Normal => None,
            Self::Limits => Some("limits dominate"),
            Self::FewReadings => Some("few readings"),
        }
    }
}
