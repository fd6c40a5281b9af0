//! Costs against what other programs compute for the same edits.

use counterbore::stamp::Automaton;

use crate::case_file::{assert_near, rows};
use crate::schemes;

/// Every edit costs one, and nothing is left out for less.
const UNIT: &str = "source: invented\nother: 1\nlost: 1\nextra: 1\nswapped: 1\ncase: 1\n\
    separator: {lost: 1, extra: 1, changed: 1}\nmissing: {start: 300, end: 300}\nmisread: 0.5\n\
    unknown: {share: 0.05, glyphs: 40}\n";

/// The cost of reading `seen` where the only stamp there is is `meant`.
fn cost(table: &str, meant: &str, seen: &str) -> f64 {
    let found = Automaton::build(&[schemes::catalogue(&[meant])], &schemes::glyphs(table))
        .find(seen, 1)
        .unwrap();
    assert_eq!(found.readings.len(), 1, "{meant} for {seen}");
    found.readings[0].misreading
}

#[test]
fn unit_costs_are_optimal_string_alignment() {
    for row in rows(include_str!("../cases/string_distance.csv")) {
        let distance: f64 = row[2].parse().unwrap();
        assert_near(cost(UNIT, row[1], row[0]), distance, 1e-9);
        assert_near(cost(UNIT, row[0], row[1]), distance, 1e-9);
    }
}

// source: cases of Python package weighted_levenshtein 0.2.2, the first six as in its documentation
#[test]
fn single_edits_have_their_own_costs() {
    let thin = format!(
        "{UNIT}thin:\n  - {{glyphs: D, lost: 1, extra: 1.5}}\n  - {{glyphs: S, lost: 0.5, extra: 1}}\n"
    );
    assert_near(cost(&thin, "BANANAS", "BANDANAS"), 1.5, 1e-9);
    assert_near(cost(&thin, "BANANAS", "BANANA"), 0.5, 1e-9);
    let one_way = format!("{UNIT}split:\n  - {{meant: H, seen: B, cost: 1.25}}\n");
    assert_near(cost(&one_way, "HANANA", "BANANA"), 1.25, 1e-9);
    assert_near(cost(&one_way, "BANANA", "HANANA"), 1.0, 1e-9);
    let swapped = UNIT.replace("swapped: 1", "swapped: 0.75");
    assert_near(cost(&swapped, "ABNANA", "BANANA"), 0.75, 1e-9);
    assert_near(cost(UNIT, "BANANA", "ABNANA"), 1.0, 1e-9);
    let alike = format!("{UNIT}alike:\n  - {{glyphs: 8B, cost: 0.2}}\n");
    assert_near(cost(&alike, "B8", "8B"), 0.4, 1e-9);
}

#[test]
fn one_glyph_falls_apart_into_two() {
    let split = format!("{UNIT}split:\n  - {{meant: M, seen: RN, cost: 0.3}}\n");
    assert_near(cost(&split, "AMX", "ARNX"), 0.3, 1e-9);
    assert_near(cost(&split, "AMX", "arnx"), 0.3, 1e-9);
    assert_near(cost(&split, "AMMX", "ARNRNX"), 0.6, 1e-9);
    assert_near(cost(UNIT, "AMX", "ARNX"), 2.0, 1e-9);
}

#[test]
fn open_ends_cost_once() {
    let open = UNIT.replace("{start: 300, end: 300}", "{start: 0.7, end: 0.4}");
    assert_near(cost(&open, "ABCDEFG", "ABC"), 0.4, 1e-9);
    assert_near(cost(&open, "ABCDEFG", "EFG"), 0.7, 1e-9);
    assert_near(cost(&open, "ABCDEFG", "CDE"), 1.1, 1e-9);
    assert_near(cost(&open, "ABCDEFG", "*CDE*"), 0.0, 1e-9);
    assert_near(cost(&open, "ABCDEFG", "AB*E?G"), 0.0, 1e-9);
}
