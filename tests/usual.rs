//! How usual things are.
//!
//! 1. Odds between readings that a text fits as well are the ratio of their weights, those of a series counted for
//!    its entries; with no weights, or equal ones, nothing changes.
//! 2. A large catalogue goes by its weights too, and what a hunt finds is what a scan finds.
//! 3. Other weights, as of a shelf, are taken in the same way; what is no number is no weight.
//! 4. An answer says where how usual a piece is moved it; gauges alone go by the weights too.

use std::sync::Arc;

use counterbore::answer::{FindAnswer, FindAsk, find};
use counterbore::scheme::{Binding, Scheme};
use counterbore::stamp::{Automaton, Found};

use crate::generator;
use crate::schemes::{document, listed, our_glyphs, written};
use crate::shop::Shop;

/// The scheme `tarnbeck` of the tests with this said of how usual its values are.
fn text(common: &str) -> String {
    let text = document("tests/plugins/tarnbeck.yml").text().to_owned();
    text.replace("marks:\n", &format!("{common}\nmarks:\n"))
}

fn stamps(common: &str) -> Automaton {
    Automaton::build(&[written(&text(common)).0], &our_glyphs())
}

fn probability(found: &Found, text: &str) -> f64 {
    found
        .readings
        .iter()
        .find(|one| one.text == text)
        .unwrap()
        .probability
}

const COUNTED: &str = "common:\n  source: counted on an invented shelf\n  series: {lyra: 2}\n  figures: {cup: {\"64\": 5, \"66\": 0.5}}";

#[test]
fn odds_are_those_of_the_weights() {
    let found = stamps(COUNTED).find("Lyra 6?/1612", 20).unwrap();
    let odds = |one: &str, other: &str| probability(&found, one) / probability(&found, other);
    assert!((odds("Lyra 64/1612", "Lyra 65/1612") - 5.0).abs() < 1e-9);
    assert!((odds("Lyra 66/1612", "Lyra 65/1612") - 0.5).abs() < 1e-9);
    let odds = |common: &str| {
        let found = stamps(common).find("*70/1600", 20).unwrap();
        probability(&found, "Lyra 70/1600") / probability(&found, "Corva 70/1600")
    };
    assert!((odds(COUNTED) / odds("") - 2.0).abs() < 1e-9);
    let found = stamps(COUNTED).find("Lyra 65/1612", 1).unwrap();
    let usual = (2.0_f64 / 1.5).ln() + (25.0 / (23.0 + 5.5_f64)).ln();
    assert!((found.readings[0].usual - usual).abs() < 1e-9);
}

#[test]
fn equal_weights_change_nothing() {
    let costs = |automaton: &Automaton, text: &str| -> Vec<f64> {
        automaton
            .find(text, 10)
            .unwrap()
            .readings
            .iter()
            .map(|one| one.cost)
            .collect()
    };
    let equal = "common: {source: invented, series: {lyra: 4, corva: 4}}";
    for text in ["Lyra 6?/1612", "C*70/1600", "1612 T2"] {
        assert_eq!(costs(&stamps(""), text), costs(&stamps(equal), text));
    }
}

/// How usual the entries of a test are: those with an even place four times as usual as the others.
fn even(_: &Scheme, binding: &Binding) -> f64 {
    match binding {
        Binding::Entry(entry) if entry % 2 == 0 => 4.0,
        _ => 1.0,
    }
}

#[test]
fn a_large_catalogue_goes_by_weights() {
    let names = generator::names(2_100, 7);
    let scheme = listed("listed", "{entry}", &names);
    let (plain, weighted) = (
        Automaton::build(std::slice::from_ref(&scheme), &our_glyphs()),
        Automaton::weighted(std::slice::from_ref(&scheme), &our_glyphs(), &even),
    );
    let mut random = generator::Random::new(8);
    for grade in 0..generator::GRADES.len() {
        for _ in 0..2 {
            let name: &String = random.one_of(&names);
            let text = generator::worn(name, grade, &mut random);
            let (Ok(found), Ok(scanned)) =
                (weighted.find(&text, 10), weighted.find_by_scan(&text, 10))
            else {
                continue;
            };
            let costs = |found: &Found| {
                found
                    .readings
                    .iter()
                    .map(|one| one.cost)
                    .collect::<Vec<f64>>()
            };
            assert!(
                !found.complete || close(&costs(&found), &costs(&scanned)),
                "{text}"
            );
            held_against(
                &found,
                &plain.find_by_scan(&text, 100).unwrap(),
                &scheme,
                &text,
            );
        }
    }
}

fn close(one: &[f64], other: &[f64]) -> bool {
    one.len() == other.len()
        && one
            .iter()
            .zip(other)
            .all(|(one, other)| (one - other).abs() < 1e-6)
}

/// The best by weights are those of many by equal ones, each cheaper by the logarithm of its share.
fn held_against(found: &Found, many: &Found, scheme: &Arc<Scheme>, text: &str) {
    let usual = |bindings: &[Binding]| {
        bindings
            .iter()
            .map(|one| (even(scheme, one) / 2.5).ln())
            .sum::<f64>()
    };
    let mut wanted: Vec<f64> = many
        .readings
        .iter()
        .map(|one| one.cost - usual(&one.bindings))
        .collect();
    let horizon = many
        .readings
        .last()
        .map_or(f64::INFINITY, |last| last.cost - 1.6_f64.ln());
    wanted.sort_by(f64::total_cmp);
    for (one, wanted) in found
        .readings
        .iter()
        .filter(|one| !one.legible)
        .zip(&wanted)
    {
        let by_rank = one.cost >= horizon
            || (one.cost - wanted).abs() < 1e-6
            || many.readings.iter().any(|one| one.legible);
        assert!(by_rank, "{text}: {} {wanted}", one.cost);
        assert!((one.usual - usual(&one.bindings)).abs() < 0.01, "{text}");
    }
}

#[test]
fn what_is_no_number_is_no_weight() {
    let scheme = written(&text("")).0;
    for odd in [f64::NAN, f64::INFINITY, 0.0, -3.0] {
        let weight = move |_: &Scheme, binding: &Binding| match binding {
            Binding::Series { series: 0, .. } => odd,
            _ => 1.0,
        };
        let automaton = Automaton::weighted(std::slice::from_ref(&scheme), &our_glyphs(), &weight);
        let found = automaton.find("Lyra 6?/1612", 5).unwrap();
        assert!(
            found
                .readings
                .iter()
                .all(|one| one.cost.is_finite() && one.probability > 0.0)
        );
    }
}

fn asked(common: &str, partial: &str, gauges: &[String]) -> FindAnswer {
    let shop = Shop::new();
    shop.write("plugins/tarnbeck.yml", &text(common));
    find(
        &shop.snapshot(),
        &FindAsk {
            partial,
            gauges,
            limit: 20,
        },
    )
    .unwrap()
}

#[test]
fn an_answer_says_what_moved_a_piece() {
    let found = asked(COUNTED, "Lyra 6?/1612", &[]);
    let first = &found.results[0];
    assert_eq!(first.canonical, "Lyra 64/1612");
    let says = first.more_usual.as_deref().unwrap_or_default();
    assert!(
        says.contains("than Lyra 60/1612"),
        "all cups read as well: {says}"
    );
    let found = asked(
        "common: {source: invented, figures: {cup: {\"65\": 90}}}",
        "Lyra 64/1612 T2",
        &[],
    );
    assert_eq!(found.results[0].more_usual, None);
    // An 8 is taken for a 6 more often than for a 5, but 65 is three hundred times as usual.
    let counted = "common: {source: counted by nobody, figures: {cup: {\"65\": 300}}}";
    let found = asked(counted, "Lyra 68/1613", &[]);
    let says = |canonical: &str| {
        let mut same = found
            .results
            .iter()
            .filter(|one| one.canonical == canonical);
        same.find_map(|one| one.more_usual.clone())
            .unwrap_or_default()
    };
    let moved = says("Lyra 65/1648");
    assert!(moved.contains("counted by nobody"), "{found:#?}");
    // Each that was moved says so, and none that is not of the usual cup.
    for (place, one) in found.results.iter().enumerate() {
        let of_the_usual = one.canonical.contains("65/");
        assert!(of_the_usual || one.more_usual.is_none(), "{found:#?}");
        let behind = &found.results[place + 1..];
        if let Some(says) = &one.more_usual {
            assert!(!says.contains("than Lyra 65/"), "{says}: as usual");
            let passed =
                |other: &&counterbore::answer::FoundAnswer| says.contains(&other.canonical);
            assert!(
                behind.len() < 5 || behind.iter().any(|other| passed(&other)),
                "{says}"
            );
        }
    }
    assert!(
        asked("", "Lyra 68/1613", &[])
            .results
            .iter()
            .all(|one| one.more_usual.is_none())
    );
}

#[test]
fn gauges_alone_go_by_weights() {
    let gauges = ["rim inner diameter@seam=16.12±0.2mm".to_owned()];
    let share = |common: &str| -> f64 {
        let found = asked(common, "", &gauges);
        let lyra = found
            .results
            .iter()
            .filter(|one| one.canonical.starts_with("Lyr"));
        let all: f64 = found.results.iter().map(|one| one.probability).sum();
        lyra.map(|one| one.probability).sum::<f64>() / all
    };
    let (equal, counted) = (
        share(""),
        share("common: {source: invented, series: {lyra: 6}}"),
    );
    assert!(
        counted > equal + 0.05 || equal == 1.0 || equal == 0.0,
        "{equal} {counted}"
    );
}
