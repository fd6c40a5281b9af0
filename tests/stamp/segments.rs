//! What people type, and what is said of each segment of it.

use std::sync::Arc;

use counterbore::scheme::{PartKind, Scheme};
use counterbore::stamp::{Reading, SegmentKind, Typed, decode, encode, spelled};

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
    let typed = "  qh\u{a0}7½ kite   deep";
    let reading = only(typed);
    let characters: Vec<char> = typed.chars().collect();
    for segment in &reading.parts[0].segments {
        let text: String = characters[segment.start..segment.start + segment.length]
            .iter()
            .collect();
        assert_eq!(text, segment.text);
    }
    assert_eq!(reading.parts[0].segments[1].text, "7½ kite");
    assert_eq!(reading.canonical(), "QH 7 1/2 kite deep");
}

#[test]
fn running_numbers_and_words_say_what_they_stand_for() {
    let reading = only("7K-25.50");
    assert_eq!(
        segments(&reading)[..2],
        ["7: cup volume by geometry: 7, 7.50 ml", "K: a bowl"]
    );
    assert_eq!(
        segments(&only("QH 31 wren shallow"))[2],
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
    assert_eq!(only("QH 7-1/2 kite").canonical(), "QH 7 1/2 kite");
    assert!(readings("QH 71/2 kite").is_empty());
}

#[test]
fn what_goes_without_saying_is_not_written() {
    assert_eq!(only("QH 31 wren deep").canonical(), "QH 31 wren");
    assert_eq!(only("Lyra 64/1612 T26").canonical(), "Lyra 64/1612");
    assert_eq!(only("Lyra 64/1612 T27").canonical(), "Lyra 64/1612 T27");
    assert_eq!(only("Corva 64/1612 T27").canonical(), "Corva 64/1612");
    assert_eq!(only("Corva 64/1612 T26").canonical(), "Corva 64/1612 T26");
}

/// Two schemes and two ways in each to read one text.
fn rivals() -> Vec<Arc<Scheme>> {
    let text = include_str!("../plugins/ostley.yml");
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
