//! The rounding function.

use crate::case_file::rows;
use counterbore::uncertainty::{NotShown, Shown, shown};
use proptest::prelude::*;

#[test]
fn rounds_as_the_table_says() {
    for row in rows(include_str!("cases/shown.csv")) {
        let found = shown(row[0].parse().unwrap(), row[1].parse().unwrap()).unwrap();
        let expected = Shown {
            value: row[2].to_owned(),
            expanded: row[3].to_owned(),
            decimals: row[4].parse().unwrap(),
        };
        assert_eq!(found, expected, "{} ± {}: {}", row[0], row[1], row[5]);
    }
}

#[test]
fn has_a_true_minus_for_people_only() {
    let below = shown(-0.35, 0.1).unwrap();
    assert_eq!(below.value, "-0.35");
    assert_eq!(below.value_for_people(), "\u{2212}0.35");
}

#[test]
fn refuses_what_is_no_number() {
    let message = |value, expanded| shown(value, expanded).unwrap_err().to_string();
    assert_eq!(
        message(f64::INFINITY, 0.1),
        "found a value of inf; expected a finite number"
    );
    assert_eq!(
        message(16.5, f64::NAN),
        "found an uncertainty of NaN; expected a finite number, zero or more"
    );
    assert_eq!(shown(16.5, -0.1), Err(NotShown::Expanded(-0.1)));
    assert!(matches!(shown(f64::NAN, 0.0), Err(NotShown::Value(_))));
    assert!(shown(16.5, f64::INFINITY).is_err());
}

proptest! {
    #[test]
    fn stays_within_half_of_the_last_place(value in -1e4..1e4_f64, expanded in 1e-6..1e3_f64) {
        let found = shown(value, expanded).unwrap();
        let (text_value, text_u): (f64, f64) =
            (found.value.parse().unwrap(), found.expanded.parse().unwrap());
        // Two digits of U: its last place is between a hundredth and a tenth of it.
        prop_assert!((text_value - value).abs() <= text_u / 20.0 * (1.0 + 1e-9));
        prop_assert!(text_u >= 0.95 * expanded && text_u <= 1.05 * expanded);
        let decimals = |text: &str| text.split_once('.').map_or(0, |(_, after)| after.len());
        prop_assert_eq!(decimals(&found.value), found.decimals);
        prop_assert_eq!(decimals(&found.expanded), found.decimals);
        let digits = found.expanded.replace('.', "");
        if expanded < 99.0 {
            prop_assert_eq!(digits.trim_start_matches('0').len(), 2);
        }
    }

    #[test]
    fn never_panics(value in any::<f64>(), expanded in any::<f64>()) {
        if let Ok(found) = shown(value, expanded) {
            prop_assert!(found.value.parse::<f64>().unwrap().is_finite());
        }
    }
}
