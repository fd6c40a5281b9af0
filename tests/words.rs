//! Free words.
//!
//! 1. A query's letters find a text whatever its case, marks and forms are.
//! 2. The likeliest comes first: all of a text, whole words, beginnings, letters; then shorter and earlier texts.
//! 3. Figures never reach the matcher, and one file alone names it.
//! 4. Nothing typed panics.
//! 5. All queries that a text can be typed as have together at most the share of words.
//! 6. In one list with stamps, what is stated to be so probable is so, for words typed in other manners than the
//!    model's, drawn from a seed; a piece found both ways has both shares.

use std::path::Path;

use counterbore::answer::{FindAsk, find};
use counterbore::words::Words;
use proptest::prelude::*;

use crate::generator::{self, Random};
use crate::shop::Shop;

fn words(texts: &[&str]) -> Words<usize> {
    Words::new(
        texts
            .iter()
            .enumerate()
            .map(|(place, text)| ((*text).to_owned(), place)),
    )
}

fn found<'a>(words: &'a Words<usize>, query: &str) -> Vec<&'a str> {
    words.find(query).into_iter().map(|hit| hit.text).collect()
}

#[test]
fn both_sides_are_folded() {
    let words = words(&["Crème", "Straße", "Henry Ⅳ", "Half ½ cup"]);
    assert_eq!(found(&words, "CREME"), ["Crème"]);
    assert_eq!(found(&words, "strasse"), ["Straße"]);
    assert_eq!(found(&words, "STRASSE"), ["Straße"]);
    assert_eq!(found(&words, "henry iv"), ["Henry Ⅳ"]);
    assert_eq!(found(&words, "ｃｕｐ"), ["Half ½ cup"]);
}

#[test]
fn better_meetings_come_first() {
    let words = words(&[
        "flyracket",
        "lyracord",
        "the lyra of old",
        "lyra",
        "lyracords",
        "a lyra",
    ]);
    let expected = [
        "lyra",
        "a lyra",
        "lyracord",
        "lyracords",
        "the lyra of old",
        "flyracket",
    ];
    assert_eq!(found(&words, "lyra"), expected);
    let ranks: Vec<usize> = words.find("lyra").iter().map(|hit| hit.rank).collect();
    assert_eq!(ranks, [1, 2, 3, 4, 5, 6]);
}

#[test]
fn equals_keep_their_order() {
    let words = words(&["heron b", "heron a"]);
    assert_eq!(found(&words, "heron"), ["heron b", "heron a"]);
}

#[test]
fn letters_must_all_be_there() {
    let words = words(&["heron", "lyra"]);
    assert!(found(&words, "herno").is_empty());
    assert_eq!(found(&words, "hrn"), ["heron"]);
    assert!(found(&words, "heron lyra").is_empty());
}

#[test]
fn figures_are_not_words() {
    let words = words(&["17 long", "7", "long 27", "½"]);
    assert!(found(&words, "7").is_empty());
    assert!(found(&words, "½").is_empty());
    assert!(found(&words, "").is_empty());
    assert_eq!(found(&words, "7 long"), found(&words, "long"));
    assert_eq!(found(&words, "17x long").len(), 2);
}

#[test]
fn one_file_names_the_matcher() {
    let mut naming = Vec::new();
    search(
        Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("server")
            .as_path(),
        &mut naming,
    );
    assert_eq!(naming, ["words.rs"]);
}

fn search(folder: &Path, naming: &mut Vec<String>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            search(&path, naming);
        } else if std::fs::read_to_string(&path).is_ok_and(|text| text.contains("fuzzy_matcher::"))
        {
            naming.push(path.file_name().unwrap().to_string_lossy().into_owned());
        }
    }
}

#[test]
fn likelihoods_are_shares() {
    // Every query of the letters a, b and blanks up to the length of the text.
    let text = words(&["ab ba"]);
    let mut queries = vec![String::new()];
    let mut total = 0.0;
    for _ in 0..5 {
        queries = queries
            .iter()
            .flat_map(|query| "ab ".chars().map(move |one| format!("{query}{one}")))
            .collect();
        let typed = queries
            .iter()
            .filter(|query| query.trim() == *query && !query.contains("  "));
        total += typed
            .flat_map(|query| text.find(query))
            .map(|hit| hit.likelihood)
            .sum::<f64>();
    }
    assert!(total > 0.03 && total <= 0.05 + 1e-9, "{total}");
}

/// Notes of one to four of these.
const PARTS: [&str; 24] = [
    "goose", "the", "old", "bracken", "of", "wide", "harbour", "night", "bell", "candle", "tin",
    "orchard", "sable", "fennel", "minor", "stove", "lantern", "with", "a", "notch", "quarry",
    "rook", "velvet", "march",
];

/// How somebody types a note, drawn from a seed and not by the model: whole, by its first or last words, by the
/// first letters, or without vowels. Judged, no source.
fn typed(note: &str, random: &mut Random) -> String {
    let words: Vec<&str> = note.split(' ').collect();
    let some = 1 + random.below(words.len());
    match random.below(20) {
        0..7 => note.to_owned(),
        7..10 => words[..some].join(" "),
        10..13 => words[words.len() - some..].join(" "),
        13..18 => note
            .chars()
            .take(3 + random.below(4))
            .collect::<String>()
            .trim()
            .to_owned(),
        _ => note
            .chars()
            .filter(|one| !"aeiou".contains(*one))
            .collect::<String>()
            .trim()
            .to_owned(),
    }
}

/// A catalogue of names, a note at each.
fn noted(names: &[String], random: &mut Random) -> (Shop, Vec<String>) {
    let mut notes: Vec<String> = Vec::new();
    while notes.len() < names.len() {
        let parts = (0..1 + random.below(4)).map(|_| *random.one_of(&PARTS));
        let note = parts.collect::<Vec<&str>>().join(" ");
        if note.len() > 3 && !notes.contains(&note) {
            notes.push(note);
        }
    }
    let rows = names.iter().zip(&notes);
    let rows: String = rows
        .map(|(name, note)| format!("    - [\"{name}\", \"16.00\", \"{note}\"]\n"))
        .collect();
    let shop = Shop::new();
    shop.write(
        "plugins/noted.yml",
        &format!(
            "scheme: noted\ntitle: Noted (invented)\nserves: [trumpet]\nrevision: \"1\"\nsource: invented\n\
             contour: {{class: trumpet bowl}}\nfigures:\n  rim: {{quantity: rim inner diameter, method: seam, unit: mm}}\n\
             entries:\n  columns: [name, rim, note]\n  rows:\n{rows}stamps:\n  - {{part: one-piece, template: \"{{entry}}\"}}\n\
             examples:\n  - {{stamp: \"{0}\", says: {{entry: \"{0}\"}}}}\n",
            names[0]
        ),
    );
    (shop, notes)
}

#[test]
fn words_and_stamps_are_calibrated_in_one_list() {
    let mut random = Random::new(11);
    let names = generator::names(300, 12);
    let (shop, notes) = noted(&names, &mut random);
    let snapshot = shop.snapshot();
    assert_eq!(
        snapshot.schemes.len(),
        1,
        "{:?}",
        snapshot.files[0].diagnostics
    );
    let mut tenths = [(0.0, 0.0); 10];
    let (mut firsts, mut asked, mut readings) = (0, 0, 0);
    for place in 0..240 {
        let meant = random.below(names.len());
        let in_words = place % 2 == 0;
        let partial = match in_words {
            true => typed(&notes[meant], &mut random),
            false => generator::worn(&names[meant], random.below(3), &mut random),
        };
        let ask = FindAsk {
            partial: &partial,
            gauges: &[],
            limit: 10,
        };
        let Ok(answer) = find(&snapshot, &ask) else {
            continue;
        };
        if in_words {
            asked += 1;
            firsts += usize::from(
                answer
                    .results
                    .first()
                    .is_some_and(|one| one.canonical == names[meant]),
            );
        }
        readings += answer.results.len();
        for one in &answer.results {
            let tenth = &mut tenths[((one.probability * 10.0) as usize).min(9)];
            *tenth = (
                tenth.0 + one.probability,
                tenth.1 + f64::from(u8::from(one.canonical == names[meant])),
            );
        }
    }
    let error: f64 = tenths
        .iter()
        .map(|(stated, so)| (stated - so).abs())
        .sum::<f64>()
        / readings as f64;
    assert!(error < 0.03, "{error} {tenths:?}");
    // Many of the notes begin alike: more cannot be told from what is typed.
    assert!(firsts as f64 > 0.55 * asked as f64, "{firsts} of {asked}");
}

#[test]
fn what_is_found_both_ways_stands_once() {
    let names = ["BELL 3".to_owned(), "ROOK 4".to_owned(), "TIN 5".to_owned()];
    let mut random = Random::new(1);
    let (shop, notes) = noted(&names, &mut random);
    let ask = FindAsk {
        partial: &notes[0],
        gauges: &[],
        limit: 10,
    };
    let found = find(&shop.snapshot(), &ask).unwrap();
    let of_first: Vec<_> = found
        .results
        .iter()
        .filter(|one| one.canonical == names[0])
        .collect();
    assert_eq!(of_first.len(), 1, "{found:#?}");
    assert_eq!(found.results[0].words.as_ref().unwrap().text, notes[0]);
    let all: f64 =
        found.results.iter().map(|one| one.probability).sum::<f64>() + found.something_else;
    assert!((all - 1.0).abs() < 1e-4, "{all}");
}

proptest! {
    #[test]
    fn nothing_typed_panics(texts in prop::collection::vec("\\PC{0,40}", 0..8), query in "\\PC{0,90}") {
        let words = Words::new(texts.iter().cloned().zip(0..));
        let hits = words.find(&query);
        prop_assert!(hits.len() <= texts.len());
        prop_assert!(hits.iter().all(|hit| hit.likelihood > 0.0 && hit.likelihood <= 0.05));
        prop_assert!(hits.iter().zip(1..).all(|(hit, rank)| hit.rank == rank));
    }

    #[test]
    fn case_of_the_query_changes_nothing(query in "[a-zäöüß ]{0,12}") {
        let words = words(&["crème brute", "straße", "lyra of old", "über"]);
        prop_assert_eq!(words.find(&query), words.find(&query.to_uppercase()));
    }
}
