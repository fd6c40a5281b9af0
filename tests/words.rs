//! Free words.
//!
//! 1. A query's letters find a text whatever its case, marks and forms are.
//! 2. Exact comes first, then whole words, beginnings, shorter texts, earlier texts.
//! 3. Figures never reach the matcher, and one file alone names it.
//! 4. Nothing typed panics.

use std::path::Path;

use counterbore::words::Words;
use proptest::prelude::*;

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
        "the lyra of old",
        "lyracord",
        "lyracords",
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

proptest! {
    #[test]
    fn nothing_typed_panics(texts in prop::collection::vec("\\PC{0,40}", 0..8), query in "\\PC{0,90}") {
        let words = Words::new(texts.iter().cloned().zip(0..));
        let hits = words.find(&query);
        prop_assert!(hits.len() <= texts.len());
        prop_assert!(hits.iter().zip(1..).all(|(hit, rank)| hit.rank == rank));
    }

    #[test]
    fn case_of_the_query_changes_nothing(query in "[a-zäöüß ]{0,12}") {
        let words = words(&["crème brute", "straße", "lyra of old", "über"]);
        prop_assert_eq!(words.find(&query), words.find(&query.to_uppercase()));
    }
}
