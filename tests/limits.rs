//! Words and ranges of a scheme: limits from the file to the verdict.
//!
//! Proves, each against interval arithmetic by hand:
//! 1. a word for a range states its two ends, exact but for a tolerance that both share, and no middle;
//! 2. one-sided words have one end; what `±` is written of stays a value;
//! 3. ends go to other methods each for itself, and marks move both;
//! 4. differences of limits, and the verdicts that all of them or nothing decides;
//! 5. pieces are ranked by how far they are from the limits: nought within;
//! 6. a narrower word never gives a wider or a weaker result;
//! 7. a value within the limits is never called larger or smaller;
//! 8. limits that cross, and ends that are no sizes, are refused in the file.

use std::sync::{Arc, LazyLock};

use proptest::prelude::*;

use crate::demo::demo_tables;
use counterbore::method::{Method, Quantity};
use counterbore::route::{Carried, Known, Piece, Stated};
use counterbore::scheme::{Scheme, check};
use counterbore::stamp;
use counterbore::translate::{
    Compared, Feel, LimitedDifference, Target, compare, identify, translate,
};
use counterbore::uncertainty::{Estimate, Interval, Side};
use counterbore::unit::Span;
use counterbore::yaml::{Limits, gate};

/// Invented. The words of `{depth}` are put in by each test.
const SCHEME: &str = r#"
scheme: plover
title: Plover (invented)
serves: [trumpet]
revision: "1"
source: invented
contour: {class: trumpet bowl}
figures:
  rim: {quantity: rim inner diameter, method: inner edge, unit: 0.1 mm, grid: {from: 155, to: 170, step: 5}, tolerance: 0.03 mm}
  depth:
    quantity: cup depth
    method: centre
    values: WORDS
    TOLERANCE
marks:
  sunk:
    title: sunk
    codes:
      Q: {means: sunk by a millimetre, add: {depth: 1.0 mm ± 0.1 mm}}
      H: {means: a tenth deeper, multiply: {depth: 1.10 ± 0.01}}
stamps:
  - part: one-piece
    template: "P {rim} {depth}[ {sunk}]"
examples:
  - {stamp: P 160 a, says: {rim: "160", depth: a}}
  - {stamp: P 160 a Q, says: {rim: "160", depth: a, sunk: Q}}
  - {stamp: P 160 a H, says: {rim: "160", depth: a, sunk: H}}
"#;

fn written(words: &str, tolerance: &str) -> String {
    let scheme = SCHEME.replace("WORDS", words);
    scheme.replace("TOLERANCE", tolerance)
}

fn scheme(words: &str, tolerance: &str) -> Arc<Scheme> {
    let text = written(words, tolerance);
    let document = gate("plover.yml", text.as_bytes(), Limits::PLUGIN).unwrap();
    let (scheme, faults) = check(&document, &demo_tables());
    Arc::new(scheme.unwrap_or_else(|| panic!("{faults:?}")))
}

/// What is wrong with the words.
fn faults(words: &str) -> String {
    let text = written(words, "");
    let document = gate("plover.yml", text.as_bytes(), Limits::PLUGIN).unwrap();
    let (scheme, faults) = check(&document, &demo_tables());
    assert!(scheme.is_none(), "{words}");
    let messages: Vec<String> = faults
        .iter()
        .map(|fault| fault.message.to_string())
        .collect();
    messages.join("; ")
}

fn piece(scheme: &Arc<Scheme>, text: &str) -> Piece {
    let readings = stamp::decode(std::slice::from_ref(scheme), text).readings;
    let bindings = readings[0].bindings();
    scheme.make(&bindings, &[0]).piece
}

static BY_MAKER: LazyLock<Arc<Scheme>> = LazyLock::new(|| {
    scheme(
        "{a: 9.0..10.0 mm, b: 11.5..13.0 mm, c: at most 9 mm, d: at least 12 mm, e: 10.2 mm ± 0.3 mm}",
        "",
    )
});

fn centre() -> Method {
    BY_MAKER.figures[1].method.clone()
}

fn limits(piece: &Piece, method: &Method) -> Interval {
    match piece.known(method).unwrap() {
        Known::Limits(within) => within.interval.clone(),
        Known::Value(value) => panic!("a value was made of limits: {value:?}"),
    }
}

fn ends(interval: &Interval) -> [Option<f64>; 2] {
    [interval.low(), interval.high()].map(|end| end.map(Estimate::value))
}

/// A cup of a depth that is known for certain, rim and form as those of the scheme.
fn cup(depth: f64) -> Piece {
    let rim = piece(&BY_MAKER, "P 160 a");
    let cup = Stated {
        method: centre(),
        estimate: Estimate::exact(depth),
        given: format!("{depth} mm").into(),
        source: "invented".into(),
    };
    let stated = rim.stated().iter().cloned().chain([cup]).collect();
    Piece::new(stated, rim.contour().cloned(), &[])
}

fn limited(ours: &Piece, theirs: &Piece) -> LimitedDifference {
    match compare(ours, theirs, &centre(), &Feel::default()).unwrap() {
        Compared::Limits(one) => *one,
        Compared::Value(one) => panic!("a value was made of limits: {one:?}"),
    }
}

#[test]
fn a_word_states_its_ends_and_no_middle() {
    let made = piece(&BY_MAKER, "P 160 a");
    assert!(
        matches!(made.carry(&centre()), Carried::CannotBeCompared(_)),
        "no value"
    );
    let interval = limits(&made, &centre());
    assert_eq!(ends(&interval), [Some(9.0), Some(10.0)]);
    assert_eq!(
        interval.outermost(),
        (9.0, 10.0),
        "exact without a tolerance"
    );
    let value = piece(&BY_MAKER, "P 160 e")
        .carry(&centre())
        .best()
        .unwrap()
        .clone();
    assert_eq!(value.estimate.value(), 10.2);
    assert!(
        (value.estimate.u() - 0.3 / 3.0_f64.sqrt()).abs() < 1e-12,
        "mm"
    );
}

#[test]
fn a_tolerance_is_shared_by_both_ends() {
    let scheme = scheme("{a: 9.0..10.0 mm}", "tolerance: 0.06 mm");
    let interval = limits(&piece(&scheme, "P 160 a"), &centre());
    let (low, high) = (interval.low().unwrap(), interval.high().unwrap());
    for end in [low, high] {
        assert!((end.u() - 0.06 / 3.0_f64.sqrt()).abs() < 1e-12, "mm");
    }
    assert!(high.minus(low).u() < 1e-12, "one piece is turned once");
}

#[test]
fn one_sided_words_have_one_end() {
    let most = limits(&piece(&BY_MAKER, "P 160 c"), &centre());
    assert_eq!(ends(&most), [None, Some(9.0)]);
    let least = limits(&piece(&BY_MAKER, "P 160 d"), &centre());
    assert_eq!(ends(&least), [Some(12.0), None]);
}

#[test]
fn marks_move_both_ends() {
    let sunk = limits(&piece(&BY_MAKER, "P 160 a Q"), &centre());
    assert_eq!(ends(&sunk), [Some(10.0), Some(11.0)]);
    let u = 0.1 / 3.0_f64.sqrt();
    assert!((sunk.low().unwrap().u() - u).abs() < 1e-12, "mm");
    let deeper = limits(&piece(&BY_MAKER, "P 160 a H"), &centre());
    let [low, high] = ends(&deeper).map(Option::unwrap);
    assert!(
        (low - 9.9).abs() < 1e-12 && (high - 11.0).abs() < 1e-12,
        "mm"
    );
    let u = 0.01 / 3.0_f64.sqrt();
    assert!((deeper.low().unwrap().u() - 9.0 * u).abs() < 1e-12, "mm");
    assert!((deeper.high().unwrap().u() - 10.0 * u).abs() < 1e-12, "mm");
}

#[test]
fn each_end_is_carried_as_a_value_would_be() {
    let made = piece(&BY_MAKER, "P 160 a");
    let methods = &demo_tables().methods;
    for (quantity, name) in [
        (Quantity::CupDepth, "area mean from seam across seam"),
        (Quantity::CupDepth, "centre from seam"),
        (Quantity::CupVolume, "geometry"),
    ] {
        let method = methods.parse(quantity, name).unwrap();
        let interval = limits(&made, &method);
        let by_value = [9.0, 10.0].map(|depth| {
            let read = cup(depth).carry(&method).best().unwrap().estimate.clone();
            (read.value(), read.u())
        });
        let by_limits = [interval.low(), interval.high()]
            .map(|end| end.map(|end| (end.value(), end.u())).unwrap());
        for ((one, u), (other, other_u)) in by_limits.into_iter().zip(by_value) {
            assert!(
                (one - other).abs() < 1e-6 && (u - other_u).abs() < 1e-6,
                "{name}"
            );
        }
        assert!(by_limits[0].1 > 0.0, "the form's doubt, {name}");
    }
}

#[test]
fn differences_are_intervals_and_all_of_them_decides() {
    let (shallow, deep) = (piece(&BY_MAKER, "P 160 a"), piece(&BY_MAKER, "P 160 b"));
    let most = piece(&BY_MAKER, "P 160 c");
    let near = |one: Option<f64>, other: Option<f64>| match (one, other) {
        (Some(one), Some(other)) => (one - other).abs() < 1e-12,
        (one, other) => one == other,
    };
    // Theirs less ours, the feel limit of a cup's depth is 0.5 mm.
    for (ours, theirs, low, high, words) in [
        (&cup(11.2), &shallow, Some(-2.2), Some(-1.2), "shallower"),
        (&cup(8.4), &shallow, Some(0.6), Some(1.6), "deeper"),
        (&cup(8.8), &shallow, Some(0.2), Some(1.2), "deeper"),
        (&cup(9.6), &shallow, Some(-0.6), Some(0.4), "cannot tell"),
        (
            &cup(9.5),
            &shallow,
            Some(-0.5),
            Some(0.5),
            "the same as far as anyone can feel",
        ),
        (&shallow, &cup(9.6), Some(-0.4), Some(0.6), "cannot tell"),
        (&shallow, &deep, Some(1.5), Some(4.0), "deeper"),
        (&deep, &shallow, Some(-4.0), Some(-1.5), "shallower"),
        (&shallow, &shallow, Some(-1.0), Some(1.0), "cannot tell"),
        (&deep, &most, None, Some(-2.5), "shallower"),
        (&cup(8.0), &most, None, Some(1.0), "cannot tell"),
        (&most, &deep, Some(2.5), None, "deeper"),
    ] {
        let one = limited(ours, theirs);
        let [from, to] = ends(one.difference.as_ref().unwrap());
        assert!(near(from, low) && near(to, high), "{from:?} {to:?}");
        assert_eq!(one.words(), words);
    }
    let none = limited(&most, &most);
    assert!(none.difference.is_none() && none.side == Side::CannotTell);
}

#[test]
fn nearness_is_counted_from_the_ends() {
    let span = |low: f64, high: f64| Span { low, high };
    for (one, other, beyond) in [
        (span(9.0, 10.0), Span::at(9.7), 0.0),
        (span(9.0, 10.0), Span::at(10.5), -0.5),
        (span(9.0, 10.0), Span::at(8.0), 1.0),
        (span(9.0, 10.0), span(10.0, 11.0), 0.0),
        (span(f64::NEG_INFINITY, 9.0), Span::at(9.5), -0.5),
        (span(12.0, f64::INFINITY), span(f64::NEG_INFINITY, 9.0), 3.0),
        (Span::at(9.5), Span::at(9.25), 0.25),
    ] {
        assert_eq!(one.beyond(other), beyond);
        assert_eq!(other.beyond(one), -beyond);
    }
    let target = Target::new(BY_MAKER.clone());
    let feel = Feel::default();
    for (depth, word, least) in [(9.4, "a", 0.0), (11.0, "b", 0.5), (7.0, "c", 0.0)] {
        let found = translate(&cup(depth), &target, &feel, 1);
        let best = &found.matches[0];
        let sign = best.named.made.figures[1].sign.text.as_str();
        let one = best.differences.iter().find(|one| one.value().is_none());
        assert_eq!((sign, one.unwrap().least()), (word, least), "{depth} mm");
        assert!(found.outside.is_empty(), "the scale is open at both ends");
    }
    let unstamped = Piece::new(Vec::new(), None, &[])
        .with_limits(piece(&BY_MAKER, "P 160 b").limited().to_vec());
    let found = identify(&unstamped, &target, &feel, 5);
    let fit = found.matches.iter().take_while(|one| one.distance == 0.0);
    let signs: Vec<String> = fit
        .map(|one| one.named.made.figures.last().unwrap().sign.text.clone())
        .collect();
    assert_eq!(signs, ["b", "d"], "11.5..13.0 mm and at least 12 mm");
}

#[test]
fn limits_that_cannot_be_are_refused_in_the_file() {
    let crossed = faults("{a: 10.0..9.0 mm}");
    assert!(
        crossed.contains("10.0..9.0 mm"),
        "both ends are named: {crossed}"
    );
    for words in [
        "{a: nan..9.0 mm}",
        "{a: 9.0..inf mm}",
        "{a: at least inf mm}",
        "{a: at most NaN mm}",
        "{a: at most 9.0 ± 0.1 mm}",
        "{a: at least 9.0..10.0 mm}",
        "{a: at most 500 mm}",
        "{a: 9.0..500 mm}",
        "{a: at most}",
    ] {
        assert!(!faults(words).is_empty(), "{words}");
    }
}

/// Whether all of `inner` lies within `outer`.
fn within(inner: &Interval, outer: &Interval) -> bool {
    let ((low, high), (from, to)) = (inner.outermost(), outer.outermost());
    from <= low + 1e-6 && high <= to + 1e-6
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_narrower_word_never_gives_a_wider_or_weaker_result(
        low in 8.0..10.0_f64, length in 0.2..3.0_f64, from in 0.0..0.45_f64, to in 0.55..1.0_f64, other in 7.0..14.0_f64,
    ) {
        let words = format!(
            "{{a: {:.4}..{:.4} mm, b: {low:.4}..{:.4} mm}}",
            low + from * length, low + to * length, low + length,
        );
        let scheme = scheme(&words, "tolerance: 0.05 mm");
        let (narrow, wide) = (piece(&scheme, "P 160 a"), piece(&scheme, "P 160 b"));
        let methods = &demo_tables().methods;
        let volume = methods.neutral(Quantity::CupVolume).unwrap();
        for method in [centre(), methods.parse(Quantity::CupDepth, "area mean from seam across seam").unwrap(), volume] {
            prop_assert!(within(&limits(&narrow, &method), &limits(&wide, &method)));
        }
        let other = cup(other);
        let (one, wider) = (limited(&other, &narrow), limited(&other, &wide));
        prop_assert!(within(one.difference.as_ref().unwrap(), wider.difference.as_ref().unwrap()));
        prop_assert!(matches!(wider.side, Side::CannotTell | Side::AtTheLimit) || wider.side == one.side);
    }

    #[test]
    fn a_value_within_is_never_called_larger_or_smaller(
        low in 8.0..10.0_f64, length in 0.2..3.0_f64, share in 0.0..1.0_f64,
    ) {
        let words = format!("{{a: {low:.4}..{:.4} mm}}", low + length);
        let scheme = scheme(&words, "tolerance: 0.05 mm");
        let word = piece(&scheme, "P 160 a");
        let value = cup(low + share * length);
        for one in [limited(&value, &word), limited(&word, &value)] {
            prop_assert!(matches!(one.side, Side::Same | Side::CannotTell), "{}", one.words());
            prop_assert!(one.least().abs() < 1e-3);
        }
    }
}
