//! Amounts, spreads and scales as people write them.

use crate::case_file::json;
use counterbore::unit::{
    Amount, AmountError, AmountWithSpread, Decimal, Dimension, Scale, Spread, Unit,
};
use proptest::prelude::*;

fn cases() -> serde_json::Value {
    json(include_str!("cases/amounts.json"))
}

#[test]
fn reads_what_people_write_to_the_nearest_float() {
    for case in cases()["read"].as_array().unwrap() {
        let text = case[0].as_str().unwrap();
        let amount = Amount::parse(text).unwrap_or_else(|error| panic!("{text}: {error}"));
        let found = (amount.value, amount.resolution);
        let expected = (case[1].as_f64().unwrap(), case[2].as_f64().unwrap());
        assert_eq!(found, expected, "{text}");
        assert_eq!(amount.dimension.base_unit().symbol, case[3], "{text}");
        assert_eq!(amount.given, text.trim());
    }
}

#[test]
fn refuses_the_rest_and_says_why() {
    for case in cases()["refused"].as_array().unwrap() {
        let text = case[0].as_str().unwrap();
        let error = Amount::parse(text).expect_err(text);
        assert_eq!(error.to_string(), case[1], "{text}");
    }
}

#[test]
fn keeps_thirds_to_one_part_in_two_to_the_fifty_second() {
    let third = Amount::parse("⅓ in").unwrap();
    let error = (third.value * 3.0 - 25.4).abs();
    assert!(error <= 25.4 * f64::EPSILON);
}

#[test]
fn takes_a_default_unit_but_prefers_the_one_written() {
    let plain = Amount::parse_in("0.625", Unit::INCH).unwrap();
    assert_eq!((plain.value, plain.unit), (15.875, Unit::INCH));
    let written = Amount::parse_in("15.875 mm", Unit::INCH).unwrap();
    assert_eq!((written.value, written.unit), (15.875, Unit::MILLIMETRE));
    let other = Amount::parse_in("15 g", Unit::INCH).unwrap_err();
    assert_eq!(other.to_string(), "found a mass; expected a length");
    let ratio = Amount::parse_in("0.97", Unit::ONE).unwrap();
    assert_eq!((ratio.value, ratio.dimension), (0.97, Dimension::Ratio));
}

#[test]
fn holds_base_units_as_one_and_shows_volumes_in_millilitres() {
    for dimension in [
        Dimension::Length,
        Dimension::Angle,
        Dimension::Volume,
        Dimension::Mass,
        Dimension::Ratio,
    ] {
        let base = dimension.base_unit();
        assert_eq!((base.in_base.to_f64(), base.dimension), (1.0, dimension));
        assert_eq!(dimension.shown_unit().dimension, dimension);
    }
    assert_eq!(Dimension::Volume.shown_unit(), Unit::MILLILITRE);
}

fn limits(half_width: f64) -> Option<Spread> {
    Some(Spread::Limits { half_width })
}

#[test]
fn reads_spreads_with_either_unit() {
    let standard = |u| Some(Spread::Standard { u });
    for (text, value, spread) in [
        ("1.1 mm", 1.1, None),
        ("1.1 mm ± 0.1", 1.1, limits(0.1)),
        ("16.2±0.1mm", 16.2, limits(0.1)),
        ("16.2 +/- 0.1mm", 16.2, limits(0.1)),
        ("16,2 mm ± 0,1 mm", 16.2, limits(0.1)),
        ("16.2 mm ± 0.01 in", 16.2, limits(0.254)),
        ("16.2 mm ± 25 µm", 16.2, limits(0.025)),
        ("16.2 mm ± 25 um", 16.2, limits(0.025)),
        ("5/8 in ± 1/64", 15.875, limits(0.396875)),
        ("1½ ± ¼ in", 38.1, limits(6.35)),
        ("16.2 mm u 0.05 mm", 16.2, standard(0.05)),
        ("16.2 u 0.05 mm", 16.2, standard(0.05)),
        ("16.2 mm u 50 um", 16.2, standard(0.05)),
        ("16.2 mm ± 0", 16.2, limits(0.0)),
        ("9.5..10.5 mm", 10.0, limits(0.5)),
        ("9.5 mm .. 10.5 mm", 10.0, limits(0.5)),
        ("0.1..0.3 mm", 0.2, limits(0.1)),
        ("\u{2212}0.3..-0.1 mm", -0.2, limits(0.1)),
        ("1/2..5/8 in", 14.2875, limits(1.5875)),
    ] {
        let read = AmountWithSpread::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert_eq!((read.amount.value, read.spread), (value, spread), "{text}");
        assert_eq!(read.amount.given, text);
    }
}

#[test]
fn gives_a_range_the_coarser_resolution() {
    for text in ["9.5..10.25 mm", "9.25..10.5 mm"] {
        let range = AmountWithSpread::parse(text).unwrap();
        assert_eq!(range.amount.resolution, 0.1, "{text}");
    }
}

#[test]
fn falls_back_on_a_unit_for_both_parts() {
    let read = AmountWithSpread::parse_in("16.2 ± 0.1", Unit::MILLIMETRE).unwrap();
    assert_eq!((read.amount.value, read.spread), (16.2, limits(0.1)));
    let range = AmountWithSpread::parse_in("9.5..10.5", Unit::CENTIMETRE).unwrap();
    assert_eq!((range.amount.value, range.spread), (100.0, limits(5.0)));
}

#[test]
fn refuses_spreads_that_mean_nothing() {
    for (text, message) in [
        (
            "16.2 ± 0.1",
            "found `16.2 ± 0.1` without a unit; expected one such as mm or in",
        ),
        (
            "16.2 mm ± -0.1",
            "found a spread of `-0.1`; expected zero or more",
        ),
        ("16.2 mm ± 1 %", "found a ratio; expected a length"),
        ("16.2 mm ±", "found nothing; expected a number and a unit"),
        (
            "10.5..9.5 mm",
            "found `10.5..9.5 mm`; expected the smaller end first and the larger after it",
        ),
        (
            "9.5..9.5 mm",
            "found `9.5..9.5 mm`; expected the smaller end first and the larger after it",
        ),
        (
            "9.5 mm..1 in",
            "found `9.5 mm..1 in`; expected one unit for both ends",
        ),
        (
            "16.2 mm U 0.1",
            "found `mm u 0.1`; expected a unit such as mm, in, thou, °, ml, g or %",
        ),
    ] {
        let error = AmountWithSpread::parse(text).expect_err(text);
        assert_eq!(error.to_string(), message);
    }
}

#[test]
fn makes_a_standard_uncertainty_of_limits() {
    // JCGM 100, 4.3.7: u² = a² / 3.
    let limits = Spread::Limits { half_width: 0.1 };
    assert!((limits.standard_uncertainty().powi(2) - 0.01 / 3.0).abs() < 1e-17);
    assert_eq!(Spread::Standard { u: 0.05 }.standard_uncertainty(), 0.05);
}

#[test]
fn scales_figures_exactly() {
    for (scale, figure, value, resolution) in [
        ("0.01 mm", "1612", 16.12, 0.01),
        ("hundredths", "1612", 16.12, 0.01),
        ("0.01 mm", "1612.5", 16.125, 0.001),
        ("0.1 mm", "165", 16.5, 0.1),
        ("0.1 mm", "007", 0.7, 0.1),
        ("mm", "16.12", 16.12, 0.01),
        ("thou", "640", 16.256, 0.0254),
        ("inch", "0.640", 16.256, 0.0254),
        ("1/64 in", "41", 16.271875, 0.396875),
        ("inch fraction", "5/8", 15.875, 3.175),
        ("inch fraction", "1 1/16", 26.9875, 1.5875),
        ("inch fraction", "1", 25.4, 25.4),
    ] {
        let amount = Scale::parse(scale).unwrap().amount(figure).unwrap();
        assert_eq!(
            (amount.value, amount.resolution),
            (value, resolution),
            "{figure} in {scale}"
        );
        assert_eq!(amount.given, figure);
    }
}

#[test]
fn states_the_worth_and_the_kind_of_a_scale() {
    let inch = Scale::parse("inch").unwrap();
    let fraction = Scale::parse("inch fraction").unwrap();
    assert_eq!((inch.factor(), fraction.factor()), (25.4, 25.4));
    assert!(fraction.takes_fractions_only() && !inch.takes_fractions_only());
    assert_eq!(Scale::parse("hundredths").unwrap().factor(), 0.01);
    assert_eq!(Scale::parse("0.1 thou").unwrap().factor(), 0.00254);
    assert_eq!(fraction.unit(), Unit::INCH);
}

#[test]
fn refuses_scales_and_figures_that_mislead() {
    for (scale, message) in [
        (
            "tenths",
            "found `tenths`, which can mean two things; expected tenths of a millimetre (`0.1 mm`) or ten-thousandths of an inch (`0.1 thou`)",
        ),
        (
            "mil",
            "found `mil`, which can mean two things; expected thousandths of an inch (`thou`) or millimetres (`mm`)",
        ),
        ("0 mm", "found a step of `0 mm`; expected more than zero"),
        ("-1 mm", "found a step of `-1 mm`; expected more than zero"),
        (
            "0.01",
            "found `0.01` without a unit; expected one such as mm or in",
        ),
    ] {
        assert_eq!(Scale::parse(scale).expect_err(scale).to_string(), message);
    }
    let fraction = Scale::parse("inch fraction").unwrap();
    let decimal = fraction.amount("0.625").unwrap_err();
    assert_eq!(
        decimal.to_string(),
        "found `0.625`; expected a whole number or a fraction such as 5/8"
    );
    let with_unit = fraction.amount("5/8 in").unwrap_err();
    assert_eq!(with_unit, AmountError::UnitNotWanted { found: "in".into() });
}

/// Text near to an amount, so that the reader is reached behind its first test.
fn nearly_an_amount() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        "[0-9]{1,12}",
        "[-+.,/ ±u½⅓\u{2212}\u{a0}\"]",
        Just("..".to_owned()),
        Just("mm".to_owned()),
        Just(" in".to_owned()),
        Just("thou".to_owned()),
        Just("kg".to_owned()),
    ];
    prop::collection::vec(piece, 0..8).prop_map(|pieces| pieces.concat())
}

fn everything_reads_finite(text: &str) {
    let amounts = [
        Amount::parse(text).ok(),
        Amount::parse_in(text, Unit::INCH).ok(),
        AmountWithSpread::parse(text).map(|read| read.amount).ok(),
        AmountWithSpread::parse_in(text, Unit::THOU)
            .map(|read| read.amount)
            .ok(),
        Scale::parse(text)
            .and_then(|scale| scale.amount("999999999999999"))
            .ok(),
    ];
    for amount in amounts.into_iter().flatten() {
        assert!(amount.value.is_finite(), "{text}");
        assert!(
            amount.resolution.is_finite() && amount.resolution > 0.0,
            "{text}"
        );
    }
}

proptest! {
    #[test]
    fn never_panics_on_any_text(text in "\\PC{0,40}") {
        everything_reads_finite(&text);
    }

    #[test]
    fn never_panics_on_nearly_an_amount(text in nearly_an_amount()) {
        everything_reads_finite(&text);
    }

    #[test]
    fn comes_back_within_half_a_digit(value in -1e4..1e4_f64, decimals in 0..8_usize) {
        let amount = Amount::parse(&format!("{value:.decimals$} mm")).unwrap();
        let half = 0.5 * 10_f64.powi(-(decimals as i32));
        // The float nearest to the text may itself be half a float step away.
        prop_assert!((amount.value - value).abs() <= half + value.abs() * f64::EPSILON);
    }

    #[test]
    fn reads_decimals_as_rust_reads_them(digits in 0..1_000_000_000_u64, decimals in 1..9_usize) {
        let text = Decimal::new(digits.into(), -(decimals as i32)).text(0);
        let amount = Amount::parse_in(&text, Unit::MILLIMETRE).unwrap();
        prop_assert_eq!(amount.value, text.parse::<f64>().unwrap());
    }

    #[test]
    fn a_decimal_of_a_float_is_that_float(bits in any::<u64>()) {
        let float = f64::from_bits(bits);
        prop_assert_eq!(Decimal::of(float).map(Decimal::to_f64), float.is_finite().then_some(float));
    }
}
