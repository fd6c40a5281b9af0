//! Gauge tables.
//!
//! 1. The tables in `tables/drills.yml` are those of the standard, all 106 sizes.
//! 2. A size leads to its gauge and back; near sizes to the nearest.
//! 3. Names and steps outside a table are refused, never bent to its end.
//! 4. Every fault of a table is reported.

use crate::case_file::rows;
use counterbore::unit::{AmountError, GaugeError, GaugeFault, GaugeRows, GaugeTable, Unit};
use proptest::prelude::*;

#[derive(serde::Deserialize)]
struct Written {
    tables: Vec<WrittenTable>,
}

#[derive(serde::Deserialize)]
struct WrittenTable {
    name: String,
    source: String,
    unit: String,
    gauges: Vec<(String, String)>,
}

fn tables() -> Vec<GaugeTable> {
    let written: Written = serde_yaml::from_str(include_str!("../tables/drills.yml")).unwrap();
    let checked = |table: &WrittenTable| {
        let rows = GaugeRows {
            name: &table.name,
            source: &table.source,
            unit: Unit::named(&table.unit).unwrap(),
            rows: &table.gauges,
        };
        rows.check().unwrap()
    };
    written.tables.iter().map(checked).collect()
}

fn table(name: &str) -> GaugeTable {
    let named = |table: &GaugeTable| table.name() == name;
    tables().into_iter().find(named).unwrap()
}

fn checked(rows: &[(&str, &str)], unit: Unit) -> Result<GaugeTable, Vec<GaugeFault>> {
    let owned = |(name, size): &(&str, &str)| ((*name).to_owned(), (*size).to_owned());
    let rows: Vec<_> = rows.iter().map(owned).collect();
    let table = GaugeRows {
        name: "plugs",
        source: "invented",
        unit,
        rows: &rows,
    };
    table.check()
}

#[test]
fn holds_every_drill_of_the_standard() {
    let tables = tables();
    let sizes: usize = tables.iter().map(|table| table.gauges().len()).sum();
    let expected = rows(include_str!("cases/drills.csv"));
    assert_eq!((sizes, expected.len()), (106 + 32, 106));
    for row in expected {
        let table = tables.iter().find(|table| table.name() == row[0]).unwrap();
        let gauge = table.by_name(row[1]).unwrap();
        assert_eq!(gauge.given.given, row[2]);
        assert_eq!(gauge.size_mm, row[3].parse::<f64>().unwrap(), "{}", row[1]);
        assert!(table.source().contains("ASME B94.11M"));
    }
}

#[test]
fn rises_strictly_from_80_through_1_and_a_to_z() {
    let names = |table: &GaugeTable| -> Vec<String> {
        table
            .gauges()
            .iter()
            .map(|gauge| gauge.name.clone())
            .collect()
    };
    let (numbers, letters) = (table("number drills"), table("letter drills"));
    let falling: Vec<String> = (1..=80).rev().map(|number| number.to_string()).collect();
    let alphabet: Vec<String> = ('A'..='Z').map(String::from).collect();
    assert_eq!((names(&numbers), names(&letters)), (falling, alphabet));
    let sizes = numbers
        .gauges()
        .iter()
        .chain(letters.gauges())
        .map(|gauge| gauge.size_mm);
    assert!(
        sizes
            .collect::<Vec<_>>()
            .is_sorted_by(|one, next| one < next)
    );
}

#[test]
fn has_e_alone_at_a_sixty_fourth() {
    let letters = table("letter drills");
    let on_a_sixty_fourth =
        |size: f64| ((size * 64.0 / 25.4).round() * 25.4 / 64.0 - size).abs() < 1e-6;
    let found: Vec<&str> = letters
        .gauges()
        .iter()
        .filter(|gauge| on_a_sixty_fourth(gauge.size_mm))
        .map(|gauge| gauge.name.as_str())
        .collect();
    assert_eq!(found, ["E"]);
    assert_eq!(letters.by_name("e").unwrap().size_mm, 6.35);
}

/// Fractional sizes are sixty-fourths of an inch by name, up to half an inch (ASME B94.11M); an inch has 25.4 mm.
#[test]
fn has_every_sixty_fourth_up_to_half_an_inch() {
    let fractions = table("fractional drills");
    assert_eq!(fractions.gauges().len(), 32);
    for (place, gauge) in fractions.gauges().iter().enumerate() {
        let (over, under) = gauge.name.split_once('/').unwrap();
        let [over, under] = [over, under].map(|part| part.parse::<f64>().unwrap());
        assert_eq!(over * 64.0 / under, (place + 1) as f64, "{}", gauge.name);
        let exact = (place + 1) as f64 * 25.4 / 64.0;
        assert!((gauge.size_mm - exact).abs() < 1e-12, "{}", gauge.name);
    }
}

#[test]
fn keeps_x_to_its_last_digit() {
    // A chart in circulation has 10.080, rounded to significant digits.
    assert_eq!(
        table("letter drills").by_name("x").unwrap().size_mm,
        10.0838
    );
}

#[test]
fn takes_no_drill_for_a_wire() {
    // American wire gauge 30 is 0.0100 in; drill 30 is 0.1285 in.
    assert_eq!(
        table("number drills").by_name("30").unwrap().size_mm,
        3.2639
    );
}

#[test]
fn refuses_names_outside_the_standard() {
    let numbers = table("number drills");
    for name in ["81", "0", "88", "30.0", ""] {
        let error = numbers.by_name(name).unwrap_err();
        let expected = format!("no `{name}` in number drills; they run from 80 to 1");
        assert_eq!(error.to_string(), expected);
    }
}

#[test]
fn steps_to_larger_gauges_and_never_out_of_the_table() {
    let numbers = table("number drills");
    let step = |name: &str, steps| {
        numbers
            .neighbour(name, steps)
            .map(|gauge| gauge.name.as_str())
    };
    assert_eq!(step("27", 1), Ok("26"));
    assert_eq!(step("27", -2), Ok("29"));
    assert_eq!(step("27", 0), Ok("27"));
    assert_eq!(step("80", 79), Ok("1"));
    let beyond = step("1", 1).unwrap_err();
    assert!(matches!(beyond, GaugeError::BeyondTheEnd { steps: 1, .. }));
    assert_eq!(
        step("80", -1).unwrap_err().to_string(),
        "nothing -1 from `80` in number drills; they run from 80 to 1"
    );
    assert!(step("5", i32::MIN).is_err() && step("5", i32::MAX).is_err());
    assert!(matches!(step("81", 1), Err(GaugeError::Unknown { .. })));
}

#[test]
fn leads_from_a_size_to_its_gauge() {
    for table in tables() {
        for gauge in table.gauges() {
            assert_eq!(table.nearest(gauge.size_mm), Some(gauge));
        }
    }
}

#[test]
fn identifies_within_half_the_local_step_and_no_further() {
    for table in tables() {
        for pair in table.gauges().windows(2) {
            let step = pair[1].size_mm - pair[0].size_mm;
            let near = |share: f64| table.nearest(pair[0].size_mm + share * step);
            assert_eq!((near(0.49), near(0.51)), (Some(&pair[0]), Some(&pair[1])));
        }
    }
}

#[test]
fn takes_the_smaller_of_two_equally_near() {
    let plugs = checked(&[("a", "1.1"), ("b", "1.3")], Unit::MILLIMETRE).unwrap();
    assert_eq!(plugs.nearest(1.2).unwrap().name, "a");
    assert_eq!(plugs.nearest(f64::NAN), None);
    assert_eq!(plugs.nearest(1e9).unwrap().name, "b");
}

#[test]
fn says_what_passes_and_what_stops() {
    let numbers = table("number drills");
    let around = |hole: f64| {
        let passes = numbers.passes(hole).unwrap();
        let name = |gauge: &counterbore::unit::Gauge| gauge.name.clone();
        (passes.goes.map(name), passes.stops.map(name))
    };
    let some = |name: &str| Some(name.to_owned());
    assert_eq!(around(3.75), (some("26"), some("25")));
    assert_eq!(around(3.7338), (some("26"), some("25")));
    assert_eq!(around(3.7337), (some("27"), some("26")));
    assert_eq!(around(0.3), (None, some("80")));
    assert_eq!(around(6.0), (some("1"), None));
    assert_eq!(numbers.passes(f64::INFINITY), None);
}

#[test]
fn takes_rising_and_falling_tables_alike() {
    let rising = checked(&[("a", "1"), ("b", "2"), ("c", "3")], Unit::MILLIMETRE);
    let falling = checked(&[("c", "3"), ("b", "2"), ("a", "1")], Unit::MILLIMETRE);
    assert_eq!(rising, falling);
}

#[test]
fn reports_every_fault() {
    let faults = checked(
        &[
            ("a", "1"),
            ("b", "3"),
            ("A ", "2"),
            (" ", "4"),
            ("d", "x"),
            ("e", "0"),
            ("f", "5"),
            ("g", "5"),
        ],
        Unit::MILLIMETRE,
    )
    .unwrap_err();
    let messages: Vec<String> = faults.iter().map(ToString::to_string).collect();
    assert_eq!(
        messages,
        [
            "found `A` a second time; expected each name once",
            "found no name; expected one for each gauge",
            "found `x`; expected a number such as 16.34, 16,34 or 5/8",
            "found `0`; expected a length above zero",
            "found `2` after `3`; expected sizes that only rise or only fall",
            "found `5` after `5`; expected sizes that only rise or only fall",
        ]
    );
    assert!(matches!(
        faults[0],
        GaugeFault::NameTwice {
            row: 2,
            first: 0,
            ..
        }
    ));
    assert!(matches!(
        faults[2],
        GaugeFault::Size {
            row: 4,
            error: AmountError::NoNumber { .. }
        }
    ));
    assert!(matches!(faults[4], GaugeFault::OutOfOrder { row: 2, .. }));
    let falling = checked(
        &[("c", "3"), ("b", "2"), ("a", "2"), ("d", "1")],
        Unit::MILLIMETRE,
    );
    assert!(matches!(
        falling.unwrap_err()[..],
        [GaugeFault::OutOfOrder { row: 2, .. }]
    ));
    assert_eq!(checked(&[], Unit::INCH), Err(vec![GaugeFault::NoRows]));
    assert!(matches!(
        checked(&[("a", "1 g")], Unit::GRAM).unwrap_err()[..],
        [GaugeFault::NotALength { row: 0, .. }]
    ));
}

proptest! {
    #[test]
    fn agrees_with_looking_at_every_gauge(hole in 0.0..12.0_f64) {
        let numbers = table("number drills");
        let passes = numbers.passes(hole).unwrap();
        let nm = |size: f64| (size * 1e6).round();
        let goes = numbers.gauges().iter().rev().find(|gauge| nm(gauge.size_mm) <= nm(hole));
        let stops = numbers.gauges().iter().find(|gauge| nm(gauge.size_mm) > nm(hole));
        prop_assert_eq!((passes.goes, passes.stops), (goes, stops));
        let nearest = numbers.nearest(hole).unwrap();
        prop_assert!(Some(nearest) == goes || Some(nearest) == stops);
    }
}
