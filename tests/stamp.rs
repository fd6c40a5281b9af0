//! Legible stamps.
//!
//! 1. A stamp is cut into segments, each with its meaning, and all its readings are told.
//! 2. Case, blanks, separators, dashes and fractions may be as people type them.
//! 3. What is written canonically is read back as the same, for all that a scheme can spell.
//! 4. Rivals stand in an order that never changes.
//! 5. A figure that does not exist is named with what is made beside it.
//! 6. A scheme that contradicts its examples or itself is told so.
//! 7. Nothing typed panics.

use std::sync::Arc;

use counterbore::scheme::{Binding, PartKind, Scheme};
use counterbore::stamp::{
    Decoder, LONGEST, NearMiss, Reading, SegmentKind, Typed, decode, encode, entry_stamps,
    near_miss, spelled, verify,
};
use proptest::prelude::*;

use crate::schemes;

fn readings(stamp: &str) -> Vec<Reading> {
    decode(&schemes::all(), stamp).readings
}

fn only(stamp: &str) -> Reading {
    let readings = readings(stamp);
    assert_eq!(readings.len(), 1, "{stamp}: {:?}", canonical(&readings));
    readings[0].clone()
}

fn canonical(readings: &[Reading]) -> Vec<String> {
    readings.iter().map(Reading::canonical).collect()
}

/// "text: meaning" of every segment.
fn segments(reading: &Reading) -> Vec<String> {
    let all = reading.parts.iter().flat_map(|part| &part.segments);
    all.map(|segment| format!("{}: {}", segment.text, segment.meaning))
        .collect()
}

/// Codes and messages of all that is wrong with a scheme.
fn faults(text: &str) -> Vec<(&'static str, String)> {
    let (scheme, document) = schemes::written(text);
    verify(&scheme, &document)
        .into_iter()
        .map(|fault| (fault.code, fault.message))
        .collect()
}

#[test]
fn a_stamp_is_cut_into_segments() {
    let reading = only("Lyre 64/1612 T24 RG");
    let expected = [
        "Lyre: series Lyra, named Lyre until 2009",
        "64: cup depth by area mean across seam: 6.4 mm as stamped",
        "/: parts one sign from the next",
        "1612: rim inner diameter by seam: 16.12 mm as stamped",
        "T: struck as it stands",
        "24: throat diameter by drill: 24, 3.861 mm",
        "R: rounder inner edge",
        "G: gold plated",
    ];
    assert_eq!(segments(&reading), expected);
    let part = &reading.parts[0];
    assert_eq!(
        (part.part, part.stamp, part.spelling),
        (PartKind::Top, 0, 0)
    );
    assert_eq!(part.years.until, Some(2009));
    assert_eq!(part.segments[3].what, SegmentKind::Figure(1));
    assert_eq!((part.segments[3].start, part.segments[3].length), (8, 4));
}

#[test]
fn segments_show_what_was_typed() {
    let typed = "  qh\u{a0}7½p   deep";
    let reading = only(typed);
    let characters: Vec<char> = typed.chars().collect();
    for segment in &reading.parts[0].segments {
        let text: String = characters[segment.start..segment.start + segment.length]
            .iter()
            .collect();
        assert_eq!(text, segment.text);
    }
    assert_eq!(reading.parts[0].segments[1].text, "7½p");
    assert_eq!(reading.canonical(), "QH 7 1/2P deep");
}

#[test]
fn running_numbers_and_words_say_what_they_stand_for() {
    let reading = only("7K-25.50");
    assert_eq!(
        segments(&reading)[..2],
        ["7: cup volume by geometry: 7, 7.50 ml", "K: a bowl"]
    );
    assert_eq!(
        segments(&only("QH 3N shallow"))[2],
        "shallow: cup depth by centre: shallow, 9.0..10.0 mm"
    );
}

#[test]
fn people_type_as_they_like() {
    let same = [
        "Lyra 64/1612",
        "lyra64/1612",
        "LYRA-64-1612",
        "Lyra 64 1612",
        "  lyra \t 64/1612 ",
        "Lyra\u{a0}64\u{2215}1612",
        "Lyra 64–1612",
        "ＬＹＲＡ 64/1612",
    ];
    for typed in same {
        assert_eq!(only(typed).canonical(), "Lyra 64/1612", "{typed}");
    }
    for other in [
        "Lyra 64//1612",
        "Lyra 641612",
        "Lyra 64/1612 X",
        "Lyra",
        "64/1612",
        "Lyra 6 4/1612",
    ] {
        assert!(readings(other).is_empty(), "{other}");
    }
}

#[test]
fn a_blank_between_digits_may_not_vanish() {
    assert_eq!(only("QH 7-1/2P").canonical(), "QH 7 1/2P");
    assert!(readings("QH 71/2P").is_empty());
}

#[test]
fn case_counts_where_it_matters() {
    assert_eq!(canonical(&readings("7K-25.50")), ["7K-25.50"]);
    assert_eq!(canonical(&readings("7k-25.50")), ["7k-25.50"]);
    assert_eq!(canonical(&readings("7k25,50")), ["7k-25.50"]);
}

#[test]
fn one_name_of_two_eras_has_two_readings() {
    let readings = readings("QH 5N");
    let years: Vec<_> = readings
        .iter()
        .map(|reading| reading.parts[0].years.text().unwrap())
        .collect();
    assert_eq!(years, ["until 1988", "from 1989"]);
    assert_eq!(segments(&readings[1])[1], "5N: entry 5N, made from 1989");
}

#[test]
fn other_spellings_are_read_and_not_written() {
    assert_eq!(only("QH 75P").canonical(), "QH 7 1/2P");
    assert_eq!(only("QH 11W shal").canonical(), "QH 11W shallow");
    let reading = only("No. 25");
    assert_eq!(
        (reading.parts[0].spelling, reading.canonical().as_str()),
        (1, "T25")
    );
}

#[test]
fn what_goes_without_saying_is_not_written() {
    assert_eq!(only("QH 3N deep").canonical(), "QH 3N");
    assert_eq!(only("Lyra 64/1612 T26").canonical(), "Lyra 64/1612");
    assert_eq!(only("Lyra 64/1612 T27").canonical(), "Lyra 64/1612 T27");
    assert_eq!(only("Corva 64/1612 T27").canonical(), "Corva 64/1612");
    assert_eq!(only("Corva 64/1612 T26").canonical(), "Corva 64/1612 T26");
}

#[test]
fn parts_of_one_piece_are_read_together() {
    let reading = only("T25 + lyra 64/1612");
    assert_eq!(
        reading
            .parts
            .iter()
            .map(|part| part.part)
            .collect::<Vec<_>>(),
        [PartKind::Backbore, PartKind::Top]
    );
    assert_eq!(reading.canonical(), "Lyra 64/1612 + T25");
    assert_eq!(reading.bindings().len(), 4);
    assert_eq!(reading.parts[1].segments[0].start, 6);
    for wrong in [
        "T25 + T26",
        "QH 3N + T25",
        "Lyra 64/1612 + 7K-25.50",
        "T25 + ",
        "T25 +",
    ] {
        assert!(readings(wrong).is_empty(), "{wrong}");
    }
}

/// Two schemes and two ways in each to read one text.
fn rivals() -> Vec<Arc<Scheme>> {
    let text = include_str!("plugins/ostley.yml");
    let other = text
        .replace("scheme: ostley", "scheme: ostmoor")
        .replace("{cup}{form}-{rim}", "{cup}{form} {rim}");
    vec![schemes::plugin("ostley"), schemes::written(&other).0]
}

#[test]
fn fewer_liberties_come_first_then_the_order_of_schemes() {
    let schemes = rivals();
    let who = |stamp: &str| -> Vec<String> {
        decode(&schemes, stamp)
            .readings
            .iter()
            .map(|reading| reading.scheme.id.clone())
            .collect()
    };
    assert_eq!(who("7K-25.50"), ["ostley", "ostmoor"]);
    assert_eq!(who("7K 25.50"), ["ostmoor", "ostley"]);
    assert_eq!(who("7K25.50"), ["ostley", "ostmoor"]);
    assert_eq!(who("7K25.50"), who("7K25.50"));
}

#[test]
fn too_long_is_no_reading() {
    let decoded = decode(&schemes::all(), &"1".repeat(LONGEST + 1));
    assert!(decoded.readings.is_empty() && !decoded.complete);
    assert!(decode(&schemes::all(), &"1".repeat(LONGEST)).complete);
}

#[test]
fn encode_needs_what_must_be_there() {
    let scheme = schemes::plugin("tarnbeck");
    let reading = only("Lyra 64/1612");
    let bindings = reading.bindings();
    assert_eq!(
        encode(&scheme, 0, &bindings).as_deref(),
        Some("Lyra 64/1612")
    );
    assert_eq!(encode(&scheme, 0, &bindings[1..]), None);
    assert_eq!(encode(&scheme, 9, &bindings), None);
    assert_eq!(encode(&scheme, 1, &[]).as_deref(), Some("T27"));
    let (text, reading) = spelled(&scheme, 0, &bindings).unwrap();
    assert_eq!(
        (text.as_str(), segments(&reading).len()),
        ("Lyra 64/1612", 4)
    );
}

#[test]
fn every_entry_comes_back_from_its_stamp() {
    let scheme = schemes::plugin("quillhaven");
    let decoder = Decoder::new(std::slice::from_ref(&scheme));
    let stamps = entry_stamps(&scheme);
    assert_eq!(stamps.len(), scheme.entries.len());
    for (entry, stamp) in stamps.into_iter().enumerate() {
        let (_, text) = stamp.unwrap();
        let readings = decoder.decode(&text).readings;
        let back = readings
            .iter()
            .find(|reading| reading.bindings() == [Binding::Entry(entry)])
            .unwrap();
        assert_eq!(back.canonical(), text);
    }
}

fn misses(stamp: &str) -> Vec<NearMiss> {
    near_miss(&schemes::all(), stamp)
}

#[test]
fn a_number_off_its_grid_is_named() {
    let miss = &misses("Lyra 64/1641")[0];
    assert_eq!(
        miss.message,
        "1641 is not made; the nearest are 1636 and 1648"
    );
    assert_eq!(
        (miss.below.as_deref(), miss.above.as_deref()),
        (Some("1636"), Some("1648"))
    );
    assert_eq!(miss.suggestions, ["Lyra 64/1636", "Lyra 64/1648"]);
    assert_eq!(
        (miss.found.as_str(), miss.figure, miss.scheme.id.as_str()),
        ("1641", 1, "tarnbeck")
    );
    assert_eq!(
        misses("7K-25.60")[0].message,
        "25.60 is not made; the nearest are 25.50 and 25.75"
    );
}

#[test]
fn beyond_the_ends_is_said_so() {
    let above = &misses("Lyra 64/1741")[0];
    assert_eq!(
        above.message,
        "1741 is beyond the scale, which ends at 1720"
    );
    assert_eq!(above.suggestions, ["Lyra 64/1720"]);
    let below = &misses("Lyra 12/1612")[0];
    assert_eq!(below.message, "12 is beyond the scale, which begins at 58");
    assert_eq!(
        (below.below.as_deref(), below.above.as_deref()),
        (None, Some("58"))
    );
}

#[test]
fn a_drill_or_word_that_is_not_used_is_named() {
    let drill = &misses("T31")[0];
    assert_eq!(drill.message, "no throat 31 among 30 to 22");
    assert_eq!(drill.suggestions, ["T30"]);
    let word = &misses("QH 11W shalow")[0];
    assert_eq!(word.message, "no depth shalow among shallow, medium, deep");
    assert_eq!(word.suggestions, ["QH 11W shallow"]);
}

#[test]
fn what_is_right_or_all_wrong_has_no_near_miss() {
    for stamp in [
        "Lyra 64/1612",
        "hello",
        "",
        "Lyra 12/1741",
        &"1".repeat(LONGEST + 1),
    ] {
        assert!(misses(stamp).is_empty(), "{stamp}");
    }
}

#[test]
fn the_schemes_on_which_stamps_are_tried_have_no_fault() {
    for name in ["tarnbeck", "quillhaven", "ostley", "quillow", "signs"] {
        let text = schemes::document(&format!("tests/plugins/{name}.yml"))
            .text()
            .to_owned();
        assert_eq!(faults(&text), [], "{name}");
    }
}

#[test]
fn an_example_that_does_not_hold_is_a_fault() {
    let good = include_str!("plugins/quillhaven.yml");
    let one = |from: &str, to: &str| {
        let faults = faults(&good.replace(from, to));
        assert_eq!(faults.len(), 1, "{faults:?}");
        assert_eq!(faults[0].0, "example");
        faults[0].1.clone()
    };
    assert_eq!(
        one("stamp: QH 3N,", "stamp: QX 3N,"),
        "`QX 3N` is read by no template"
    );
    assert_eq!(
        one("QH 3N, says: {entry: 3N}", "QH 3N, says: {entry: 11W}"),
        "`QH 3N` does not say this; it says {entry: 3N}"
    );
    assert_eq!(
        one(", spelled: QH 7 1/2P deep", ""),
        "`qh 7½p deep` is spelled `QH 7 1/2P deep`, not `qh 7½p deep`"
    );
    assert_eq!(
        one(", rivals: 1", ""),
        "`QH 5N` has 1 other reading: {entry: 5N} or {entry: 5N}"
    );
}

/// A scheme of two figures, its template as given.
fn two_figures(template: &str, cups: &str, stamp: &str) -> String {
    format!(
        "scheme: twofold\ntitle: Twofold (invented)\nserves: [trumpet]\nrevision: \"1\"\nsource: invented\n\
         contour: {{class: trumpet bowl}}\nfigures:\n\
         \x20 rim: {{quantity: rim inner diameter, method: seam, unit: mm, values: {{1: 15.5 mm, 11: 16 mm}}}}\n\
         \x20 cup: {{quantity: cup depth, method: centre, unit: mm, values: {{{cups}}}}}\n\
         stamps:\n  - {{part: one-piece, template: \"{template}\"}}\nexamples:\n  - {stamp}\n"
    )
}

#[test]
fn a_spelling_of_two_pieces_is_warned_of() {
    let text = two_figures(
        "V{rim}{cup}",
        "1: 10 mm, 11: 11 mm",
        "{stamp: V11, says: {rim: \"1\", cup: \"1\"}}",
    );
    let message = "`V111` can be two pieces: {cup: 11, rim: 1} or {cup: 1, rim: 11}";
    assert_eq!(faults(&text), [("same-spelling", message.to_owned())]);
    let parted = text
        .replace("{rim}{cup}", "{rim}/{cup}")
        .replace("stamp: V11", "stamp: V1/1");
    assert_eq!(faults(&parted), []);
}

#[test]
fn a_spelling_that_does_not_come_back_is_a_fault() {
    let long = "V".repeat(LONGEST);
    let text = two_figures(
        &format!("{long}{{rim}}/{{cup}}"),
        "1: 10 mm",
        &format!("{{stamp: {long}1/1, says: {{rim: \"1\"}}}}"),
    );
    let faults = faults(&text);
    let codes: Vec<&str> = faults.iter().map(|(code, _)| *code).collect();
    assert_eq!(codes, ["example", "not-reversible"]);
    assert!(
        faults[1]
            .1
            .ends_with("is written for {rim: 1, cup: 1} but reads as nothing"),
        "{}",
        faults[1].1
    );
}

#[test]
fn two_entries_of_one_time_and_one_spelling_are_a_fault() {
    let text = include_str!("plugins/tarnbeck.yml").replace(
        "marks:\n",
        "entries:\n  columns: [name, series, cup, rim, from]\n  rows:\n    - [alder, lyra, \"64\", \"1612\", \"-\"]\n    \
         - [birch, lyra, \"64\", \"1612\", \"2001\"]\n    - [cedar, lyra, \"65\", \"1612\", \"-\"]\nmarks:\n",
    );
    assert_eq!(
        faults(&text),
        [(
            "same-spelling",
            "two entries are both spelled `Lyra 64/1612`".to_owned()
        )]
    );
}

#[test]
fn a_text_has_one_form() {
    assert_eq!(Typed::of("½").text(), "1/2");
    assert_eq!(Typed::of("1½").text(), "1 1/2");
    assert_eq!(Typed::of("12 × 3").text(), "12 x 3");
    assert_eq!(Typed::of("a\u{200b}b\u{ad}").text(), "ab");
    assert_eq!(Typed::of("e\u{301}").text(), "é");
    assert_eq!(Typed::of("5″").text(), "5\"");
    assert_eq!(Typed::of("1\u{2044}2").text(), "1/2");
    assert!(Typed::of(" \t\u{3000}").is_empty());
    assert_eq!(Typed::of("a  b").stretch(1, 2), (1, 2));
}

fn scrap() -> impl Strategy<Value = String> {
    prop_oneof![
        "\\PC{0,30}",
        "[LYRAlyraCORVA0-9/ TRGQHNPWK½.,+-]{0,30}",
        prop::collection::vec(
            prop::sample::select(vec![
                "Lyra", " ", "64", "/", "1612", "-", "T25", "G", "5N", "QH", " + ", "½"
            ]),
            0..9
        )
        .prop_map(|pieces| pieces.concat()),
    ]
}

proptest! {
    #[test]
    fn whatever_is_typed_is_read_or_not(text in scrap()) {
        let decoder = Decoder::new(&schemes::all());
        let decoded = decoder.decode(&text);
        let length = text.chars().count();
        for reading in &decoded.readings {
            let again = decoder.decode(&reading.canonical()).readings;
            prop_assert!(again.iter().any(|one| one.canonical() == reading.canonical()), "{}", reading.canonical());
            for segment in reading.parts.iter().flat_map(|part| &part.segments) {
                prop_assert!(segment.start + segment.length <= length && segment.length > 0);
            }
        }
        if decoded.readings.is_empty() {
            decoder.near_miss(&text);
        }
    }

    #[test]
    fn every_stamp_of_a_grid_comes_back(cup in 58_i64..=82, rim in 0_i64..=15, throat in 22..=30, tail in 0_usize..6) {
        let marks = ["", " R", "G", " RB", "B", " RG"][tail];
        let stamp = format!("Corva {cup}/{}{}{marks}", 1540 + 12 * rim, if throat == 27 { String::new() } else { format!(" T{throat}") });
        let scheme = schemes::plugin("tarnbeck");
        let readings = Decoder::new(&[scheme]).decode(&stamp).readings;
        prop_assert_eq!(canonical(&readings), [stamp]);
    }
}
