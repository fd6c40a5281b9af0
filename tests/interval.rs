//! Values of which only limits are known.
//!
//! Proves:
//! 1. ends keep their uncertainty and their sources, and either may be missing;
//! 2. ends that cross are refused, both named;
//! 3. a difference is more or less only if all of it is;
//! 4. each end goes along a route by itself, and the truth between the ends stays between them.

use crate::route::{contour, depth, piece, rim, source, stated};
use counterbore::route::{Known, Limited, Piece};
use counterbore::translate::{Feel, LimitedDifference};
use counterbore::uncertainty::{Estimate, Expanded, Interval, NoInterval, Side};
use proptest::prelude::*;

fn end(value: f64, half_width: f64, key: &str) -> Estimate {
    Estimate::rectangular(value, half_width, source(key))
}

/// Drill 27 passes, drill 26 does not: 0.1440 in and 0.1470 in (ASME B94.11M).
fn drills() -> Interval {
    let [passes, does_not] = [0.1440 * 25.4, 0.1470 * 25.4];
    Interval::new(
        Some(end(passes, 0.01, "drill 27")),
        Some(end(does_not, 0.01, "drill 26")),
    )
    .unwrap()
}

fn text(interval: &Interval) -> String {
    interval.text(|end| format!("{:.2}", end.value()))
}

#[test]
fn is_said_as_what_it_is() {
    assert_eq!(text(&drills()), "between 3.66 and 3.73");
    let least = Interval::new(Some(end(3.6, 0.1, "a")), None).unwrap();
    assert_eq!(text(&least), "at least 3.60");
    let most = Interval::new(None, Some(end(3.6, 0.1, "a"))).unwrap();
    assert_eq!(text(&most), "at most 3.60");
}

#[test]
fn ends_that_cross_are_refused_and_named() {
    let crossed = Interval::new(Some(end(3.8, 0.01, "a")), Some(end(3.7, 0.01, "b")));
    let fault = crossed.unwrap_err();
    assert_eq!(
        fault,
        NoInterval::Crossed {
            low: 3.8,
            high: 3.7
        }
    );
    assert_eq!(
        fault.to_string(),
        "the limits cross: at least 3.8 and at most 3.7"
    );
    // Within their uncertainty they may.
    assert!(Interval::new(Some(end(3.71, 0.02, "a")), Some(end(3.7, 0.02, "b"))).is_ok());
    assert_eq!(Interval::new(None, None).unwrap_err(), NoInterval::Endless);
}

#[test]
fn ends_that_are_no_size_are_refused() {
    for odd in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        for (low, high) in [(odd, 1.0), (1.0, odd)] {
            let ends = [low, high].map(|end| Some(Estimate::exact(end)));
            let [low, high] = ends;
            let fault = Interval::new(low, high).unwrap_err();
            assert!(matches!(fault, NoInterval::NotFinite(_)), "{odd}: {fault}");
        }
        let doubt = Estimate::new(1.0, odd.abs(), source("a"));
        assert!(Interval::new(Some(doubt), None).is_err(), "{odd}");
    }
}

#[test]
fn more_drills_narrow_it() {
    let wide = Interval::new(Some(end(3.5, 0.01, "a")), None).unwrap();
    assert_eq!(
        text(&wide.narrowed(&drills()).unwrap()),
        "between 3.66 and 3.73"
    );
    let beyond = Interval::new(Some(end(3.9, 0.01, "a")), None).unwrap();
    assert!(
        beyond.narrowed(&drills()).is_err(),
        "one drill says what another denies"
    );
}

#[test]
fn a_difference_has_both_ends_and_shared_sources_cancel() {
    let value = end(3.6, 0.01, "drill 27");
    let difference = drills().minus(&value);
    let (low, high) = (difference.low().unwrap(), difference.high().unwrap());
    assert!(
        low.u() < 1e-15,
        "the drill of the lower end is that of the value"
    );
    assert!(high.u() > 0.008);
    let back = drills().taken_from(&value);
    assert_eq!(text(&back), "between -0.13 and -0.06");
    let open = Interval::new(Some(end(3.5, 0.01, "a")), None).unwrap();
    let both = drills().minus_interval(&open).unwrap();
    assert_eq!(text(&both), "at most 0.23");
    assert!(
        open.minus_interval(&open).is_none(),
        "open on the same side, nothing is said"
    );
}

#[test]
fn tells_a_side_only_where_all_of_it_lies_there() {
    let between = |low: f64, high: f64| {
        Interval::new(Some(end(low, 0.02, "a")), Some(end(high, 0.02, "b"))).unwrap()
    };
    assert_eq!(between(0.13, 0.5).side(0.1), Side::More);
    assert_eq!(
        between(0.11, 0.5).side(0.1),
        Side::AtTheLimit,
        "its end may be within"
    );
    assert_eq!(between(-0.5, -0.13).side(0.1), Side::Less);
    assert_eq!(between(-0.05, 0.05).side(0.1), Side::Same);
    assert_eq!(between(-0.05, 0.3).side(0.1), Side::CannotTell);
    assert_eq!(between(-0.3, -0.05).side(0.1), Side::AtTheLimit);
    assert_eq!(between(0.01, 0.3).side(0.1), Side::CannotTell);
    let least = Interval::new(Some(end(0.3, 0.02, "a")), None).unwrap();
    assert_eq!(least.side(0.1), Side::More);
    let most = Interval::new(None, Some(end(0.3, 0.02, "a"))).unwrap();
    assert_eq!(most.side(0.1), Side::CannotTell);
}

fn limited(low: Option<f64>, high: Option<f64>) -> Limited {
    let at = |value: f64, key: &str| end(value, 0.02, key);
    Limited {
        method: rim("rim at the seam"),
        interval: Interval::new(low.map(|v| at(v, "low")), high.map(|v| at(v, "high"))).unwrap(),
        given: "between two discs".into(),
        source: "invented".into(),
    }
}

fn bare() -> Piece {
    Piece::new(Vec::new(), Some(contour("s")), &[])
}

#[test]
fn a_missing_end_stays_missing_along_a_route() {
    let edge = rim("rim at a tangent");
    let within = bare().within(&limited(Some(16.1), None), &edge).unwrap();
    assert!(within.interval.high().is_none());
    assert_eq!(within.routes.len(), 1);
    let alone = piece(
        stated(&rim("rim at the seam"), 16.1, 0.02, "low"),
        None,
        Some(contour("s")),
    );
    let value = alone.carry(&edge).best().unwrap().estimate.clone();
    let low = within.interval.low().unwrap();
    assert_eq!((low.value(), low.u()), (value.value(), value.u()));
    let no_contour = Piece::new(Vec::new(), None, &[]);
    let why = no_contour
        .within(&limited(Some(16.1), None), &edge)
        .unwrap_err();
    assert!(
        why.to_string().contains("its contour is not known"),
        "{why}"
    );
    assert!(
        bare()
            .within(&limited(Some(16.1), None), &depth("depth at the centre"))
            .is_err()
    );
}

#[test]
fn a_verdict_on_limits_is_for_all_of_them() {
    let edge = rim("rim at a tangent");
    let limits = |limited| bare().with_limits(vec![limited]).known(&edge).unwrap();
    let ours = limits(limited(Some(16.1), Some(16.2)));
    let theirs = |size: f64| {
        let piece = piece(stated(&edge, size, 0.02, "theirs"), None, None);
        piece.known(&edge).unwrap()
    };
    let words =
        |size| LimitedDifference::between(ours.clone(), theirs(size), &Feel::default()).words();
    assert_eq!(words(18.0), "larger");
    assert_eq!(words(15.0), "smaller");
    assert_eq!(words(17.3), "cannot tell");
    let open = limits(limited(Some(16.1), None));
    assert!(matches!(open, Known::Limits(_)));
    let both = LimitedDifference::between(ours, open, &Feel::default());
    assert_eq!(both.words(), "cannot tell");
}

proptest! {
    #[test]
    fn the_truth_stays_between_its_ends(
        size in 15.5..17.0_f64, below in 0.0..0.4_f64, above in 0.0..0.4_f64,
    ) {
        let limits = limited(Some(size - below), Some(size + above));
        for to in ["rim at the crest", "rim at a tangent", "rim at a depth at 1.2 mm"] {
            let to = rim(to);
            let within = bare().within(&limits, &to).unwrap().interval;
            let truth = piece(stated(&rim("rim at the seam"), size, 0.0, "t"), None, Some(contour("s")));
            let truth = truth.carry(&to).best().unwrap().estimate.value();
            prop_assert!(within.low().unwrap().value() <= truth + 1e-9);
            prop_assert!(within.high().unwrap().value() >= truth - 1e-9);
            let (low, high) = within.outermost();
            let pushed = Expanded::from(within.low().unwrap());
            prop_assert!(low < truth && truth < high && (low - pushed.value + pushed.expanded).abs() < 1e-12);
        }
    }
}

#[test]
fn the_probability_that_a_value_lies_within_needs_no_middle() {
    let wide = |low: Option<f64>, high: Option<f64>| {
        let at = |value: f64, key: &str| end(value, 1e-6, key);
        Interval::new(low.map(|v| at(v, "low")), high.map(|v| at(v, "high"))).unwrap()
    };
    let value = Estimate::new(3.0, 0.1, source("value"));
    let near = |found: f64, expected: f64| assert!((found - expected).abs() < 1e-4, "{found}");
    near(wide(Some(3.0), None).holds(&value), 0.5);
    near(wide(None, Some(3.0)).holds(&value), 0.5);
    // Within one standard deviation: 68.27 %.
    near(wide(Some(2.9), Some(3.1)).holds(&value), 0.6827);
    near(wide(Some(4.0), None).holds(&value), 0.0);
    assert_eq!(wide(Some(2.0), Some(4.0)).holds(&Estimate::exact(3.0)), 1.0);
}
