//! What the other signs state.

use counterbore::scheme::{Scheme, Sign, Signs};
use counterbore::unit::{Span, Spread};

use super::plugin;

fn signs<'a>(scheme: &'a Scheme, figure: &str) -> &'a Signs {
    &scheme.figures[scheme.figure(figure).unwrap()].signs
}

fn sign(figure: &str, text: &str) -> Sign {
    signs(&plugin("signs.yml"), figure)
        .read(text, false)
        .unwrap()
}

fn value(figure: &str, text: &str) -> f64 {
    sign(figure, text).amount.amount.value
}

#[test]
fn fractions_are_in_lowest_terms_and_as_fine_as_their_step() {
    let scheme = plugin("signs.yml");
    let all: Vec<String> = signs(&scheme, "inch")
        .spellings()
        .map(|(sign, _)| sign.text)
        .collect();
    assert_eq!(
        all,
        [
            "15/16", "61/64", "31/32", "63/64", "1", "1 1/64", "1 1/32", "1 3/64", "1 1/16"
        ]
    );
    assert_eq!(value("inch", "1"), 25.4);
    assert!((value("inch", "1 1/16") - 26.9875).abs() < 1e-12, "mm");
    for text in ["15/16", "1"] {
        let resolution = sign("inch", text).amount.amount.resolution;
        assert!(
            (resolution - 25.4 / 64.0).abs() < 1e-12,
            "{text}: {resolution} mm"
        );
    }
}

#[test]
fn drills_run_in_the_order_given() {
    let scheme = plugin("signs.yml");
    let all: Vec<String> = signs(&scheme, "letter")
        .spellings()
        .map(|(sign, _)| sign.text)
        .collect();
    assert_eq!(all, ["K", "J", "I", "H", "G", "F", "E"]);
    // ASME B94.11M: letter E is 0.250 inch.
    assert!((value("letter", "e") - 6.35).abs() < 1e-12, "mm");
}

#[test]
fn a_running_number_adds_the_same_each_time() {
    assert_eq!(
        (value("number", "01"), value("number", "12")),
        (17.0, 14.25)
    );
}

#[test]
fn volumes_are_in_cubic_millimetres() {
    assert!((value("volume", "8.5") - 850.0).abs() < 1e-9, "mm³");
}

#[test]
fn words_have_their_own_spread() {
    assert_eq!(
        (value("word", "tight"), sign("word", "tight").amount.spread),
        (6.2, None)
    );
    let (low, high) = (7.0, 7.4);
    assert_eq!(sign("word", "OPEN").limits, Some(Span { low, high }), "mm");
    assert_eq!(
        sign("word", "OPEN").amount.spread,
        None,
        "no ± is made of it"
    );
    assert_eq!(
        sign("word", "wide").amount.spread,
        Some(Spread::Standard { u: 0.05 })
    );
}

#[test]
fn other_spellings_are_read_and_case_counts_where_it_matters() {
    let scheme = plugin("quillow.yml");
    let depth = signs(&scheme, "depth");
    let read = |text| depth.read(text, scheme.case_matters).map(|sign| sign.text);
    assert_eq!(read("dp").as_deref(), Some("deep"));
    assert_eq!(
        (read("s").as_deref(), read("S").as_deref()),
        (Some("s"), Some("S"))
    );
    assert_eq!((read("DEEP"), read("x")), (None, None));
}

#[test]
fn methods_have_the_parameters_given() {
    let scheme = plugin("signs.yml");
    let method = &scheme.figures[scheme.figure("number").unwrap()].method;
    assert_eq!(
        method.to_string(),
        "section mean from seam across inner edge"
    );
}
