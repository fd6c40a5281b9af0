//! Worn stamps.
//!
//! 1. `distances`: what was taken for what costs what others compute too.
//! 2. `exact`: the order is that of trying every stamp against the text.
//! 3. `table`: the table of misreadings, and what is said of its faults.
//! 4. Whatever can be decoded is found first, and costs next to nothing.
//! 5. What was not read as it stands is shown; junk is left unexplained.
//! 6. Nothing typed panics, and probabilities never add up to more than one.

use std::sync::Arc;

use counterbore::scheme::Scheme;
use counterbore::stamp::{Automaton, Decoder, FindError, Found, FoundReading, Glyphs, LONGEST};
use counterbore::yaml::{Limits, gate};
use proptest::prelude::*;

use crate::schemes;

mod distances;
mod exact;
mod table;

fn ours() -> Automaton {
    Automaton::build(&schemes::all(), &schemes::our_glyphs())
}

fn glyphs(text: &str) -> Glyphs {
    Glyphs::read(&gate("glyphs.yml", text.as_bytes(), Limits::PLUGIN).unwrap()).unwrap()
}

fn texts(found: &Found) -> Vec<&str> {
    found.readings.iter().map(|one| one.text.as_str()).collect()
}

fn best(partial: &str) -> FoundReading {
    ours().find(partial, 1).unwrap().readings.remove(0)
}

/// What was not read as it stands: "position seen>meant".
fn taken(partial: &str) -> Vec<String> {
    best(partial)
        .taken
        .iter()
        .map(|one| format!("{} {}>{}", one.position, one.seen, one.meant))
        .collect()
}

#[test]
fn what_is_decoded_is_found_first() {
    /// A separator that is not as written costs less than one nat.
    const NEXT_TO_NOTHING: f64 = 3.0;
    let schemes = schemes::all();
    let (decoder, automaton) = (Decoder::new(&schemes), ours());
    let examples = schemes
        .iter()
        .flat_map(|scheme| scheme.examples.iter().map(|example| example.stamp.as_str()));
    let more = [
        "LYRE64 1612 t24rg",
        "lyra 64/1612 + no. 25",
        "QH 7-1/2P",
        "7k 25.50",
        "7K25.50",
        "t30",
    ];
    for stamp in examples.chain(more) {
        let decoded = decoder.decode(stamp).readings;
        let found = automaton.find(stamp, 5).unwrap();
        let first = &found.readings[0];
        let canonical: Vec<String> = decoded.iter().map(|reading| reading.canonical()).collect();
        assert!(
            canonical.contains(&first.text),
            "{stamp}: {canonical:?}, not {}",
            first.text
        );
        assert!(
            first.legible && first.misreading < NEXT_TO_NOTHING,
            "{stamp}: {}",
            first.misreading
        );
        assert!(first.probability > 0.3, "{stamp}: {}", first.probability);
    }
}

#[test]
fn every_canonical_stamp_is_found_as_itself() {
    let (scheme, automaton) = (schemes::plugin("quillhaven"), ours());
    for (_, stamp) in counterbore::stamp::entry_stamps(&scheme)
        .into_iter()
        .flatten()
    {
        let first = automaton.find(&stamp, 1).unwrap().readings.remove(0);
        assert_eq!(
            (first.text.as_str(), first.misreading, first.legible),
            (stamp.as_str(), 0.0, true)
        );
        assert!(first.taken.is_empty());
    }
}

#[test]
fn look_alikes_are_taken_for_each_other() {
    assert_eq!(best("qh sn").text, "QH 5N");
    assert_eq!(taken("qh sn"), ["3 s>5"]);
    assert_eq!(best("C0rva 7O/16OO").text, "Corva 70/1600");
    assert_eq!(
        taken("C0rva 7O/16OO"),
        ["1 0>O", "7 O>0", "11 O>0", "12 O>0"]
    );
}

#[test]
fn lost_extra_and_swapped_glyphs_are_shown() {
    assert_eq!(taken("Lya 64/1612"), ["2 >R"]);
    assert_eq!(taken("Lyra 64/16312"), ["10 3>"]);
    assert_eq!(taken("Lyar 64/1612"), ["2 ar>RA"]);
    assert_eq!(best("Lyar 64/1612").text, "Lyra 64/1612");
}

#[test]
fn one_glyph_that_cannot_be_read_is_any_one() {
    let found = ours().find("QH 1?W", 9).unwrap();
    assert_eq!(found.readings[0].text, "QH 11W");
    assert_eq!(
        (found.readings[0].misreading, found.readings[0].legible),
        (0.0, false)
    );
    assert_eq!(taken("QH 1?W"), ["4 ?>1"]);
    assert!(
        ours().find("Lyra 6?/1612", 99).unwrap().readings[..10]
            .iter()
            .all(|one| one.text.starts_with("Lyra 6"))
    );
}

#[test]
fn a_stretch_is_anything() {
    assert_eq!(best("Ly*e 64/1612").text, "Lyre 64/1612");
    assert_eq!(taken("Ly*e 64/1612"), ["2 *>R"]);
    let found = ours().find("*11W", 3).unwrap();
    assert_eq!(found.readings[0].text, "QH 11W");
    assert_eq!(found.readings[0].taken[0].meant, "QH");
    assert_eq!(texts(&ours().find("** * 11W", 1).unwrap()), ["QH 11W"]);
}

#[test]
fn a_beginning_finds_what_it_may_become() {
    let found = ours().find("Lyra 64", 20).unwrap();
    let whole = |one: &FoundReading| one.text.starts_with("Lyra 64/") && !one.legible;
    assert!(
        found.readings.iter().take(16).all(whole),
        "{:?}",
        texts(&found)
    );
    assert_eq!(found.readings[0].taken[0].seen, "");
}

#[test]
fn an_end_is_enough() {
    let found = best("ra 64/1612");
    assert_eq!(found.text, "Lyra 64/1612");
    assert_eq!(taken("ra 64/1612"), ["0 >LY"]);
}

#[test]
fn parts_of_one_piece_are_found_together() {
    let found = ours().find("Lyra 64/1?12 + T2S", 4).unwrap();
    assert_eq!(found.readings[0].text, "Lyra 64/1612 + T25");
    assert_eq!(found.readings[0].reading.parts.len(), 2);
    let positions: Vec<usize> = found.readings[0]
        .taken
        .iter()
        .map(|one| one.position)
        .collect();
    assert_eq!(positions, [9, 17]);
    let total: f64 = found.readings.iter().map(|one| one.probability).sum();
    assert!(
        total + found.unexplained <= 1.0 + 1e-9 && total > 0.1,
        "{total}"
    );
    let swapped = ours().find("T25 + Lyra 64/1612", 1).unwrap();
    assert_eq!(texts(&swapped), ["Lyra 64/1612 + T25"]);
}

#[test]
fn case_is_free_unless_it_matters() {
    assert_eq!(best("LYRA 64/1612").misreading, 0.0);
    let found = ours().find("7K-25.50", 2).unwrap();
    assert_eq!(texts(&found), ["7K-25.50", "7k-25.50"]);
    assert!(found.readings[0].legible && !found.readings[1].legible);
}

#[test]
fn junk_is_left_unexplained() {
    for junk in ["xyzzy", "@@@@", "hello world", "99999999"] {
        let found = ours().find(junk, 3).unwrap();
        assert!(found.unexplained > 0.9, "{junk}: {}", found.unexplained);
    }
    assert!(ours().find("Lyra 64/1612", 3).unwrap().unexplained < 1e-6);
}

#[test]
fn a_word_given_up_before_the_template_is_not_found() {
    let text = include_str!("plugins/tarnbeck.yml").replace(
        "  - part: backbore",
        "    from: \"2012\"\n  - part: backbore",
    );
    let (scheme, _) = schemes::written(
        &text
            .replace("lyre 64-1612", "lyra 64-1612")
            .replace("spelled: Lyre", "spelled: Lyra"),
    );
    let automaton = Automaton::build(&[scheme], &schemes::our_glyphs());
    let found = automaton.find("Lyre 64/1612", 5).unwrap();
    assert!(
        texts(&found).iter().all(|text| !text.starts_with("Lyre")),
        "{:?}",
        texts(&found)
    );
}

#[test]
fn nothing_to_look_for_is_an_error() {
    let find = |text: &str| ours().find(text, 1).unwrap_err();
    assert_eq!(find(""), FindError::Empty);
    assert_eq!(find(" \u{a0}\t"), FindError::Empty);
    assert_eq!(find("* *"), FindError::NothingSeen);
    assert_eq!(
        find(&"A".repeat(LONGEST + 1)),
        FindError::TooLong(LONGEST + 1)
    );
    assert!(ours().find("?", 1).is_ok());
    assert_eq!(
        FindError::TooLong(200).to_string(),
        "200 characters are no stamp; at most 128 are read"
    );
}

#[test]
fn without_schemes_nothing_is_found() {
    let found = Automaton::build(&[], &schemes::our_glyphs())
        .find("Lyra 64/1612", 3)
        .unwrap();
    assert!(found.readings.is_empty());
    assert_eq!(found.unexplained, 1.0);
}

#[test]
fn the_automaton_is_shared_by_threads() {
    fn is_shared<T: Send + Sync>(_: &T) {}
    is_shared(&ours());
}

fn scrap() -> impl Strategy<Value = String> {
    prop_oneof![
        "\\PC{0,20}",
        "[LYRAlyra CORVA0-9/?* TRGBQH+-]{0,24}",
        prop::collection::vec(
            prop::sample::select(vec![
                "Lyra", " ", "64", "/", "1612", "?", "*", "T", "2", "5N", "QH", " + "
            ]),
            0..9
        )
        .prop_map(|pieces| pieces.concat()),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn whatever_is_typed_probabilities_hold(text in scrap(), limit in 0_usize..12) {
        let Ok(found) = ours().find(&text, limit) else { return Ok(()) };
        let total: f64 = found.readings.iter().map(|one| one.probability).sum();
        prop_assert!(found.readings.len() <= limit);
        prop_assert!((0.0..=1.0 + 1e-9).contains(&(total + found.unexplained)), "{} + {}", total, found.unexplained);
        let follows = |one: &FoundReading, next: &FoundReading| match (one.legible, next.legible) {
            (true, false) => true,
            (false, true) => false,
            _ => one.cost <= next.cost + 1e-6 || text.contains(['?', '*']),
        };
        let ordered = found.readings.windows(2).all(|pair| follows(&pair[0], &pair[1]));
        prop_assert!(ordered, "{:?}", texts(&found));
        let same = |one: &FoundReading, other: &FoundReading| {
            (one.scheme.id == other.scheme.id && one.text == other.text) && one.bindings == other.bindings
        };
        for (place, one) in found.readings.iter().enumerate() {
            prop_assert!(found.readings[..place].iter().all(|other| !same(one, other)));
        }
    }

    #[test]
    fn what_is_shown_lies_in_the_text(text in scrap()) {
        let Ok(found) = ours().find(&text, 3) else { return Ok(()) };
        let length = text.chars().count();
        for taken in found.readings.iter().flat_map(|one| &one.taken) {
            prop_assert!(taken.position <= length);
            prop_assert!(!taken.seen.is_empty() || !taken.meant.is_empty());
        }
    }
}

/// One scheme as the only one.
fn alone(scheme: Arc<Scheme>, glyphs: &Glyphs) -> Automaton {
    Automaton::build(&[scheme], glyphs)
}
