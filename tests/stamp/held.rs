//! Schemes that contradict their examples or themselves.

use counterbore::stamp::{LONGEST, verify};

use crate::schemes;

/// Codes and messages of all that is wrong with a scheme.
fn faults(text: &str) -> Vec<(&'static str, String)> {
    let (scheme, document) = schemes::written(text);
    verify(&scheme, &document)
        .into_iter()
        .map(|fault| (fault.code, fault.message.to_string()))
        .collect()
}

#[test]
fn an_example_that_does_not_hold_is_a_fault() {
    let good = include_str!("../plugins/quillhaven.yml");
    let one = |from: &str, to: &str| {
        let faults = faults(&good.replace(from, to));
        assert_eq!(faults.len(), 1, "{faults:?}");
        assert_eq!(faults[0].0, "example");
        faults[0].1.clone()
    };
    assert_eq!(
        one("stamp: QH 31 wren,", "stamp: QX 31 wren,"),
        "`QX 31 wren` is read by no template"
    );
    assert_eq!(
        one(
            "QH 31 wren, says: {entry: 31 wren}",
            "QH 31 wren, says: {entry: 44 owl}"
        ),
        "`QH 31 wren` does not say this; it says {entry: 31 wren}"
    );
    assert_eq!(
        one(", spelled: QH 7 1/2 kite deep", ""),
        "`qh 7½ kite deep` is spelled `QH 7 1/2 kite deep`, not `qh 7½ kite deep`"
    );
    assert_eq!(
        one(", rivals: 1", ""),
        "`QH 27 finch` has 1 other reading: {entry: 27 finch} or {entry: 27 finch}"
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

/// Ten optional places, each with the same thirty signs: the number of readings has no end.
#[test]
fn what_can_be_read_in_too_many_ways_is_a_fault_and_costs_little() {
    let signs: Vec<String> = (1..=30)
        .map(|count| format!("\"{}\": {}.{:02} mm", "1".repeat(count), 4, count))
        .collect();
    let (mut figures, mut template) = (String::new(), String::from("X"));
    for place in 0..10 {
        figures += &format!(
            "  f{place}: {{quantity: backbore bore, method: mean bore, values: {{{}}}}}\n",
            signs.join(", ")
        );
        template += &format!("[{{f{place}}}]");
    }
    let text = two_figures(&template, "1: 10 mm", "{stamp: X, says: {}}")
        .replace("stamps:\n", &format!("{figures}stamps:\n"));
    let faults = faults(&text);
    let codes: Vec<&str> = faults.iter().map(|(code, _)| *code).collect();
    assert_eq!(codes, ["ambiguous"], "{faults:?}");
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
    let text = include_str!("../plugins/tarnbeck.yml").replace(
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
