//! Instruments: of a scheme, of a series, and pieces that serve another.
//!
//! 1. A piece serves what its series serves, where that is said, else what the scheme does.
//! 2. A match that serves none of the instruments of the piece at hand says so; one that shares any does not.
//! 3. Of all schemes, those that serve another instrument than the piece are not asked, and are named.

use counterbore::answer::{Ask, TranslateAnswer, decode, translate};
use counterbore::snapshot::Snapshot;

use crate::shop::Shop;

/// A scheme of two series, the second for the second of its instruments.
fn scheme(id: &str, instruments: [&str; 2], words: [&str; 2]) -> String {
    format!(
        "scheme: {id}\ntitle: {id} (invented)\nserves: [{0}, {1}]\nrevision: \"1\"\nsource: invented\n\
         contour: {{class: trumpet bowl}}\nfigures:\n  rim: {{quantity: rim inner diameter, method: inner edge, unit: mm, tolerance: 0.03 mm}}\n\
         series:\n  one: {{words: [{2}], serves: {0}}}\n  two: {{words: [{3}], serves: {1}}}\n\
         entries:\n  columns: [name, series, rim]\n  rows:\n    - [{2} 1, one, \"16.20\"]\n    - [{3} 1, two, \"16.90\"]\n\
         stamps:\n  - {{part: one-piece, template: \"{{entry}}\"}}\nexamples:\n  - {{stamp: {2} 1, says: {{entry: {2} 1}}}}\n",
        instruments[0], instruments[1], words[0], words[1]
    )
}

fn snapshot() -> Snapshot {
    let shop = Shop::new();
    shop.write(
        "plugins/a.yml",
        &scheme("arvelo", ["trumpet", "flugelhorn"], ["ARV", "ARF"]),
    );
    shop.write(
        "plugins/b.yml",
        &scheme("bersund", ["trumpet", "flugelhorn"], ["BER", "BEF"]),
    );
    shop.write(
        "plugins/c.yml",
        &scheme("corvane", ["flugelhorn", "horn"], ["COF", "COH"]),
    );
    let snapshot = shop.snapshot();
    assert_eq!(
        snapshot.schemes.len(),
        3,
        "{:?}",
        snapshot
            .broken()
            .map(|file| &file.diagnostics)
            .collect::<Vec<_>>()
    );
    snapshot
}

fn translated(stamp: &str) -> TranslateAnswer {
    let ask = Ask {
        stamp,
        into: vec!["all"],
        reading: 1,
        limit: 5,
    };
    translate(&snapshot(), &ask).unwrap()
}

#[test]
fn a_piece_serves_what_its_series_does() {
    let snapshot = snapshot();
    let serves = |stamp: &str| decode(&snapshot, stamp).unwrap().readings[0].serves.clone();
    assert_eq!(serves("ARV 1"), ["trumpet"]);
    assert_eq!(serves("ARF 1"), ["flugelhorn"]);
}

#[test]
fn a_match_for_another_instrument_says_so() {
    let answer = translated("ARV 1");
    let matches = &answer
        .into
        .iter()
        .find(|one| one.scheme.id == "bersund")
        .unwrap()
        .matches;
    let other = |name: &str| {
        matches
            .iter()
            .find(|one| one.canonical == name)
            .unwrap()
            .other_instrument
            .clone()
    };
    assert_eq!(other("BER 1"), None);
    assert_eq!(
        other("BEF 1").unwrap(),
        "for flugelhorn; the piece at hand is for trumpet"
    );
}

#[test]
fn schemes_for_other_instruments_are_left_out() {
    assert_eq!(translated("ARV 1").left_out, ["corvane (invented)"]);
    assert!(translated("ARF 1").left_out.is_empty());
}
