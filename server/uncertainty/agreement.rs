//! Whether two values differ by more than their uncertainties allow: E_n.
//!
//! E_n = |Δ| / U(Δ); at most 1 is agreement (ISO 13528, ISO/IEC 17043). Two
//! forms: for values that share no error, and for a difference that was taken
//! between estimates, where shared sources have cancelled already.
//!
//! Two exact values that differ have no E_n: there is no uncertainty to weigh
//! the difference by. The answer is then none, as for values that are not
//! finite; it is never infinite and never NaN. Two equal exact values agree
//! with E_n = 0. Verdicts in words are another room's.

use super::{Estimate, Expanded};

/// E_n of two values that share no source of error: |Δ| / √(U₁² + U₂²).
pub fn of_independent(one: &Expanded, other: &Expanded) -> Option<f64> {
    ratio(one.value - other.value, one.expanded.hypot(other.expanded))
}

/// E_n of a difference, with U taken from the difference itself.
pub fn of_difference(difference: &Estimate) -> Option<f64> {
    of_expanded(&Expanded::from(difference))
}

/// The same of a difference whose U is known already.
pub fn of_expanded(difference: &Expanded) -> Option<f64> {
    ratio(difference.value, difference.expanded)
}

fn ratio(difference: f64, expanded: f64) -> Option<f64> {
    if difference == 0.0 && expanded.is_finite() {
        return Some(0.0);
    }
    let ratio = difference.abs() / expanded;
    (ratio.is_finite() && expanded.is_finite()).then_some(ratio)
}
