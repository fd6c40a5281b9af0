//! Estimates and their sources.
//!
//! 1. Equal keys are one source: it cancels in differences and adds in sums.
//! 2. Other keys are independent.
//! 3. The order of inputs never matters.

use crate::case_file::assert_near;
use counterbore::uncertainty::{Distribution, Estimate, Expanded, Source, density_of_nought};
use proptest::prelude::*;
use std::sync::Arc;

fn source(key: &str) -> Arc<Source> {
    Arc::new(Source::new(key, key, Distribution::Normal))
}

fn estimate(value: f64, parts: &[(u8, f64)]) -> Estimate {
    let inputs: Vec<Estimate> = parts
        .iter()
        .map(|(key, u)| Estimate::new(0.0, *u, source(&key.to_string())))
        .collect();
    let terms: Vec<(f64, &Estimate)> = inputs.iter().map(|input| (1.0, input)).collect();
    Estimate::linear(value, &terms)
}

fn contributions(estimate: &Estimate) -> Vec<(String, f64)> {
    let part =
        |part: &counterbore::uncertainty::Part| (part.source.key().to_owned(), part.contribution);
    let mut parts: Vec<_> = estimate.parts().iter().map(part).collect();
    parts.sort_by(|one, other| one.0.cmp(&other.0));
    parts
}

#[test]
fn an_exact_value_has_no_parts() {
    let exact = Estimate::exact(16.5);
    assert_eq!(
        (exact.value(), exact.u(), exact.parts().len()),
        (16.5, 0.0, 0)
    );
    assert_eq!(exact.effective_degrees_of_freedom(), None);
    assert_eq!(Estimate::linear(1.0, &[]).u(), 0.0);
}

#[test]
fn adds_independent_sources_in_squares() {
    let (one, other) = (
        Estimate::new(2.0, 3.0, source("a")),
        Estimate::new(1.0, 4.0, source("b")),
    );
    assert_eq!((one.plus(&other).value(), one.plus(&other).u()), (3.0, 5.0));
    assert_eq!(
        (one.minus(&other).value(), one.minus(&other).u()),
        (1.0, 5.0)
    );
    assert_eq!(one.covariance(&other), 0.0);
}

#[test]
fn adds_a_shared_source_outright_and_cancels_it_in_the_difference() {
    // Two sources made apart, with one key.
    let (one, other) = (
        Estimate::new(2.0, 3.0, source("a")),
        Estimate::new(1.0, 4.0, source("a")),
    );
    assert_eq!((one.plus(&other).u(), one.minus(&other).u()), (7.0, 1.0));
    assert_eq!(one.covariance(&other), 12.0);
}

#[test]
fn scales_and_offsets() {
    let length = Estimate::new(2.0, 3.0, source("a"));
    let scaled = length.scaled(-2.0);
    assert_eq!((scaled.value(), scaled.u()), (-4.0, 6.0));
    assert_eq!(contributions(&scaled), [("a".to_owned(), -6.0)]);
    assert_eq!(
        (length.offset(1.5).value(), length.offset(1.5).u()),
        (3.5, 3.0)
    );
}

#[test]
fn divides_limits_as_the_guide_does() {
    // JCGM 100, 4.3.7, 4.3.9 b and H.1.3.4: a² / 3, a² / 6, a² / 2.
    let variance = |distribution: Distribution| distribution.divisor().powi(-2);
    assert_near(variance(Distribution::Rectangular), 1.0 / 3.0, 1e-15);
    assert_near(variance(Distribution::Triangular), 1.0 / 6.0, 1e-15);
    assert_near(variance(Distribution::Arcsine), 1.0 / 2.0, 1e-15);
    assert_near(variance(Distribution::Normal), 1.0, 0.0);
    let rounding = Source::new("r", "rounding", Distribution::Rectangular);
    let rounded = Estimate::rectangular(16.5, 0.05, Arc::new(rounding));
    assert_near(rounded.variance(), 0.0025 / 3.0, 1e-18);
}

#[test]
fn describes_its_source() {
    let repeats =
        Source::new("bench 7", "repeats", Distribution::Normal).with_degrees_of_freedom(4.0);
    let mean = Estimate::new(16.5, 0.02, Arc::new(repeats));
    let source = &mean.parts()[0].source;
    assert_eq!(
        (source.key(), source.label().to_string().as_str()),
        ("bench 7", "repeats")
    );
    assert_eq!(source.distribution(), Distribution::Normal);
    assert_eq!(source.degrees_of_freedom(), Some(4.0));
    assert_near(mean.effective_degrees_of_freedom().unwrap(), 4.0, 1e-12);
}

#[test]
fn takes_the_fewer_degrees_of_freedom_of_a_source_described_twice() {
    let few = Arc::new(Source::new("a", "few", Distribution::Normal).with_degrees_of_freedom(3.0));
    let (one, other) = (
        Estimate::new(0.0, 1.0, source("a")),
        Estimate::new(0.0, 1.0, few),
    );
    for sum in [one.plus(&other), other.plus(&one)] {
        assert_near(sum.effective_degrees_of_freedom().unwrap(), 3.0, 1e-12);
    }
}

#[test]
fn expands_with_a_factor_that_is_stated() {
    let expanded = Expanded::from(&Estimate::new(16.5, 0.02, source("a")));
    let by_hand = Expanded {
        value: 16.5,
        u: 0.02,
        expanded: 0.0392,
        k: 1.96,
    };
    assert_eq!(expanded, by_hand);
}

#[test]
fn never_lets_a_number_that_is_none_pass_for_exact() {
    let broken = Estimate::new(1.0, 0.1, source("a")).scaled(f64::NAN);
    assert!(broken.u().is_nan() && broken.parts().len() == 1);
}

/// Up to eight sources out of ten, so that two estimates often share some.
fn parts() -> impl Strategy<Value = Vec<(u8, f64)>> {
    prop::collection::btree_map(0..10_u8, 0.001..1.0_f64, 0..9)
        .prop_map(|parts| parts.into_iter().collect())
}

fn u_of_key(parts: &[(u8, f64)], key: u8) -> f64 {
    parts
        .iter()
        .find(|part| part.0 == key)
        .map_or(0.0, |part| part.1)
}

proptest! {
    #[test]
    fn a_value_less_itself_is_exactly_zero(parts in parts(), value in -100.0..100.0_f64) {
        let length = estimate(value, &parts);
        let difference = length.minus(&length.clone());
        prop_assert_eq!((difference.value(), difference.u()), (0.0, 0.0));
        prop_assert!(difference.parts().is_empty());
    }

    #[test]
    fn a_shared_source_cancels_and_the_rest_stays(
        parts in parts(), other in parts(), shared in 0.001..10.0_f64,
    ) {
        let common = Estimate::new(0.0, shared, source("common"));
        let (one, two) = (estimate(1.0, &parts), estimate(2.0, &other));
        let with = one.plus(&common).minus(&two.plus(&common));
        prop_assert_eq!(contributions(&with), contributions(&one.minus(&two)));
    }

    #[test]
    fn combines_as_the_formula_says(
        one in parts(), two in parts(), weights in (-3.0..3.0_f64, -3.0..3.0_f64),
    ) {
        let (a, b) = (estimate(1.0, &one), estimate(2.0, &two));
        let sum = Estimate::linear(0.0, &[(weights.0, &a), (weights.1, &b)]);
        // JCGM 100, eq. 13, and the sources one by one.
        let by_covariance = weights.0.powi(2) * a.variance()
            + weights.1.powi(2) * b.variance()
            + 2.0 * weights.0 * weights.1 * a.covariance(&b);
        let by_source: f64 = (0..10)
            .map(|key| (weights.0 * u_of_key(&one, key) + weights.1 * u_of_key(&two, key)).powi(2))
            .sum();
        prop_assert!((sum.variance() - by_covariance).abs() < 1e-12);
        prop_assert!((sum.variance() - by_source).abs() < 1e-12);
    }

    #[test]
    fn the_order_of_inputs_never_matters(
        inputs in prop::collection::vec((parts(), -3.0..3.0_f64), 1..5), turn in 0..5_usize,
    ) {
        let estimates: Vec<_> = inputs.iter().map(|(parts, weight)| (estimate(0.0, parts), *weight)).collect();
        let mut terms: Vec<_> = estimates.iter().map(|(input, weight)| (*weight, input)).collect();
        let straight = Estimate::linear(1.0, &terms);
        terms.rotate_left(turn % inputs.len());
        let turned = Estimate::linear(1.0, &terms);
        terms.reverse();
        let back = Estimate::linear(1.0, &terms);
        for other in [turned, back] {
            // Sums of the same numbers in another order: the last bits may differ.
            prop_assert!((straight.variance() - other.variance()).abs() < 1e-12);
            prop_assert!((straight.covariance(&other) - straight.variance()).abs() < 1e-12);
        }
    }

    #[test]
    fn covariance_is_symmetric_and_bounded(one in parts(), two in parts()) {
        let (a, b) = (estimate(1.0, &one), estimate(2.0, &two));
        prop_assert_eq!(a.covariance(&b), b.covariance(&a));
        prop_assert!(a.covariance(&b).abs() <= a.u() * b.u() * (1.0 + 1e-12));
        prop_assert!((a.covariance(&a) - a.variance()).abs() < 1e-15);
    }
}

/// The bivariate normal density (JCGM 101, 5.3.1) by its own formula, and one alone by the univariate.
#[test]
fn differences_that_share_a_source_are_likely_together() {
    let source = |key: &str| Arc::new(Source::new(key, key, Distribution::Normal));
    let shared = Estimate::new(0.0, 0.03, source("gauge"));
    let reading = |key: &str, off: f64, u: f64| Estimate::new(off, u, source(key)).plus(&shared);
    let (one, other) = (reading("one", 0.04, 0.02), reading("other", 0.05, 0.01));
    let (a, b, c) = (one.variance(), other.variance(), one.covariance(&other));
    let determinant = a * b - c * c;
    let (x, y) = (one.value(), other.value());
    let square = (b * x * x - 2.0 * c * x * y + a * y * y) / determinant;
    let expected = (-0.5 * square).exp() / (std::f64::consts::TAU * determinant.sqrt());
    let found = density_of_nought(&[one.clone(), other.clone()], 0.0);
    assert_near(found / expected, 1.0, 1e-12);
    assert_near(
        density_of_nought(&[other.clone(), one.clone()], 0.0) / expected,
        1.0,
        1e-12,
    );
    let alone = |of: &Estimate| density_of_nought(std::slice::from_ref(of), 0.0);
    let univariate = (-0.5 * x * x / a).exp() / (std::f64::consts::TAU * a).sqrt();
    assert_near(alone(&one) / univariate, 1.0, 1e-12);
    assert!(
        found > 1.5 * alone(&one) * alone(&other),
        "errors that are shared explain both at once"
    );
    assert_eq!(density_of_nought(&[], 0.0), 1.0);
    // The same reading told twice says no more than once, but for what is not told apart.
    let twice = density_of_nought(&[one.clone(), one.clone()], 1e-3);
    let flat = (std::f64::consts::TAU * 2e-6).sqrt().recip();
    assert_near(twice / (alone(&one) * flat), 1.0, 0.01);
}
