//! The order against trying every stamp: an alignment written here, over all that is listed.

use std::collections::HashMap;
use std::sync::Arc;

use counterbore::scheme::Scheme;
use counterbore::stamp::{Automaton, Found, Glyphs};
use proptest::prelude::*;

use crate::schemes;

fn alone(scheme: Arc<Scheme>, glyphs: &Glyphs) -> Automaton {
    Automaton::build(&[scheme], glyphs)
}

/// The least cost of reading `seen` where `meant` was struck, by plain recursion.
struct Alignment<'a> {
    glyphs: &'a Glyphs,
    meant: Vec<char>,
    seen: Vec<char>,
    known: HashMap<(usize, usize), f64>,
}

impl<'a> Alignment<'a> {
    /// All ways: whole, or with the start, the end or both missing.
    fn least(glyphs: &'a Glyphs, meant: &str, seen: &str) -> f64 {
        let meant: Vec<char> = meant.to_uppercase().chars().collect();
        let seen: Vec<char> = seen.to_uppercase().chars().collect();
        let mut least = f64::INFINITY;
        for start in 0..=meant.len() {
            for end in start..=meant.len() {
                let start_cost = if start > 0 { glyphs.missing_start } else { 0.0 };
                let end_cost = if end < meant.len() {
                    glyphs.missing_end
                } else {
                    0.0
                };
                let part = meant[start..end].to_vec();
                let mut whole = Alignment {
                    glyphs,
                    meant: part,
                    seen: seen.clone(),
                    known: HashMap::new(),
                };
                least = least.min(start_cost + end_cost + whole.from(0, 0));
            }
        }
        least
    }

    fn from(&mut self, meant: usize, seen: usize) -> f64 {
        if let Some(&known) = self.known.get(&(meant, seen)) {
            return known;
        }
        let cost = self
            .ways(meant, seen)
            .into_iter()
            .fold(f64::INFINITY, f64::min);
        self.known.insert((meant, seen), cost);
        cost
    }

    fn ways(&mut self, meant: usize, seen: usize) -> Vec<f64> {
        let (struck, typed) = (self.meant.get(meant).copied(), self.seen.get(seen).copied());
        let (next_struck, next_typed) = (
            self.meant.get(meant + 1).copied(),
            self.seen.get(seen + 1).copied(),
        );
        let mut ways = Vec::new();
        match (struck, typed) {
            (None, None) => ways.push(0.0),
            (Some(_), Some('*')) => ways.push(self.from(meant + 1, seen)),
            (Some(_), Some('?')) => ways.push(self.from(meant + 1, seen + 1)),
            (Some(one), Some(other)) => {
                ways.push(self.glyphs.substitution(one, other) + self.from(meant + 1, seen + 1))
            }
            _ => {}
        }
        if let Some(one) = struck {
            ways.push(self.glyphs.lost(one) + self.from(meant + 1, seen));
        }
        match typed {
            Some('*') => ways.push(self.from(meant, seen + 1)),
            Some(other) if other != '?' => {
                ways.push(self.glyphs.extra(other) + self.from(meant, seen + 1))
            }
            _ => {}
        }
        if let (Some(one), Some(first), Some(second)) = (struck, typed, next_typed) {
            let split = self.glyphs.split(one, [first, second]);
            ways.extend(split.map(|cost| cost + self.from(meant + 1, seen + 2)));
            if next_struck == Some(first)
                && one == second
                && !"?*".contains(first)
                && !"?*".contains(second)
            {
                ways.push(self.glyphs.swapped + self.from(meant + 2, seen + 2));
            }
        }
        ways
    }
}

/// Whether a name is what was typed, glyph by glyph.
fn is_legible(meant: &[char], seen: &[char]) -> bool {
    match (meant, seen) {
        ([], []) => true,
        (_, ['*', rest @ ..]) => (0..=meant.len()).any(|start| is_legible(&meant[start..], rest)),
        ([_, meant @ ..], ['?', seen @ ..]) => is_legible(meant, seen),
        ([one, meant @ ..], [other, seen @ ..]) => one == other && is_legible(meant, seen),
        _ => false,
    }
}

/// Stamps with the negative logarithm of their prior, ranked as `find` promises: legible
/// first, then by cost.
fn ranked(glyphs: &Glyphs, stamps: &[(String, f64)], seen: &str) -> Vec<(bool, f64)> {
    let upper = |text: &str| text.to_uppercase().chars().collect::<Vec<char>>();
    let rank = |(meant, prior): &(String, f64)| {
        if is_legible(&upper(meant), &upper(seen)) {
            return (false, prior - (1.0 - glyphs.misread).ln());
        }
        (
            true,
            prior + Alignment::least(glyphs, meant, seen) - glyphs.misread.ln(),
        )
    };
    let mut ranked: Vec<(bool, f64)> = stamps.iter().map(rank).collect();
    ranked.sort_by(|one, other| one.0.cmp(&other.0).then(one.1.total_cmp(&other.1)));
    ranked
}

/// The same order, cost by cost.
fn same_order(found: &Found, expected: &[(bool, f64)], seen: &str) -> Result<(), TestCaseError> {
    prop_assert!(!found.readings.is_empty(), "{} finds nothing", seen);
    for (one, (worn, cost)) in found.readings.iter().zip(expected) {
        let wild = seen.contains(['?', '*']);
        prop_assert!(one.legible != *worn || wild, "{} for {}", one.text, seen);
        prop_assert!(
            (one.cost - cost).abs() < 1e-6,
            "{} for {}: {} and not {}",
            one.text,
            seen,
            one.cost,
            cost
        );
    }
    Ok(())
}

/// Names without blanks, so that nothing but glyphs counts.
fn names() -> Vec<String> {
    let mut names = Vec::new();
    for series in ["", "X", "Wren", "M", "Tor"] {
        for number in [1, 2, 5, 8, 11, 15, 17, 21, 58, 80] {
            for letter in ["B", "E", "EW", "F", "G", "S"] {
                names.push(format!("{series}{number}{letter}"));
            }
        }
    }
    names
}

/// A catalogue, and its names each as probable as the others.
fn catalogue() -> (Automaton, Vec<(String, f64)>) {
    let (names, glyphs) = (names(), schemes::our_glyphs());
    let prior = (names.len() as f64).ln();
    (
        alone(schemes::catalogue(&names), &glyphs),
        names.into_iter().map(|name| (name, prior)).collect(),
    )
}

/// Numbers, letters and an optional group; every stamp with its prior, worked out here.
const MIXED: &str = "scheme: mixed\ntitle: Mixed (invented)\nserves: [trumpet]\nrevision: \"1\"\nsource: invented\n\
contour: {class: trumpet bowl}\nfigures:\n\
\x20 rim: {quantity: rim inner diameter, method: seam, unit: 0.1 mm, grid: {from: 155, to: 170, step: 5}}\n\
\x20 cup: {quantity: cup depth, method: centre, values: {A: 10 mm, E: 11 mm, F: 12 mm}}\n\
stamps:\n  - {part: one-piece, template: \"R{rim}[V{cup}]\"}\nexamples:\n  - {stamp: R160VA, says: {rim: \"160\", cup: A}}\n";

fn mixed() -> (Automaton, Vec<(String, f64)>) {
    let mut stamps = Vec::new();
    for rim in [155, 160, 165, 170] {
        stamps.push((format!("R{rim}"), -(0.75_f64 / 4.0).ln()));
        let with = ["A", "E", "F"].map(|cup| (format!("R{rim}V{cup}"), -(0.25_f64 / 12.0).ln()));
        stamps.extend(with);
    }
    (
        alone(schemes::written(MIXED).0, &schemes::our_glyphs()),
        stamps,
    )
}

/// A name with some of its glyphs changed, lost, added, swapped or unreadable.
fn worn(names: Vec<String>) -> impl Strategy<Value = String> {
    let damage = (
        0_usize..6,
        0_usize..8,
        prop::sample::select("0158BESGMRNI?*".chars().collect::<Vec<_>>()),
    );
    (
        prop::sample::select(names),
        prop::collection::vec(damage, 0..4),
    )
        .prop_map(|(name, damages)| {
            let mut glyphs: Vec<char> = name.chars().collect();
            for (kind, place, glyph) in damages {
                let place = place.min(glyphs.len().saturating_sub(1));
                match kind {
                    0 if glyphs.len() > 1 => drop(glyphs.remove(place)),
                    1 => glyphs.insert(place, glyph),
                    2 if place + 1 < glyphs.len() => glyphs.swap(place, place + 1),
                    3 => glyphs.truncate(place + 1),
                    _ => glyphs[place] = glyph,
                }
            }
            glyphs.into_iter().collect()
        })
}

/// Whether there is anything to look for.
fn says_something(text: &str) -> bool {
    text.chars().any(|glyph| glyph != '*')
}

/// Readings that are compared; beyond 18 nats behind the best nothing is listed.
const LIMIT: usize = 12;

#[test]
fn the_order_is_that_of_trying_every_name() {
    let (automaton, stamps) = catalogue();
    let strategy = worn(names());
    let mut runner = proptest::test_runner::TestRunner::new(ProptestConfig::with_cases(60));
    runner
        .run(&strategy, |seen| {
            prop_assume!(says_something(&seen));
            let found = automaton.find(&seen, LIMIT).unwrap();
            prop_assert!(found.complete);
            same_order(
                &found,
                &ranked(&schemes::our_glyphs(), &stamps, &seen),
                &seen,
            )
        })
        .unwrap();
}

#[test]
fn priors_count_as_the_template_gives_them() {
    let (automaton, stamps) = mixed();
    let strategy = worn(stamps.iter().map(|(stamp, _)| stamp.clone()).collect());
    let mut runner = proptest::test_runner::TestRunner::new(ProptestConfig::with_cases(100));
    runner
        .run(&strategy, |seen| {
            prop_assume!(says_something(&seen));
            let found = automaton.find(&seen, LIMIT).unwrap();
            same_order(
                &found,
                &ranked(&schemes::our_glyphs(), &stamps, &seen),
                &seen,
            )
        })
        .unwrap();
}

/// With a single way to read a text, what is left over is what the text would be elsewhere.
#[test]
fn probability_is_the_share_of_this_reading() {
    let table =
        include_str!("../../tables/glyphs.yml").replace("misread: 0.05", "misread: 0.000000001");
    let glyphs = schemes::glyphs(&table);
    let automaton = alone(
        schemes::catalogue(&["WREN", "TERN", "LARK", "COOT"]),
        &glyphs,
    );
    let found = automaton.find("WREN", 1).unwrap();
    let (made, unknown) = (0.25, 0.05 / 40_f64.powi(4));
    assert!((found.readings[0].probability - made / (made + unknown)).abs() < 1e-8);
    assert!((found.unexplained - unknown / (made + unknown)).abs() < 1e-8);
}
