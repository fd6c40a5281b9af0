//! Legible stamps.
//!
//! 1. Canonical and lenient spellings are read, bound and cut into segments.
//! 2. Where case matters, the other case is another mark; elsewhere it is none.
//! 3. Parts are read together by ` + `, each part once.
//! 4. A name of two eras has two readings; a word given up dates the piece.
//! 5. What is not made is named with what is made beside it.
//! 6. Every entry and a sample of the grids come back from their canonical spelling.
//! 7. `segments`: people type as they like, and each segment has its meaning.
//! 8. `near`: a figure that does not exist is named with what is made beside it.
//! 9. `held`: a scheme that contradicts its examples or itself is told so.
//! 10. A spelling that is lost, or that is two pieces, is named; one that is read in two ways and
//!     written in one is none.
//! 11. No text, however odd, ends in a panic, and no segment lies about the text.

use std::sync::{Arc, LazyLock};

use counterbore::scheme::{Binding, PartKind, Scheme, Signs};
use counterbore::stamp::{
    Decoder, LONGEST, PartReading, Reading, SegmentKind, decode, encode, entry_stamps, near_miss,
    verify,
};
use proptest::prelude::*;

use crate::schemes::{all, document, plugin, shown, written};

mod held;
mod near;
mod segments;

fn readings(scheme: &str, text: &str) -> Vec<Reading> {
    let decoded = decode(&[plugin(scheme)], text);
    assert!(decoded.complete, "{text}");
    decoded.readings
}

#[test]
fn parts_may_be_joined_without_blanks() {
    let spaced = only("tarnbeck", "Lyra 64/1612 + T25");
    for text in ["Lyra 64/1612+T25", "Lyra 64/1612 +T25", "Lyra 64/1612+ T25"] {
        let reading = only("tarnbeck", text);
        assert_eq!(said(&reading), said(&spaced), "{text}");
        assert_eq!(reading.canonical(), spaced.canonical());
        for part in &reading.parts {
            for segment in &part.segments {
                let typed = text.chars().skip(segment.start).take(segment.length);
                assert_eq!(typed.collect::<String>(), segment.text);
            }
        }
    }
    for torn in ["Lyra 64/1612+", "+T25", "Lyra 64/1612++T25", "+"] {
        assert!(readings("tarnbeck", torn).is_empty(), "{torn}");
    }
}

/// A `+` that belongs to a stamp stays what it is, though both sides of it are stamps too.
#[test]
fn a_sign_of_a_stamp_is_no_joint() {
    let text = "scheme: plusford\ntitle: Plusford (invented)\nserves: [trumpet]\nrevision: \"1\"\nsource: invented\n\
         contour: {class: trumpet bowl}\nfigures:\n  rim: {quantity: rim inner diameter, method: seam, unit: 0.1 mm, \
         grid: {from: 155, to: 170, step: 5}}\nmarks:\n  work: {codes: {\"+\": {means: rounded, also_spelled: [\"+B1\"]}}}\n\
         stamps:\n  - {part: top, template: \"PF {rim}[{work}]\"}\n  - {part: backbore, template: \"B1\"}\n\
         examples:\n  - {stamp: PF 165+, says: {rim: \"165\", work: \"+\"}}\n";
    let scheme = written(text).0;
    let read = |text: &str| {
        let readings = decode(std::slice::from_ref(&scheme), text).readings;
        readings
            .iter()
            .map(|one| one.parts.len())
            .collect::<Vec<_>>()
    };
    assert_eq!(read("PF 165+B1"), [1], "a mark, not a backbore");
    assert_eq!(read("PF 165 + B1"), [2], "a joint by its blanks");
    assert_eq!(read("PF 165+"), [1]);
}

/// The one reading of a text.
fn only(scheme: &str, text: &str) -> Reading {
    let mut readings = readings(scheme, text);
    assert_eq!(readings.len(), 1, "{text}");
    readings.remove(0)
}

/// "cup 64, rim 1612".
fn said(reading: &Reading) -> String {
    let scheme = &reading.scheme;
    let said = reading.bindings().into_iter().map(|one| match one {
        Binding::Series { series, word } => {
            format!("series {}", scheme.series[series].words[word].0)
        }
        Binding::Entry(entry) => format!("entry {}", scheme.entries[entry].name),
        Binding::Figure(figure, sign) => {
            format!("{} {}", scheme.figures[figure].name, sign.text)
        }
        Binding::Mark { mark, code } => {
            let mark = &scheme.marks[mark];
            format!("{} {}", mark.name, mark.codes[code].code)
        }
    });
    said.collect::<Vec<_>>().join(", ")
}

#[test]
fn spellings_are_bound() {
    let cases = [
        (
            "tarnbeck",
            "Lyra 64/1612",
            "series Lyra, cup 64, rim 1612",
            "Lyra 64/1612",
        ),
        (
            "tarnbeck",
            "lyra 64 1612",
            "series Lyra, cup 64, rim 1612",
            "Lyra 64/1612",
        ),
        (
            "tarnbeck",
            "LYRE 64–1612 t24 rg",
            "series Lyre, cup 64, rim 1612, throat 24, edge R, finish G",
            "Lyre 64/1612 T24 RG",
        ),
        ("tarnbeck", "no. 25", "throat 25", "T25"),
        (
            "quillhaven",
            "qh 7½ KITE shal",
            "entry 7 1/2 kite, depth shallow",
            "QH 7 1/2 kite",
        ),
        (
            "quillhaven",
            "QH 75 kite",
            "entry 7 1/2 kite",
            "QH 7 1/2 kite",
        ),
        (
            "quillhaven",
            "QH 44OWL deep",
            "entry 44 owl, depth deep",
            "QH 44 owl deep",
        ),
        (
            "ostley",
            "11k25.25",
            "cup 11, form k, rim 25.25",
            "11k-25.25",
        ),
    ];
    for (scheme, text, wanted, canonical) in cases {
        let reading = only(scheme, text);
        assert_eq!(said(&reading), wanted, "{text}");
        assert_eq!(reading.canonical(), canonical, "{text}");
    }
}

#[test]
fn what_no_template_spells_is_not_read() {
    for text in [
        "",
        "Lyra",
        "Lyra 64",
        "Lyra 64 / 1612",
        "Lyra 64/1613",
        "QH",
        "64/1612",
        "T25 +",
    ] {
        assert!(readings("tarnbeck", text).is_empty(), "{text}");
    }
}

#[test]
fn segments_say_where_and_what() {
    let reading = only("tarnbeck", " lyre 64-1612 T24 RG");
    let segments: Vec<_> = reading.parts[0]
        .segments
        .iter()
        .map(|one| (one.text.as_str(), one.start, one.what))
        .collect();
    let wanted = [
        ("lyre", 1, SegmentKind::Series),
        ("64", 6, SegmentKind::Figure(0)),
        ("-", 8, SegmentKind::Separator),
        ("1612", 9, SegmentKind::Figure(1)),
        ("T", 14, SegmentKind::Literal),
        ("24", 15, SegmentKind::Figure(2)),
        ("R", 18, SegmentKind::Mark(0)),
        ("G", 19, SegmentKind::Mark(1)),
    ];
    assert_eq!(segments, wanted);
    let meaning = &reading.parts[0].segments[6].meaning;
    assert!(meaning.contains("rounder inner edge"), "{meaning}");
}

#[test]
fn case_is_kept_where_it_matters() {
    assert_eq!(
        said(&only("ostley", "7K-25.50")),
        "cup 7, form K, rim 25.50"
    );
    assert_eq!(
        said(&only("ostley", "7k-25.50")),
        "cup 7, form k, rim 25.50"
    );
    assert_eq!(
        only("tarnbeck", "CORVA 70/1600b").canonical(),
        "Corva 70/1600B"
    );
}

#[test]
fn parts_are_read_together() {
    let reading = only("tarnbeck", "t25 + lyra 64-1612");
    let parts: Vec<PartKind> = reading
        .parts
        .iter()
        .map(|part: &PartReading| part.part)
        .collect();
    assert_eq!(parts, [PartKind::Backbore, PartKind::Top]);
    assert_eq!(reading.canonical(), "Lyra 64/1612 + T25");
    assert_eq!(reading.parts[1].segments[0].start, 6, "in the whole text");
    for twice in [
        "T25 + T26",
        "Lyra 64/1612 + Lyra 64/1612",
        "Lyra 64/1612 + T25 + T25",
    ] {
        assert!(readings("tarnbeck", twice).is_empty(), "{twice}");
    }
    assert!(readings("quillhaven", "QH 31 wren + QH 44 owl").is_empty());
}

#[test]
fn eras() {
    let years: Vec<_> = readings("quillhaven", "QH 27 finch")
        .iter()
        .map(|one| (one.parts[0].years.from, one.parts[0].years.until))
        .collect();
    assert_eq!(years, [(None, Some(1988)), (Some(1989), None)]);
    let until = |text: &str| only("tarnbeck", text).parts[0].years.until;
    assert_eq!(until("Lyre 64/1612"), Some(2009));
    assert_eq!(until("Lyra 64/1612"), None);
}

#[test]
fn what_is_not_made_has_neighbours() {
    let miss = |text: &str| {
        let misses = near_miss(&[plugin("tarnbeck")], text);
        misses
            .into_iter()
            .next()
            .unwrap_or_else(|| panic!("{text}"))
    };
    let between = miss("Lyra 64/1641");
    assert_eq!(
        between.message,
        "1641 is not made; the nearest are 1636 and 1648"
    );
    assert_eq!(between.suggestions, ["Lyra 64/1636", "Lyra 64/1648"]);
    let beyond = miss("Lyra 64/1732");
    assert_eq!(
        beyond.message,
        "1732 is beyond the scale, which ends at 1720"
    );
    assert_eq!(beyond.suggestions, ["Lyra 64/1720"]);
    assert_eq!(
        miss("Lyra 57/1612").message,
        "57 is beyond the scale, which begins at 58"
    );
    assert_eq!(miss("T31").message, "no throat 31 among 30 to 22");
    assert!(near_miss(&[plugin("tarnbeck")], "Lyra 64/1612").is_empty());
}

#[test]
fn entries_come_back() {
    let mut count = 0;
    for scheme in ["quillhaven", "osmark", "quillow"].map(plugin) {
        let decoder = Decoder::new(std::slice::from_ref(&scheme));
        for (entry, stamp) in entry_stamps(&scheme).into_iter().enumerate() {
            let (_, text) = stamp.unwrap_or_else(|| panic!("{}", scheme.entries[entry].name));
            let readings = decoder.decode(&text).readings;
            let same = readings
                .iter()
                .find(|one| one.bindings() == [Binding::Entry(entry)])
                .unwrap_or_else(|| panic!("{text}"));
            assert_eq!(same.canonical(), text);
            count += 1;
        }
    }
    assert_eq!(count, 14);
}

/// A scheme of two figures without a separator between them, against itself.
fn against_itself(long: &str, template: &str) -> String {
    let text = format!(
        "scheme: orlunda\ntitle: Orlunda (invented)\nserves: trumpet\nrevision: \"1\"\nsource: invented\n\
         contour: {{class: trumpet bowl}}\nfigures:\n  \
         rim: {{quantity: rim inner diameter, method: inner edge, values: {{\"1\": 16.0 mm, \"{long}\": 16.4 mm}}}}\n  \
         cup: {{quantity: cup depth, method: centre, unmarked: \"1\", values: {{\"1\": 10.0 mm, \"11\": 11.0 mm}}}}\n\
         stamps:\n  - {{part: one-piece, template: \"{template}\"}}\n\
         examples:\n  - {{stamp: O {long}/11, says: {{rim: \"{long}\", cup: \"11\"}}, spelled: none}}\n"
    );
    let (scheme, document) = written(&text);
    let faults = verify(&scheme, &document);
    let of_templates = faults.into_iter().filter(|fault| fault.code != "example");
    shown(&of_templates.collect::<Vec<_>>())
}

#[test]
fn what_does_not_come_back_is_named() {
    assert_eq!(against_itself("2", "O {rim}/{cup}"), "");
    assert_eq!(against_itself("11", "O {rim}[{cup}]"), "");
    let two = against_itself("11", "O {rim}{cup}");
    assert!(
        two.contains("`O 111` can be two pieces: {cup: 11, rim: 1} or {cup: 1, rim: 11}"),
        "{two}"
    );
    let word = "x".repeat(LONGEST);
    let lost = against_itself(&word, "O {rim}/{cup}");
    assert!(
        lost.contains(&format!("is written for {{rim: {word}"))
            && lost.contains("reads as nothing"),
        "{lost}"
    );
}

/// The place of a figure and its sign at a place of its grid or list, counted round.
fn figure(scheme: &Scheme, name: &str, place: usize) -> Binding {
    let figure = scheme
        .figures
        .iter()
        .position(|one| one.name == name)
        .unwrap();
    let signs = &scheme.figures[figure].signs;
    let place = place % signs.count();
    let sign = match signs {
        Signs::Grid(grid) => grid.sign(place),
        Signs::Listed(list) => list[place].0.clone(),
        Signs::None => panic!("{name} is never stamped"),
    };
    Binding::Figure(figure, sign)
}

/// Each row of a walk over the grids comes back as it went.
fn grids_of(name: &str, others: impl Fn(usize) -> Binding, figures: &[&str]) {
    let scheme = plugin(name);
    let decoder = Decoder::new(std::slice::from_ref(&scheme));
    for row in 0..60 {
        let signs = figures.iter().map(|one| figure(&scheme, one, row));
        let bindings: Vec<Binding> = signs.chain([others(row)]).collect();
        let text = encode(&scheme, 0, &bindings).unwrap();
        let read = decoder.decode(&text).readings;
        assert_eq!(read.len(), 1, "{text}");
        assert_eq!(read[0].canonical(), text);
        let back = read[0].bindings();
        assert_eq!(back.len(), bindings.len(), "{text}");
        assert!(bindings.iter().all(|one| back.contains(one)), "{text}");
    }
}

#[test]
fn grids_come_back() {
    let series = |row| Binding::Series {
        series: row % 2,
        word: 0,
    };
    grids_of("tarnbeck", series, &["cup", "rim"]);
    let form = |row| Binding::Mark {
        mark: 0,
        code: row % 2,
    };
    grids_of("ostley", form, &["cup", "rim"]);
}

#[test]
fn the_schemes_hold_against_themselves() {
    for name in ["tarnbeck", "quillhaven", "ostley"] {
        let (scheme, document) = written(document(&format!("tests/plugins/{name}.yml")).text());
        let errors: Vec<_> = verify(&scheme, &document)
            .into_iter()
            .filter(|one| one.severity == counterbore::diagnostic::Severity::Error)
            .collect();
        assert!(errors.is_empty(), "{}", shown(&errors));
    }
}

/// What the glyphs of stamps make at random, and anything at all.
fn any_text() -> impl Strategy<Value = String> {
    prop_oneof![
        "[QHLyraecov0-9/½ .T+RGb×–-]{0,24}",
        ".{0,140}",
        "Lyra [5-8][0-9][/-]1[5-7][0-9]{2}.{0,6}",
    ]
}

proptest! {
    #[test]
    fn nothing_panics(text in any_text()) {
        static DECODER: LazyLock<Decoder> = LazyLock::new(|| Decoder::new(&all()));
        let decoded = DECODER.decode(&text);
        let misses = DECODER.near_miss(&text);
        if text.chars().count() > LONGEST {
            prop_assert!(decoded.readings.is_empty() && !decoded.complete && misses.is_empty());
        }
        let characters: Vec<char> = text.chars().collect();
        for part in decoded.readings.iter().flat_map(|one| &one.parts) {
            for one in &part.segments {
                let there: String = characters[one.start..one.start + one.length].iter().collect();
                prop_assert_eq!(&one.text, &there);
            }
        }
        for miss in misses {
            let made = decode(&[Arc::clone(&miss.scheme)], &miss.suggestions.join(""));
            prop_assert!(miss.suggestions.len() != 1 || !made.readings.is_empty());
        }
    }
}
