//! Fits to pieces measured by two methods.
//!
//! Proves:
//! 1. least squares meets NIST's certified values, York's line the published ones, limits of
//!    agreement those of Bland and Altman;
//! 2. a line is taken only where the stated test says so;
//! 3. a paired route is taken in its range, in both directions, and scatter is a piece's own.

use crate::case_file::{assert_near, json, numbers, rows};
use crate::route::{rim, stated};
use counterbore::pairs::agreement::Agreement;
use counterbore::pairs::least_squares::polynomial;
use counterbore::pairs::york::{Line, Point, line};
use counterbore::pairs::{Fit, Form, NoFit, Pair, fit};
use counterbore::route::{Correction, Paired, Piece, RouteKind};
use counterbore::uncertainty::{Distribution, Draw, Source};
use proptest::prelude::*;
use serde_json::Value;

fn cases() -> Value {
    json(include_str!("cases/fits.json"))
}

/// A number, or a decimal text of more digits than one.
fn exact(value: &Value) -> f64 {
    match value.as_str() {
        Some(text) => text.parse().unwrap(),
        None => value.as_f64().unwrap(),
    }
}

fn columns(text: &str) -> Vec<Vec<f64>> {
    let row = |row: &Vec<&str>| row.iter().map(|field| field.parse().unwrap()).collect();
    rows(text).iter().map(row).collect()
}

/// How many digits of the certified value are met.
fn digits(found: f64, certified: f64) -> f64 {
    -((found - certified) / certified).abs().max(1e-16).log10()
}

fn meets_nist(text: &str, name: &str, degree: usize) {
    let points: Vec<(f64, f64)> = columns(text).iter().map(|row| (row[1], row[0])).collect();
    let certified = &cases()[name];
    let found = polynomial(&points, degree).unwrap();
    for power in 0..=degree {
        for (found, field) in [
            (found.coefficients[power], format!("b{power}")),
            (found.standard_errors[power], format!("s_b{power}")),
        ] {
            let met = digits(found, exact(&certified[&field]));
            assert!(met > 11.0, "{name} {field}: {found}, {met} digits");
        }
    }
    assert!(digits(found.residual_sd, exact(&certified["residual_sd"])) > 11.0);
}

#[test]
fn least_squares_meets_the_certified_values_of_norris_and_pontius() {
    meets_nist(include_str!("cases/nist_norris.csv"), "norris", 1);
    meets_nist(include_str!("cases/nist_pontius.csv"), "pontius", 2);
}

#[test]
fn least_squares_meets_handbook_91() {
    let case = &cases()["handbook_91"];
    let points: Vec<(f64, f64)> = numbers(&case["x"])
        .into_iter()
        .zip(numbers(&case["y"]))
        .collect();
    let (found, computed) = (polynomial(&points, 1).unwrap(), &case["computed"]);
    assert!(digits(found.coefficients[1], exact(&computed["slope"])) > 12.0);
    assert!(
        digits(
            found.standard_errors[0].powi(2),
            exact(&computed["var_intercept"])
        ) > 12.0
    );
    assert!(digits(found.residual_sd, exact(&computed["residual_sd"])) > 12.0);
}

#[test]
fn points_that_give_no_polynomial_give_none() {
    assert_eq!(
        polynomial(&[(1.0, 1.0), (2.0, 2.0)], 1),
        None,
        "no degree of freedom"
    );
    assert_eq!(
        polynomial(&[(1.0, 1.0), (1.0, 2.0), (1.0, 3.0)], 1),
        None,
        "one size"
    );
    assert_eq!(
        polynomial(&[(f64::NAN, 1.0), (1.0, 2.0), (2.0, 3.0)], 1),
        None
    );
}

#[track_caller]
fn assert_line(found: &Line, expected: &Value, names: [&str; 4]) {
    let covariance = exact(&expected["cov_ab"]);
    for (found, name) in [
        (found.intercept(), names[0]),
        (found.slope, names[1]),
        (found.u_intercept(), names[2]),
        (found.u_slope, names[3]),
    ] {
        let expected = exact(&expected[name]);
        assert!(
            (found / expected - 1.0).abs() < 2e-10,
            "{name}: {found}, {expected}"
        );
    }
    assert_near(found.covariance(), covariance, 1e-9 * covariance.abs());
    let chi_square = exact(&expected["chi2"]);
    assert_near(found.chi_square, chi_square, 1e-9 * chi_square);
}

#[test]
fn york_meets_the_line_through_pearsons_points() {
    let point = |row: &Vec<f64>| Point {
        x: row[0],
        y: row[1],
        u_x: row[2].sqrt().recip(),
        u_y: row[3].sqrt().recip(),
    };
    let points: Vec<Point> = columns(include_str!("cases/york_pearson.csv"))
        .iter()
        .map(point)
        .collect();
    assert_line(
        &line(&points).unwrap(),
        &cases()["pearson"],
        ["a", "b", "s_a", "s_b"],
    );
}

#[test]
fn york_meets_the_third_example_of_iso_ts_28037() {
    let case = &cases()["iso_ts_28037_ex3"];
    let (x, y, u_y) = (
        numbers(&case["x"]),
        numbers(&case["y"]),
        numbers(&case["u_y"]),
    );
    let u_x = case["u_x"].as_f64().unwrap();
    let points: Vec<Point> = (0..x.len())
        .map(|place| Point {
            x: x[place],
            y: y[place],
            u_x,
            u_y: u_y[place],
        })
        .collect();
    let found = line(&points).unwrap();
    let computed = &case["computed_york2004_standard_errors"];
    for (found, name) in [
        (found.intercept(), "a"),
        (found.slope, "b"),
        (found.u_intercept(), "u_a"),
        (found.u_slope, "u_b"),
        (found.chi_square, "chi2"),
    ] {
        assert_near(found / exact(&computed[name]), 1.0, 2e-9);
        let printed = match name {
            "chi2" => &case["published"]["chi2"],
            name => &case["published"][name],
        };
        assert_near(found, printed.as_f64().unwrap(), 0.0006);
    }
}

#[test]
fn york_meets_the_line_of_mathioulakis_and_belessiotis() {
    let case = &cases()["mathioulakis_belessiotis"];
    let column = |name: &str| numbers(&case[name]);
    let (x, u_x, y, u_y) = (column("x"), column("u_x"), column("y"), column("u_y"));
    let points: Vec<Point> = (0..x.len())
        .map(|place| Point {
            x: x[place],
            y: y[place],
            u_x: u_x[place],
            u_y: u_y[place],
        })
        .collect();
    let (found, published) = (line(&points).unwrap(), &case["published"]);
    assert_near(found.intercept(), published["a"].as_f64().unwrap(), 0.0002);
    assert_near(found.slope, published["b"].as_f64().unwrap(), 0.00001);
    assert_near(found.u_slope, published["u_b"].as_f64().unwrap(), 0.00001);
    assert_near(found.slope / exact(&case["computed"]["b"]), 1.0, 1e-9);
}

fn peak_flow() -> Vec<Pair> {
    let pair = |row: &Vec<f64>| Pair {
        first: row[3],
        u_first: 0.0,
        second: row[1],
        u_second: 0.0,
    };
    columns(include_str!("cases/peak_flow.csv"))
        .iter()
        .map(pair)
        .collect()
}

#[test]
fn limits_of_agreement_meet_those_of_bland_and_altman() {
    let computed = &cases()["peak_flow"]["computed"];
    let differences: Vec<f64> = peak_flow()
        .iter()
        .map(|pair| pair.second - pair.first)
        .collect();
    let found = Agreement::of(&differences).unwrap();
    let pair = |name: &str| {
        let ends = numbers(&computed[name]);
        (ends[0], ends[1])
    };
    assert_near(found.mean, exact(&computed["mean_difference"]), 1e-12);
    assert_near(found.sd, exact(&computed["sd"]), 1e-12);
    assert_near(found.mean_error(), exact(&computed["se_mean"]), 1e-12);
    assert_near(
        found.limit_error(),
        exact(&computed["se_limit_sqrt_3_over_n"]),
        1e-10,
    );
    for (found, name) in [
        (found.limits(), "limits_1.96sd"),
        (found.mean_interval(), "ci95_mean"),
    ] {
        assert_near(found.0, pair(name).0, 1e-6);
        assert_near(found.1, pair(name).1, 1e-6);
    }
}

#[test]
fn a_line_is_taken_only_where_the_offset_follows_size() {
    let plain = fit(&peak_flow()).unwrap();
    assert!(
        matches!(plain.form, Form::Offset(_)) && plain.t.abs() < plain.t_limit,
        "{plain:?}"
    );
    let follows = fit(&invented(0.05)).unwrap();
    assert!(matches!(follows.form, Form::Line(_)) && follows.t.abs() > follows.t_limit);
    assert_eq!(follows.range, (15.0, 17.2));
}

#[test]
fn pairs_of_which_nothing_can_be_made_are_refused() {
    let pairs = invented(0.0);
    assert_eq!(fit(&pairs[..3]).unwrap_err(), NoFit::TooFew(3));
    let mut broken = pairs.clone();
    broken[4].second = f64::NAN;
    assert_eq!(
        fit(&broken).unwrap_err().to_string(),
        "pair 5 has a reading that is no number"
    );
}

/// Twelve invented pieces: the second method reads 0.4 mm more, and `rise` more for each mm.
fn invented(rise: f64) -> Vec<Pair> {
    let error = |place: u64, what: &str| {
        0.01 * Draw::new(4, place).of(&Source::new(what, "", Distribution::Normal))
    };
    let pair = |place: u64| {
        let size = 15.0 + 0.2 * place as f64;
        Pair {
            first: size,
            u_first: 0.01,
            second: size + 0.4 + rise * (size - 16.0) + error(place, "second"),
            u_second: 0.01,
        }
    };
    (0..12).map(pair).collect()
}

fn paired(fit: Fit) -> Correction {
    Correction::paired(Paired {
        from: rim("rim at the seam"),
        to: rim("rim at a tangent"),
        fit,
        key: "pairs/invented".into(),
        source: "twelve invented pieces".into(),
    })
}

fn by_pairs(from: &str, size: f64, key: &str, rise: f64) -> Piece {
    let correction = paired(fit(&invented(rise)).unwrap());
    Piece::corrected(
        vec![stated(&rim(from), size, 0.02, key)],
        None,
        vec![correction],
    )
}

#[test]
fn a_paired_route_is_taken_in_its_range_and_in_both_directions() {
    for rise in [0.0, 0.05] {
        let there = by_pairs("rim at the seam", 16.3, "a", rise);
        let best = there
            .carry(&rim("rim at a tangent"))
            .best()
            .cloned()
            .unwrap();
        assert_eq!(best.route.kind, RouteKind::Paired);
        assert!(
            best.route
                .to_string()
                .ends_with("by pieces measured both ways")
        );
        assert_near(best.estimate.value(), 16.7 + rise * 0.3, 0.02);
        let home = by_pairs("rim at a tangent", best.estimate.value(), "a", rise);
        let home = home.carry(&rim("rim at the seam")).best().cloned().unwrap();
        assert_near(home.estimate.value(), 16.3, 1e-9);
        let beyond = by_pairs("rim at the seam", 17.3, "a", rise);
        assert!(beyond.carry(&rim("rim at a tangent")).best().is_none());
    }
}

#[test]
fn pieces_share_the_error_of_the_fit_and_not_their_scatter() {
    let of = |key: &str| {
        let piece = by_pairs("rim at the seam", 16.3, key, 0.0);
        piece
            .carry(&rim("rim at a tangent"))
            .best()
            .unwrap()
            .estimate
            .clone()
    };
    let (one, other) = (of("a"), of("b"));
    let fitted = fit(&invented(0.0)).unwrap();
    let own = (0.02_f64.powi(2) / 3.0 + fitted.scatter.0.powi(2)).sqrt();
    assert_near(one.minus(&other).u(), 2_f64.sqrt() * own, 1e-12);
    assert!(one.u() > own && one.minus(&of("a")).u() < 1e-15);
}

#[test]
fn the_surest_route_wins_and_the_others_are_told() {
    let piece = by_pairs("rim at the seam", 16.3, "a", 0.0);
    let with_form = Piece::corrected(
        piece.stated().to_vec(),
        Some(crate::route::contour("s")),
        piece.corrections().to_vec(),
    );
    let all = with_form.by_every_route(&rim("rim at a tangent"));
    assert_eq!(all[0].route.kind, RouteKind::Paired);
    assert!(
        all[1..]
            .iter()
            .any(|one| one.route.kind == RouteKind::Contour)
    );
    assert!(
        all.windows(2)
            .all(|pair| pair[0].estimate.u() <= pair[1].estimate.u() + 1e-6)
    );
}

proptest! {
    #[test]
    fn fits_depend_on_neither_unit_nor_order(rise in -0.1..0.1_f64, unit in 0.01..100.0_f64, turn in 1..11_usize) {
        let pairs = invented(rise);
        let scaled: Vec<Pair> = pairs.iter().map(|pair| Pair {
            first: unit * pair.first, u_first: unit * pair.u_first,
            second: unit * pair.second, u_second: unit * pair.u_second,
        }).collect();
        let mut turned = pairs.clone();
        turned.rotate_left(turn);
        let (plain, scaled, turned) = (fit(&pairs).unwrap(), fit(&scaled).unwrap(), fit(&turned).unwrap());
        prop_assert!((plain.t - turned.t).abs() < 1e-6 * plain.t.abs().max(1.0));
        prop_assert!((plain.t - scaled.t).abs() < 1e-6 * plain.t.abs().max(1.0));
        prop_assert!((scaled.scatter.0 / unit - plain.scatter.0).abs() < 1e-9);
        prop_assert_eq!(plain.range, turned.range);
    }
}
