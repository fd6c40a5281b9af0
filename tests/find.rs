//! Worn stamps.
//!
//! 1. Whatever decodes is found first, all its readings, and said to be legible.
//! 2. `?`, `*`, look-alikes, a lost separator, swapped neighbours, a beginning, a middle or
//!    an end alone: the stamp is among the first three, and what was taken for what is told.
//! 3. A last digit misread is likelier than a scratch and a missing end together.
//! 4. Readings are in order, and their probabilities with the unexplained make at most one.
//! 5. Junk is mostly unexplained.
//! 6. What says nothing, or is too long for a stamp, is an error.
//! 7. The best few are the same however many are asked for.
//! 8. `distances`: what was taken for what costs what others compute too.
//! 9. `exact`: the order is that of trying every stamp against the text.
//! 10. `shown`: what was not read as it stands is told.
//! 11. `table`: the table of misreadings, and what is said of its faults.
//! 12. `large`: a large catalogue is read as small ones are.
//! 13. No text ends in a panic, and what is legible agrees with what decodes.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use counterbore::stamp::{Automaton, Decoder, FindError, Found, LONGEST};
use proptest::prelude::*;

use crate::schemes::{all, catalogue, our_glyphs};

mod distances;
mod exact;
mod large;
mod shown;
mod table;

static STAMPS: LazyLock<Automaton> = LazyLock::new(|| Automaton::build(&all(), &our_glyphs()));

static DECODER: LazyLock<Decoder> = LazyLock::new(|| Decoder::new(&all()));

fn find(text: &str, limit: usize) -> Found {
    let found = STAMPS.find(text, limit).unwrap();
    assert!(found.complete, "{text}");
    found
}

fn texts(found: &Found) -> Vec<&str> {
    found.readings.iter().map(|one| one.text.as_str()).collect()
}

#[test]
fn the_legible_comes_first() {
    let schemes = all();
    let examples = schemes.iter().flat_map(|scheme| &scheme.examples);
    let stamps = examples.map(|one| one.stamp.as_str());
    for stamp in stamps.chain(["LYRE 64 1612 t24 rg", "7k25.50", "qh 44owl deep", "no. 25"]) {
        let decoded = DECODER.decode(stamp).readings;
        let wanted: BTreeSet<String> = decoded.iter().map(|one| one.canonical()).collect();
        assert!(!wanted.is_empty(), "{stamp}");
        let found = find(stamp, 10);
        let first = &found.readings[..decoded.len()];
        assert!(first.iter().all(|one| one.legible), "{stamp}");
        let said: BTreeSet<String> = first.iter().map(|one| one.text.clone()).collect();
        assert_eq!(said, wanted, "{stamp}");
        assert!(
            found.readings[decoded.len()..]
                .iter()
                .all(|one| !one.legible),
            "{stamp}"
        );
    }
}

#[test]
fn the_worn_is_among_the_first_three() {
    let cases = [
        ("L?ra 64/1612", "Lyra 64/1612"),
        ("QH ?1 wr?n", "QH 31 wren"),
        ("*64/1612", "Corva 64/1612"),
        ("Ly*64/1612 T24 RG", "Lyra 64/1612 T24 RG"),
        ("C*70/1600", "Corva 70/1600"),
        ("C0rva 7O/16OO", "Corva 70/1600"),
        ("Corva 7S/1600", "Corva 75/1600"),
        ("QH 3l wren", "QH 31 wren"),
        ("Lyra641612", "Lyra 64/1612"),
        ("QH31wren", "QH 31 wren"),
        ("Lyra 46/1612", "Lyra 64/1612"),
        ("YLRA 64/1612", "Lyra 64/1612"),
        ("QH 31 wr", "QH 31 wren"),
        ("Corva 70/16", "Corva 70/1600"),
        ("ra 64/161", "Lyra 64/1612"),
        ("wren", "QH 31 wren"),
        ("va 70/1600B", "Corva 70/1600B"),
        ("7K-255O", "7K-25.50"),
    ];
    for (typed, meant) in cases {
        let found = find(typed, 3);
        assert!(
            texts(&found).contains(&meant),
            "{typed}: {:?}",
            texts(&found)
        );
        let legible = found.readings.iter().any(|one| one.legible);
        assert_eq!(
            legible,
            !DECODER.decode(typed).readings.is_empty(),
            "{typed}"
        );
    }
}

#[test]
fn a_glyph_not_seen_can_be_each() {
    let found = find("Lyra 6?/1612", 10);
    let said: BTreeSet<&str> = texts(&found).into_iter().collect();
    let wanted: Vec<String> = (60..70).map(|cup| format!("Lyra {cup}/1612")).collect();
    assert_eq!(said, wanted.iter().map(String::as_str).collect());
    let alike = found
        .readings
        .iter()
        .all(|one| (one.cost - found.readings[0].cost).abs() < 1e-6);
    assert!(alike, "no cup is likelier than another");
}

#[test]
fn what_was_taken_for_what() {
    let found = find("C0rva 7O/1600", 1);
    let taken: Vec<_> = found.readings[0]
        .taken
        .iter()
        .map(|one| (one.position, one.seen.as_str(), one.meant.as_str()))
        .collect();
    assert_eq!(taken, [(1, "0", "O"), (7, "O", "0")]);
    assert!(find("Corva 70/1600", 1).readings[0].taken.is_empty());
}

#[test]
fn one_wrong_digit_is_likelier_than_two_faults() {
    assert_eq!(texts(&find("Lyra 68/1613", 5))[0], "Lyra 68/1612");
    assert_eq!(texts(&find("Corva 70/1601", 5))[0], "Corva 70/1600");
}

#[test]
fn names_of_one_another_stay_apart() {
    let names = ["S0 lark", "50 lark", "5O lark", "SO lark", "So-lark"];
    let stamps = Automaton::build(&[catalogue(&names)], &our_glyphs());
    for name in names {
        let found = stamps.find(name, 5).unwrap();
        assert_eq!(found.readings[0].text, name);
        assert!(found.readings[0].legible);
    }
}

fn in_order(found: &Found) {
    let ranks: Vec<(bool, f64)> = found
        .readings
        .iter()
        .map(|one| (!one.legible, one.cost))
        .collect();
    assert!(ranks.is_sorted(), "{ranks:?}");
    let sum = found.unexplained
        + found
            .readings
            .iter()
            .map(|one| one.probability)
            .sum::<f64>();
    assert!(sum <= 1.0 + 1e-9 && found.unexplained > 0.0, "{sum}");
    for one in &found.readings {
        assert!(one.probability > 0.0 && one.misreading >= 0.0 && one.misreading <= one.cost);
    }
    let alike = found
        .readings
        .windows(2)
        .filter(|two| two[0].legible == two[1].legible);
    for two in alike {
        assert!(two[0].probability >= two[1].probability * (1.0 - 1e-6));
    }
}

#[test]
fn probabilities() {
    for text in [
        "Lyra 64/1612",
        "QH 27 finch",
        "QH 27 f",
        "C0rva 7O",
        "64",
        "1612 T2",
    ] {
        in_order(&find(text, 20));
    }
    let found = find("Lyra 64/1612", 20);
    assert!(
        found.readings[0].probability > 0.9,
        "{}",
        found.readings[0].probability
    );
    assert!(found.unexplained < 0.01, "{}", found.unexplained);
}

#[test]
fn junk_is_unexplained() {
    for junk in ["xyzzy&&", "JPZZW 99#", "###", "ßßß", "best regards"] {
        let found = find(junk, 3);
        assert!(found.unexplained > 0.5, "{junk}: {}", found.unexplained);
    }
}

#[test]
fn what_cannot_be_looked_for() {
    let refused = |text: &str| STAMPS.find(text, 3).unwrap_err();
    assert_eq!(refused(""), FindError::Empty);
    assert_eq!(refused(" \t"), FindError::Empty);
    assert_eq!(refused("*"), FindError::NothingSeen);
    assert_eq!(refused("* **"), FindError::NothingSeen);
    let long = "7".repeat(LONGEST + 1);
    assert_eq!(refused(&long), FindError::TooLong(129));
    assert!(refused(&long).to_string().contains("129"));
    assert!(STAMPS.find(&long[1..], 3).is_ok());
}

#[test]
fn the_best_few_stay() {
    for text in [
        "Lyra 64/1612",
        "lyre 6?/16l2",
        "*1612",
        "QH 27 finch",
        "T2S",
        "7k",
    ] {
        let costs = |limit| -> Vec<f64> {
            find(text, limit)
                .readings
                .iter()
                .map(|one| one.cost)
                .collect()
        };
        let most = costs(40);
        for limit in [0, 1, 2, 5, 13] {
            assert_eq!(
                costs(limit),
                most[..limit.min(most.len())],
                "{text} {limit}"
            );
        }
    }
}

proptest! {
    #[test]
    fn nothing_panics(text in prop_oneof!["[QHLyraecov0-9/ .T+RGb-]{1,20}", "\\PC{0,30}", "[?*L6 /]{1,12}"]) {
        if let Ok(found) = STAMPS.find(&text, 5) {
            let sum = found.unexplained + found.readings.iter().map(|one| one.probability).sum::<f64>();
            prop_assert!(sum <= 1.0 + 1e-9);
            if !text.contains(['?', '*']) {
                in_order(&found);
                let read = !text.contains('+') && !DECODER.decode(&text).readings.is_empty();
                prop_assert!(!read || found.readings[0].legible);
                prop_assert!(read || text.contains('+') || found.readings.iter().all(|one| !one.legible));
            }
        }
    }
}
