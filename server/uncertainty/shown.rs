//! The one rounding function.
//!
//! U has two significant digits and the value ends at the same place (JCGM 100,
//! 7.2.6). Both are rounded on their shortest decimal form, half to even, so
//! that 2.675 is a tie as it looks. Where rounding to the nearest would shrink
//! U by more than 5 % it goes up instead; with two digits this cannot happen,
//! since the most that is lost is from 10.5 to 10, 4.8 %.
//!
//! An exact value shows all its digits. Units and coverage factors are put
//! beside the texts by the caller.

use crate::unit::Decimal;
use std::fmt;

/// How many digits of U are shown.
const SIGNIFICANT_DIGITS: i32 = 2;

/// The most of U that rounding may take away.
const LARGEST_LOSS: f64 = 0.05;

/// A value and its U as text, for machines: a point, a plain hyphen as minus,
/// no grouping, no exponent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// The value.
    pub value: String,
    /// U; `0` for an exact value.
    pub expanded: String,
    /// Digits after the point in both.
    pub decimals: usize,
}

impl Shown {
    /// The value for people, with a true minus sign (U+2212).
    pub fn value_for_people(&self) -> String {
        match self.value.strip_prefix('-') {
            Some(size) => ["\u{2212}", size].concat(),
            None => self.value.clone(),
        }
    }
}

/// A number that must not be shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NotShown {
    /// The value is NaN or infinite.
    Value(f64),
    /// U is NaN, infinite or below zero.
    Expanded(f64),
}

impl fmt::Display for NotShown {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Value(found) => write!(out, "found a value of {found}; expected a finite number"),
            Self::Expanded(found) => write!(
                out,
                "found an uncertainty of {found}; expected a finite number, zero or more"
            ),
        }
    }
}

impl std::error::Error for NotShown {}

/// A value and its expanded uncertainty, in one unit, as text.
///
/// ```
/// let rim = counterbore::uncertainty::shown(16.3412, 0.0996)?;
/// assert_eq!((rim.value.as_str(), rim.expanded.as_str()), ("16.34", "0.10"));
/// # Ok::<(), counterbore::uncertainty::NotShown>(())
/// ```
///
/// # Errors
/// [`NotShown`] for numbers that are not finite and for a negative uncertainty.
pub fn shown(value: f64, expanded: f64) -> Result<Shown, NotShown> {
    quickly(value, expanded).map_or_else(|| by_digits(value, expanded), Ok)
}

/// Without the digits of both numbers, where neither is so near to a tie that they matter. Two digits that
/// came out right need no other place, and lose little.
fn quickly(value: f64, expanded: f64) -> Option<Shown> {
    let leading = expanded.log10().floor() as i32;
    let decimals = usize::try_from((SIGNIFICANT_DIGITS - 1).checked_sub(leading)?).ok()?;
    let rounded = Decimal::nearest(expanded, decimals)?;
    let two_digits = (10..100).contains(&rounded.digits());
    two_digits.then_some(Shown {
        value: Decimal::nearest(value, decimals)?.text(decimals),
        expanded: rounded.text(decimals),
        decimals,
    })
}

fn by_digits(value: f64, expanded: f64) -> Result<Shown, NotShown> {
    let exact = Decimal::of(value).ok_or(NotShown::Value(value))?;
    let uncertainty = Decimal::of(expanded)
        .filter(|uncertainty| uncertainty.digits() >= 0)
        .ok_or(NotShown::Expanded(expanded))?;
    let Some(leading) = uncertainty.leading_place() else {
        return Ok(without_uncertainty(exact));
    };
    let (rounded, place) = significant(uncertainty, leading, SIGNIFICANT_DIGITS);
    let decimals = (-place).max(0) as usize;
    Ok(Shown {
        value: exact.rounded(place).text(decimals),
        expanded: rounded.text(decimals),
        decimals,
    })
}

fn without_uncertainty(exact: Decimal) -> Shown {
    Shown {
        value: exact.text(0),
        expanded: "0".to_owned(),
        decimals: (-exact.exponent()).max(0) as usize,
    }
}

/// So many digits of a number above zero, and the place of the last of them.
fn significant(exact: Decimal, leading: i32, digits: i32) -> (Decimal, i32) {
    let place = leading - digits + 1;
    let nearest = exact.rounded(place);
    let shrinks = nearest.to_f64() < exact.to_f64() * (1.0 - LARGEST_LOSS);
    let kept = if shrinks {
        Decimal::new(nearest.digits() + 1, place)
    } else {
        nearest
    };
    // 0.0996 becomes 0.100, which has a digit too many.
    if kept.leading_place() > Some(leading) {
        (kept.rounded(place + 1), place + 1)
    } else {
        (kept, place)
    }
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "in a test a panic is the answer")]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn rounded(text: &str, digits: i32) -> String {
        let exact = Decimal::of(text.parse().unwrap()).unwrap();
        let (kept, place) = significant(exact, exact.leading_place().unwrap(), digits);
        kept.text((-place).max(0) as usize)
    }

    #[test]
    fn goes_up_where_the_nearest_would_shrink_by_more_than_a_twentieth() {
        assert_eq!(rounded("1.04", 1), "1"); // loses 3.8 %
        assert_eq!(rounded("1.06", 1), "2"); // would lose 5.7 %
        assert_eq!(rounded("0.0949", 1), "0.1"); // would lose 5.2 %
        assert_eq!(rounded("0.0941", 1), "0.09"); // loses 4.4 %
    }

    proptest! {
        #[test]
        fn the_quick_way_shows_what_the_digits_show(
            value in prop_oneof![any::<f64>(), -40.0..40.0_f64, (-40_000..40_000).prop_map(|n| f64::from(n) / 2000.0)],
            expanded in prop_oneof![any::<f64>(), 0.0..3.0_f64, (0..4000).prop_map(|n| f64::from(n) / 2000.0)],
            inches in any::<bool>(),
        ) {
            let unit = if inches { 25.4 } else { 1.0 };
            for expanded in [expanded, expanded.next_down(), expanded / 1e6].map(|one| one / unit) {
                if let Some(shown) = quickly(value / unit, expanded) {
                    prop_assert_eq!(Ok(shown), by_digits(value / unit, expanded));
                }
            }
        }
    }

    #[test]
    fn the_quick_way_is_the_usual_one() {
        assert!(
            quickly(16.3412, 0.0961).is_some() && quickly(16.3412 / 25.4, 0.0961 / 25.4).is_some()
        );
        assert!(quickly(2.675, 0.010).is_some() && quickly(2.675, 0.10).is_none());
        for nothing in [0.0, -0.1, f64::NAN, f64::INFINITY, 1e300] {
            assert_eq!(quickly(16.0, nothing), None);
        }
    }

    #[test]
    fn never_shrinks_two_digits_by_more_than_a_twentieth() {
        for thousandths in 10_000..100_000_i128 {
            let exact = Decimal::new(thousandths, -3);
            let leading = exact.leading_place().unwrap();
            let place = leading - SIGNIFICANT_DIGITS + 1;
            let (kept, _) = significant(exact, leading, SIGNIFICANT_DIGITS);
            assert_eq!(kept.to_f64(), exact.rounded(place).to_f64());
        }
    }
}
