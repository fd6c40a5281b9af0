//! Large catalogues: the same answers as from small ones.

use std::collections::BTreeSet;
use std::sync::Arc;

use counterbore::stamp::{Automaton, FindError, Found, LONGEST};
use proptest::prelude::*;

use crate::generator::{GRADES, Random, names, worn};
use crate::schemes;

/// Catalogues of this many names are laid name by name, of three times as many are not.
const PART: usize = 680;

/// Readings dearer than the best by more nats are not worth showing, and may be missing.
const CUT: f64 = 18.0;

/// A large catalogue, and its names.
fn large(template: &str, seed: u64) -> (Automaton, Vec<String>) {
    let names = names(3 * PART, seed);
    let scheme = schemes::listed("whole", template, &names);
    let automaton = Automaton::build(&[scheme], &schemes::our_glyphs());
    (automaton, names)
}

/// The same names in one catalogue, and in three of equal size: the priors are the same.
fn both(template: &str, names: &[String]) -> (Automaton, Automaton) {
    let one = schemes::listed("whole", template, names);
    let three: Vec<_> = names
        .chunks(PART)
        .zip(["first", "second", "third"])
        .map(|(part, id)| schemes::listed(id, template, part))
        .collect();
    let glyphs = schemes::our_glyphs();
    (
        Automaton::build(&[one], &glyphs),
        Automaton::build(&three, &glyphs),
    )
}

/// Names of any of the first few glyphs, with separators here and there.
fn any_names(glyphs: usize, seed: u64) -> Vec<String> {
    const GLYPHS: &[char] = &[
        '1', 'I', 'B', '8', '3', 'R', 'N', 'M', '0', 'O', '5', 'S', '2', '7', '4', 'A', 'E', 'F',
        'K', 'X', 'V', 'U', '6', '9',
    ];
    let mut random = Random::new(seed);
    let mut names = BTreeSet::new();
    while names.len() < 3 * PART {
        let mut name = String::from(*random.one_of(&GLYPHS[..glyphs]));
        for _ in 0..4 + random.below(8) {
            if random.below(6) == 0 {
                name.push(*random.one_of(&[' ', '-', '/', '.']));
            }
            name.push(*random.one_of(&GLYPHS[..glyphs]));
        }
        names.insert(name);
    }
    names.into_iter().collect()
}

fn costs(found: &Found) -> Vec<(bool, f64)> {
    found
        .readings
        .iter()
        .map(|one| (one.legible, one.cost))
        .collect()
}

fn agree(template: &str, seed: u64, texts: usize, dress: impl Fn(String) -> String) {
    agree_on(&names(3 * PART, seed), template, seed, texts, dress);
}

fn agree_on(
    names: &[String],
    template: &str,
    seed: u64,
    texts: usize,
    dress: impl Fn(String) -> String,
) {
    let (one, three) = both(template, names);
    assert!(one.lexicon_bytes() > 0 && three.lexicon_bytes() == 0);
    let mut random = Random::new(seed);
    for text in 0..texts {
        let grade = text % GRADES.len();
        let name = &names[random.below(names.len())];
        let text = dress(worn(name, grade, &mut random));
        let (Ok(found), Ok(expected)) = (one.find(&text, 10), three.find(&text, 10)) else {
            continue;
        };
        let same = costs(&found)
            .iter()
            .zip(costs(&expected))
            .all(|(one, other)| one.0 == other.0 && (one.1 - other.1).abs() < 1e-6);
        let (len, best) = (found.readings.len(), expected.readings[0].cost);
        let whole = len <= expected.readings.len()
            && (expected.readings[len..].iter()).all(|one| one.cost > best + CUT - 1e-6);
        assert!(
            !found.complete || (same && whole),
            "{text}: {:?} and not {:?}",
            costs(&found),
            costs(&expected)
        );
    }
}

#[test]
fn a_large_catalogue_is_read_as_three_small_ones() {
    agree("{entry}", 1, 72, |text| text);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3))]
    #[test]
    fn names_of_anything_are_read_as_in_three_small_ones(glyphs in 3_usize..24, seed in 0_u64..1000) {
        agree_on(&any_names(glyphs, seed), "{entry}", seed, 8, |text| text);
    }
}

#[test]
fn a_blank_that_was_not_typed_is_no_misreading() {
    let names = any_names(5, 683);
    let (one, three) = both("{entry}", &names);
    let parted = names.iter().filter(|name| name.contains("I "));
    for name in parted.take(60) {
        let text = name.replacen("I ", "I", 1);
        let [one, three] = [&one, &three].map(|all| costs(&all.find(&text, 1).expect("a text")));
        let (one, three) = (one[0].1, three[0].1);
        assert!(
            (one - three).abs() < 1e-6,
            "{text} for {name}: {one} and not {three}"
        );
    }
}

#[test]
fn what_stands_around_a_name_is_read_with_it() {
    agree("LY {entry}[ X{rim}]", 2, 24, |text| format!("LY {text}"));
    agree("LY {entry}[ X{rim}]", 3, 24, |text| {
        format!("{text} X16.00")
    });
    agree("L{entry}K", 4, 24, |text| text);
    agree("L{entry}K", 6, 24, |text| {
        let few: String = text.chars().take(3).collect();
        format!("L{few} *")
    });
}

#[test]
fn search_is_complete_in_most_cases() {
    let (one, names) = large("{entry}", 5);
    let mut random = Random::new(5);
    let texts = (0..60).map(|place| {
        let name = &names[random.below(names.len())];
        worn(name, place % GRADES.len(), &mut random)
    });
    let found: Vec<Found> = texts.filter_map(|text| one.find(&text, 10).ok()).collect();
    let complete = found.iter().filter(|found| found.complete).count();
    assert!(
        complete * 10 >= found.len() * 9,
        "{complete} of {}",
        found.len()
    );
}

#[test]
fn a_spelling_more_is_no_reading_more() {
    let names = names(3 * PART, 6);
    let mut scheme = Arc::try_unwrap(schemes::listed("whole", "{entry}", &names)).unwrap();
    for entry in &mut scheme.entries {
        entry.also = vec![format!("{} A", entry.name), format!("{}-A", entry.name)];
    }
    let automaton = Automaton::build(&[scheme.into()], &schemes::our_glyphs());
    let found = automaton.find(&names[7], 5).unwrap();
    let texts: std::collections::BTreeSet<&str> =
        found.readings.iter().map(|one| one.text.as_str()).collect();
    assert_eq!(found.readings[0].text, names[7]);
    assert_eq!(texts.len(), found.readings.len());
    let priors: f64 = (names.len() as f64).ln() + 3_f64.ln();
    let misread = schemes::our_glyphs().misread;
    assert!((found.readings[0].cost - priors + (1.0 - misread).ln()).abs() < 1e-9);
}

#[test]
fn bad_input_is_answered() {
    let (one, _) = large("L {entry}[ X{rim}]", 7);
    assert_eq!(one.find("", 5).unwrap_err(), FindError::Empty);
    assert_eq!(one.find("*", 5).unwrap_err(), FindError::NothingSeen);
    let long = "1".repeat(10_000);
    assert_eq!(one.find(&long, 5).unwrap_err(), FindError::TooLong(10_000));
    let odd = [
        "\u{200F}\u{202E}12/5",
        "\u{200B}",
        "٣٤/٥",
        "?",
        "????????????",
        "?*?*?*",
        "--- / ...",
        "ß漢é",
    ];
    for text in odd.iter().copied().chain([&long[..LONGEST]]) {
        if let Ok(found) = one.find(text, 5) {
            let stated: f64 = found.readings.iter().map(|one| one.probability).sum();
            assert!(stated + found.unexplained <= 1.0 + 1e-9, "{text}");
            assert!(stated < 0.5, "{text} says too little to be sure of");
        }
    }
}
