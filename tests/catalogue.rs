//! Large catalogues as targets.
//!
//! Proves:
//! 1. the few that a search by sorted rims gives are those of a look at every entry, their order and ties
//!    included, whatever is left out of a row and whatever form its series has;
//! 2. so they are where a piece known by gauge alone takes the form of each entry in turn;
//! 3. the table is the same however its work is shared out.

use std::fmt::Write;
use std::sync::Arc;

use counterbore::route::Piece;
use counterbore::scheme::{Scheme, check};
use counterbore::translate::{Feel, Match, Target, compare, identify, translate};
use counterbore::yaml::{Limits, gate};
use proptest::prelude::*;

use crate::demo::demo_tables;

/// Rim, depth and throat in hundredths, zero where the row leaves it out; which series.
type Row = (u32, u32, u32, bool);

fn catalogue(rows: &[Row]) -> Arc<Scheme> {
    let mut text = String::from(
        "scheme: ostrell\ntitle: Ostrell (invented)\nserves: [trumpet]\nrevision: \"1\"\nsource: invented\n\
         figures:\n  rim: {quantity: rim inner diameter, method: inner edge, unit: mm}\n  \
         cup: {quantity: cup depth, method: centre, unit: mm}\n  throat: {quantity: throat diameter, method: gauge, unit: mm}\n\
         series:\n  wide: {words: [Wide], contour: {class: trumpet bowl}}\n  narrow: {words: [Narrow], contour: {class: trumpet cone}}\n\
         entries:\n  columns: [name, series, rim, cup, throat]\n  rows:\n",
    );
    for (place, (rim, cup, throat, wide)) in rows.iter().enumerate() {
        let cell = |value: &u32| match value {
            0 => "\"-\"".to_owned(),
            value => format!("\"{}.{:02}\"", value / 100, value % 100),
        };
        let series = if *wide { "wide" } else { "narrow" };
        let [rim, cup, throat] = [rim, cup, throat].map(cell);
        writeln!(text, "    - [x{place}, {series}, {rim}, {cup}, {throat}]").unwrap();
    }
    text += "stamps:\n  - {part: one-piece, template: \"O {entry}\"}\nexamples:\n  - {stamp: O x0, says: {entry: x0}}\n";
    let document = gate("ostrell", text.as_bytes(), Limits::PLUGIN).unwrap();
    let (scheme, faults) = check(&document, &demo_tables());
    Arc::new(scheme.unwrap_or_else(|| panic!("{}", faults[0])))
}

fn made(scheme: &Scheme, entry: usize) -> Piece {
    let bindings = [counterbore::scheme::Binding::Entry(entry)];
    scheme.make(&bindings, &[0]).piece
}

/// The nearest by holding the piece against every entry.
fn by_a_look_at_all(ours: &Piece, theirs: &Scheme, borrows: bool, limit: usize) -> Vec<usize> {
    let feel = Feel::default();
    let mut all: Vec<((i64, i64), usize)> = Vec::new();
    for entry in 0..theirs.entries.len() {
        let other = made(theirs, entry);
        let borrowed = Piece::new(ours.stated().to_vec(), other.contour().cloned(), &[]);
        let ours = if borrows { &borrowed } else { ours };
        let (mut squares, mut weights, mut compared) = (0.0, 0.0, 0);
        for stated in other.stated() {
            let mut figures = theirs.figures.iter();
            let figure = figures.find(|one| one.method == stated.method).unwrap();
            let one = compare(ours, &other, &figure.compared_by, &feel).unwrap();
            let limit = feel.limit(one.method().quantity());
            squares += limit.weight * (one.least() / limit.same).powi(2);
            weights += limit.weight;
            compared += 1;
        }
        let millionths = (squares / weights).sqrt() * 1e6;
        all.push(((millionths.round() as i64, -compared), entry));
    }
    all.sort();
    all.truncate(limit);
    all.into_iter().map(|(_, entry)| entry).collect()
}

fn entries(found: &[Match]) -> Vec<usize> {
    let entry = |one: &Match| match one.named.bindings[..] {
        [counterbore::scheme::Binding::Entry(entry)] => entry,
        _ => panic!("{:?}", one.named.bindings),
    };
    found.iter().map(entry).collect()
}

/// Few values, so that equal rows come up.
fn rows() -> impl Strategy<Value = Vec<Row>> {
    let rim = prop_oneof![9 => (155u32..175).prop_map(|tenths| tenths * 10), 1 => Just(0)];
    let cup = prop_oneof![9 => (90u32..125).prop_map(|tenths| tenths * 10), 1 => Just(0)];
    let throat = prop_oneof![4 => 350u32..390, 1 => Just(0)];
    let row = (rim, cup, throat, any::<bool>()).prop_filter("a row states something", |row| {
        (row.0, row.1, row.2) != (0, 0, 0)
    });
    prop::collection::vec(row, 1..80)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn the_nearest_are_those_of_a_look_at_all(
        rows in rows(),
        ours in (155u32..175, 90u32..125, 350u32..390, any::<bool>()),
        limit in 1usize..7,
    ) {
        let ours = made(&catalogue(&[(ours.0 * 10 + 3, ours.1 * 10 + 2, ours.2, ours.3)]), 0);
        let theirs = catalogue(&rows);
        let target = Target::new(theirs.clone());
        let found = translate(&ours, &target, &Feel::default(), limit);
        prop_assert_eq!(entries(&found.matches), by_a_look_at_all(&ours, &theirs, false, limit));
        let gauged = Piece::new(ours.stated().to_vec(), None, &[]);
        let found = identify(&gauged, &target, &Feel::default(), limit);
        prop_assert_eq!(entries(&found.matches), by_a_look_at_all(&gauged, &theirs, true, limit));
    }
}

#[test]
fn the_table_is_the_same_however_its_work_is_shared_out() {
    let rows: Vec<Row> = (0..3000)
        .map(|row| {
            (
                1550 + row % 191,
                900 + row % 311,
                350 + row % 37,
                row % 3 == 0,
            )
        })
        .collect();
    let theirs = catalogue(&rows);
    let ours = made(&catalogue(&[(1633, 1044, 366, true)]), 0);
    let alone = Target::new(theirs.clone());
    let shared = Target::shared_out(theirs, |shares, work| {
        assert!(shares.len() > 1, "enough rows for several shares");
        counterbore::load::in_parallel(shares, work)
    });
    let found = [alone, shared].map(|target| {
        let found = translate(&ours, &target, &Feel::default(), 9);
        entries(&found.matches)
    });
    assert_eq!(found[0], found[1]);
}
