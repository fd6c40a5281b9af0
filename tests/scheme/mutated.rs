//! Whatever a file says, checking it comes to an end without a panic.

use std::fs;

use counterbore::scheme::check;
use counterbore::yaml::{Limits, gate};
use proptest::prelude::*;

use super::{our_tables, root};

/// Pieces that are dear, odd or right in another place.
const PIECES: [&str; 30] = [
    "0",
    "-1",
    "1/0",
    "999999999",
    "0.000000001",
    "15.50",
    "007",
    "1 1/16",
    "mm",
    "0.1 mm",
    "ml",
    "12 deg ± 90 deg",
    "1e9 mm",
    "±",
    "u",
    "..",
    "9.0..8.0 mm",
    "[",
    "]",
    "{rim}",
    "{",
    "seam",
    "depth",
    "series",
    "\"\"",
    "rim inner diameter",
    "cup volume",
    "9223372036854775807",
    "½ in",
    "{}",
];

fn schemes() -> Vec<String> {
    let listed = fs::read_dir(root().join("tests/plugins")).unwrap();
    listed
        .map(|entry| fs::read_to_string(entry.unwrap().path()).unwrap())
        .collect()
}

/// A text with some of its words exchanged for pieces or for words from elsewhere in it.
fn mutated(text: &str, changes: &[(usize, usize, bool)]) -> String {
    let is_word = |one: char| one.is_alphanumeric() || "./_-".contains(one);
    let mut words: Vec<(usize, &str)> = text
        .split(|one: char| !is_word(one))
        .filter(|word| !word.is_empty())
        .map(|word| (word.as_ptr() as usize - text.as_ptr() as usize, word))
        .collect();
    let all = words.clone();
    for (place, choice, from_text) in changes {
        let place = place % words.len();
        words[place].1 = match from_text {
            true => all[choice % all.len()].1,
            false => PIECES[choice % PIECES.len()],
        };
    }
    let mut out = String::new();
    let mut done = 0;
    for ((start, word), (_, before)) in words.iter().zip(&all) {
        out += &text[done..*start];
        out += word;
        done = start + before.len();
    }
    out + &text[done..]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_change_of_words_brings_check_down(
        file in any::<prop::sample::Index>(),
        changes in prop::collection::vec((any::<usize>(), any::<usize>(), any::<bool>()), 1..6),
    ) {
        let schemes = schemes();
        let scheme: &String = file.get(&schemes);
        let text = mutated(scheme, &changes);
        if let Ok(document) = gate("t.yml", text.as_bytes(), Limits::PLUGIN) {
            let (scheme, found) = check(&document, &our_tables());
            prop_assert!(scheme.is_some() || !found.is_empty());
            if let Some(scheme) = scheme {
                for figure in &scheme.figures {
                    let spelled = figure.signs.spellings().take(100).all(|(sign, _)| {
                        figure.signs.read(&sign.text, scheme.case_matters).is_some()
                    });
                    prop_assert!(spelled, "{}", figure.name);
                }
            }
        }
    }
}
