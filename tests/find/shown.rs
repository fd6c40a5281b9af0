//! What is shown of a find: which glyphs were taken for which, of which parts.

use counterbore::stamp::{Automaton, Found, FoundReading};

use crate::schemes;

fn ours() -> Automaton {
    Automaton::build(&schemes::all(), &schemes::our_glyphs())
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
fn lost_extra_and_swapped_glyphs_are_shown() {
    assert_eq!(taken("Lya 64/1612"), ["2 >R"]);
    assert_eq!(taken("Lyra 64/16312"), ["10 3>"]);
    assert_eq!(taken("Lyar 64/1612"), ["2 ar>RA"]);
    assert_eq!(best("Lyar 64/1612").text, "Lyra 64/1612");
}

#[test]
fn a_stretch_is_anything() {
    assert_eq!(best("Ly*e 64/1612").text, "Lyre 64/1612");
    assert_eq!(taken("Ly*e 64/1612"), ["2 *>R"]);
    let found = ours().find("*44 owl", 3).unwrap();
    assert_eq!(found.readings[0].text, "QH 44 owl");
    assert_eq!(found.readings[0].taken[0].meant, "QH");
    assert_eq!(
        texts(&ours().find("** * 44 owl", 1).unwrap()),
        ["QH 44 owl"]
    );
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
fn a_word_given_up_before_the_template_is_not_found() {
    let text = include_str!("../plugins/tarnbeck.yml").replace(
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
