//! E_n, for values that share no error and for differences of those that do.

use crate::case_file::{assert_near, rows};
use counterbore::uncertainty::agreement::{of_difference, of_independent};
use counterbore::uncertainty::{Distribution, Estimate, Expanded, Source};
use proptest::prelude::*;
use std::sync::Arc;

/// The coverage factor of a value with one normal source.
const NORMAL_K: f64 = 1.96;

/// A value whose expanded uncertainty is this.
fn estimate(value: f64, expanded: f64, key: &str) -> Estimate {
    let source = Source::new(key, key, Distribution::Normal);
    Estimate::new(value, expanded / NORMAL_K, Arc::new(source))
}

fn independent(one: &Estimate, other: &Estimate) -> Option<f64> {
    of_independent(&Expanded::from(one), &Expanded::from(other))
}

#[test]
fn follows_the_formula_in_both_forms() {
    for row in rows(include_str!("cases/e_n.csv")) {
        let number = |column: usize| row[column].parse::<f64>().unwrap();
        let laboratory = estimate(number(0), number(1), "laboratory");
        let reference = estimate(number(2), number(3), "reference");
        // The values are subtracted in floats and given to 12 digits.
        assert_near(
            independent(&laboratory, &reference).unwrap(),
            number(4),
            1e-11,
        );
        let difference = laboratory.minus(&reference);
        assert_near(of_difference(&difference).unwrap(), number(4), 1e-11);
    }
}

#[test]
fn sees_a_smaller_difference_where_errors_are_shared() {
    // Our own numbers: 0.03 mm apart, each U = 0.05 mm, of which 0.04 mm is one contour's.
    let shared = estimate(0.0, 0.04, "contour");
    let one = estimate(16.53, 0.03, "one").plus(&shared);
    let other = estimate(16.50, 0.03, "other").plus(&shared);
    assert_near(
        independent(&one, &other).unwrap(),
        0.03 / 0.005_f64.sqrt(),
        1e-9,
    );
    let exact = 0.03 / 0.0018_f64.sqrt();
    assert_near(of_difference(&one.minus(&other)).unwrap(), exact, 1e-9);
}

#[test]
fn weighs_exact_values_only_if_they_are_equal() {
    let (one, other) = (Estimate::exact(16.5), Estimate::exact(16.6));
    assert_eq!(independent(&one, &one), Some(0.0));
    assert_eq!(independent(&one, &other), None);
    assert_eq!(of_difference(&one.minus(&one)), Some(0.0));
    assert_eq!(of_difference(&one.minus(&other)), None);
}

#[test]
fn gives_nothing_for_numbers_that_are_none() {
    let good = estimate(16.5, 0.1, "good");
    for (value, expanded) in [
        (f64::NAN, 0.1),
        (f64::INFINITY, 0.1),
        (16.5, f64::NAN),
        (16.5, f64::INFINITY),
    ] {
        let bad = estimate(value, expanded, "bad");
        assert_eq!(independent(&good, &bad), None);
        assert_eq!(of_difference(&bad.minus(&good)), None);
    }
}

proptest! {
    #[test]
    fn is_never_negative_and_never_infinite(
        values in (any::<f64>(), any::<f64>()), expanded in (any::<f64>(), any::<f64>()),
    ) {
        let one = estimate(values.0, expanded.0, "one");
        let other = estimate(values.1, expanded.1, "other");
        let found = [independent(&one, &other), of_difference(&one.minus(&other))];
        prop_assert!(found.iter().flatten().all(|e_n| e_n.is_finite() && *e_n >= 0.0));
        prop_assert_eq!(independent(&one, &other), independent(&other, &one));
    }
}
