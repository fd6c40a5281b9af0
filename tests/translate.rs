//! Into other schemes.
//!
//! Proves:
//! 1. a piece in its own scheme finds itself first, and nothing of the difference is left: what both
//!    share cancels;
//! 2. the nearest grid points and entries are those that trying all of them finds;
//! 3. a size beyond the scale is said to be outside it and is never near;
//! 4. without a route nothing is compared, and why is said; nothing is made up;
//! 5. "compared on n of m": what one of the two does not state neither helps nor hurts;
//! 6. each verdict on both sides of its limit: felt for sure whatever U is, and neither the same nor felt at the limit;
//! 7. the order of the families never matters, nor how many are asked for;
//! 8. of one rim and cup there is one line, the others are named beside it;
//!    what this stamp leaves out is not blamed on its scheme.

use std::collections::HashSet;
use std::fs;
use std::path::Path;
use std::sync::Arc;

use counterbore::answer::Ask;
use counterbore::method::Quantity;
use counterbore::route::{Known, Measured, Piece, Route, RouteKind};
use counterbore::scheme::{Binding, Scheme, Signs, check};
use counterbore::stamp;
use counterbore::translate::{
    AtHand, Feel, Outside, Struck, Target, Translation, Verdict, compare, translate,
};
use counterbore::uncertainty::{Distribution, Estimate, Expanded, Source};
use counterbore::unit::Span;
use counterbore::yaml::{Limits, gate};

use crate::chart::demo;
use crate::demo::{demo_schemes, demo_tables};
use crate::web::Server;

fn scheme(name: &str) -> Arc<Scheme> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/plugins/{name}.yml"));
    let document = gate(name, &fs::read(path).unwrap(), Limits::PLUGIN).unwrap();
    let (scheme, faults) = check(&document, &demo_tables());
    assert!(faults.is_empty(), "{}", faults[0]);
    let scheme = Arc::new(scheme.unwrap());
    let faults = stamp::verify(&scheme, &document);
    assert!(faults.is_empty(), "{}", faults[0]);
    scheme
}

fn piece(scheme: &Arc<Scheme>, text: &str) -> Piece {
    let readings = stamp::decode(std::slice::from_ref(scheme), text).readings;
    assert_eq!(readings.len(), 1, "{text}");
    let bindings = readings[0].bindings();
    scheme.make(&bindings, &[0]).piece
}

fn spelled(scheme: &Scheme, bindings: &[Binding]) -> String {
    stamp::encode(scheme, 0, bindings).unwrap()
}

#[test]
fn a_piece_finds_another_of_its_name() {
    for (name, text) in [
        ("brindlow", "BR 1600-114 T25"),
        ("osmark", "osmark thrush"),
        ("lutterel", "L 18.5"),
    ] {
        let scheme = scheme(name);
        let found = translate(
            &piece(&scheme, text),
            &Target::new(scheme.clone()),
            &Feel::default(),
            3,
        );
        let best = &found.matches[0];
        assert_eq!(spelled(&scheme, &best.named.bindings), text);
        assert!(found.near() && best.distance < 1e-9);
        for one in &best.differences {
            let difference = one.value().unwrap();
            // Each was turned by itself; what the series shares has cancelled.
            let apart = &difference.difference;
            assert!(apart.value().abs() < 1e-9 && apart.u() > 0.0, "{name}");
            assert_eq!(difference.verdict, Verdict::Same);
            assert_eq!(difference.e_n, Some(0.0));
        }
    }
}

/// The rank goes by the target's methods, the distance by those of comparison: however few are asked for, they are
/// the first of those that asking for many gives.
#[test]
fn how_many_are_asked_for_changes_nothing_but_how_many_there_are() {
    let feel = Feel::default();
    let schemes = demo_schemes();
    let targets: Vec<Target> = schemes.iter().cloned().map(Target::new).collect();
    let (mut asked, mut told) = (0, 0);
    for ours in &schemes {
        for example in ours.examples.iter().step_by(3) {
            let readings = stamp::decode(std::slice::from_ref(ours), &example.stamp).readings;
            let reading = &readings[0];
            let piece = ours.make(&reading.bindings(), &reading.stamps()).piece;
            for target in &targets {
                let many = translate(&piece, target, &feel, 12);
                for limit in [1, 3] {
                    let few = translate(&piece, target, &feel, limit);
                    let of = |translation: &Translation| -> Vec<f64> {
                        let matches = translation.matches.iter().take(limit);
                        // What is farther is as good as nothing, and its order is of no use.
                        let matches = matches.take_while(|one| one.distance < 10.0);
                        matches.map(|one| (one.distance * 1e6).round()).collect()
                    };
                    assert_eq!(
                        of(&few),
                        of(&many),
                        "{}, {limit} of {}",
                        example.stamp,
                        target.scheme.id
                    );
                    asked += 1;
                    told += usize::from(!few.matches.is_empty());
                }
            }
        }
    }
    assert!(asked > 300 && told * 2 > asked, "{told} of {asked}");
}

/// Distance by the rule: root of the weighted mean square in feel limits.
fn distance(ours: &Piece, theirs: &Piece, scheme: &Scheme, feel: &Feel) -> f64 {
    let (mut squares, mut weights) = (0.0, 0.0);
    for figure in &scheme.figures {
        if theirs
            .stated()
            .iter()
            .any(|stated| stated.method == figure.method)
            && let Ok(one) = compare(ours, theirs, &figure.compared_by, feel)
        {
            let limit = feel.limit(figure.method.quantity());
            squares += limit.weight * (one.least() / limit.same).powi(2);
            weights += limit.weight;
        }
    }
    (squares / weights).sqrt()
}

#[test]
fn the_nearest_are_those_that_trying_all_finds() {
    let (grid, catalogue) = (scheme("brindlow"), scheme("osmark"));
    let feel = Feel::default();
    let ours = piece(&catalogue, "osmark finch");
    let signs: Vec<Vec<_>> = grid
        .figures
        .iter()
        .map(|figure| figure.signs.spellings().map(|(sign, _)| sign).collect())
        .collect();
    let mut all = Vec::new();
    for rim in &signs[0] {
        for depth in &signs[1] {
            for throat in &signs[2] {
                let bindings: Vec<Binding> = [rim, depth, throat]
                    .into_iter()
                    .enumerate()
                    .map(|(figure, sign)| Binding::Figure(figure, sign.clone()))
                    .collect();
                let theirs = grid.make(&bindings, &[0]).piece;
                all.push((
                    distance(&ours, &theirs, &grid, &feel),
                    spelled(&grid, &bindings),
                ));
            }
        }
    }
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let found = translate(&ours, &Target::new(grid.clone()), &feel, 5);
    for (one, (away, expected)) in found.matches.iter().zip(&all) {
        assert!(
            (one.distance - away).abs() < 1e-9,
            "{} {} {expected} {away}",
            one.distance,
            spelled(&grid, &one.named.bindings)
        );
    }
    assert_eq!(spelled(&grid, &found.matches[0].named.bindings), all[0].1);

    let ours = piece(&grid, "BR 1576-110 T25");
    let mut all: Vec<(f64, String)> = (0..catalogue.entries.len())
        .map(|entry| {
            let bindings = [Binding::Entry(entry)];
            let theirs = catalogue.make(&bindings, &[0]).piece;
            (
                distance(&ours, &theirs, &catalogue, &feel),
                spelled(&catalogue, &bindings),
            )
        })
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let found = translate(&ours, &Target::new(catalogue.clone()), &feel, 5);
    let names: Vec<String> = found
        .matches
        .iter()
        .map(|one| spelled(&catalogue, &one.named.bindings))
        .collect();
    assert_eq!(
        names,
        all.into_iter().map(|(_, name)| name).collect::<Vec<_>>()
    );
}

#[test]
fn beyond_the_scale_is_said_and_never_near() {
    let (grid, catalogue) = (scheme("brindlow"), scheme("osmark"));
    let found = translate(
        &piece(&catalogue, "osmark heron"),
        &Target::new(grid),
        &Feel::default(),
        3,
    );
    let rim = found
        .outside
        .iter()
        .find(|one| one.ours.method().quantity() == Quantity::RimInnerDiameter);
    assert!(rim.is_none(), "17.3 at the edge is within 16.6 at the seam");
    let wide = piece(&scheme("brindlow"), "BR 1660-130");
    let found = translate(&wide, &Target::new(catalogue), &Feel::default(), 3);
    let rim = found
        .outside
        .iter()
        .find(|one| one.ours.method().quantity() == Quantity::RimInnerDiameter)
        .unwrap();
    assert!(rim.ours.span().low > rim.ends.1);
    assert!(!found.near());
}

#[test]
fn without_a_route_nothing_is_compared() {
    let (bare, catalogue) = (scheme("lutterel"), scheme("osmark"));
    let found = translate(
        &piece(&bare, "L 18.5"),
        &Target::new(catalogue.clone()),
        &Feel::default(),
        3,
    );
    assert!(
        found.matches.is_empty()
            || found.matches[0]
                .differences
                .iter()
                .all(|one| one.method().row.name == "crest")
    );
    // The other way the target's own form reaches the crest, and so they can be compared there.
    let found = translate(
        &piece(&catalogue, "osmark lark"),
        &Target::new(bare.clone()),
        &Feel::default(),
        3,
    );
    assert_eq!(found.matches[0].differences.len(), 1);
    assert_eq!(
        found.matches[0].not_compared.len(),
        2,
        "the scheme states neither cup nor throat"
    );
    let nowhere = translate(
        &piece(&bare, "L 18.5"),
        &Target::new(bare_horn()),
        &Feel::default(),
        3,
    );
    assert!(nowhere.matches.is_empty());
    assert!(
        nowhere.not_compared[0]
            .why
            .to_string()
            .contains("its contour is not known"),
        "{}",
        nowhere.not_compared[0].why
    );
}

/// A scheme without a contour by another method than lutterel's.
fn bare_horn() -> Arc<Scheme> {
    let text = fs::read_to_string(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/plugins/lutterel.yml"),
    )
    .unwrap()
    .replace("lutterel", "lutterine")
    .replace("method: crest", "method: seam");
    let document = gate("lutterine", text.as_bytes(), Limits::PLUGIN).unwrap();
    Arc::new(check(&document, &demo_tables()).0.unwrap())
}

#[test]
fn what_is_not_stated_neither_helps_nor_hurts() {
    let (grid, catalogue) = (scheme("brindlow"), scheme("osmark"));
    let found = translate(
        &piece(&grid, "BR 1660-126 T24"),
        &Target::new(catalogue.clone()),
        &Feel::default(),
        5,
    );
    let heron = found
        .matches
        .iter()
        .find(|one| spelled(&catalogue, &one.named.bindings) == "osmark heron")
        .unwrap();
    assert_eq!(heron.differences.len(), 2);
    assert_eq!(heron.not_compared.len(), 1);
    assert_eq!(heron.not_compared[0].quantity, Quantity::ThroatDiameter);
}

#[test]
fn verdicts_on_both_sides_of_their_limits() {
    let expanded = |value: f64, u: f64| Expanded {
        value,
        u,
        expanded: 2.0 * u,
        k: 2.0,
    };
    let limit = 0.15;
    for (value, u, verdict) in [
        (0.15, 0.02, Verdict::AtTheLimit),
        (-0.15, 0.02, Verdict::AtTheLimit),
        (0.15, 0.075, Verdict::AtTheLimit),
        (0.150001, 0.02, Verdict::More),
        (-0.150001, 0.02, Verdict::Less),
        (0.0, 0.075, Verdict::Same),
        (0.0, 0.0751, Verdict::TooUncertain),
        (0.30, 0.0751, Verdict::TooUncertain),
        (-0.30, 0.0751, Verdict::TooUncertain),
        (0.31, 0.0751, Verdict::More),
        (-9.0, 2.0, Verdict::Less),
        (0.12, 0.0149, Verdict::Same),
        (0.12, 0.0151, Verdict::AtTheLimit),
        (-0.12, 0.0599, Verdict::AtTheLimit),
        (0.12, 0.0601, Verdict::AtTheLimit),
        (0.03, 0.0601, Verdict::AtTheLimit),
        (0.03, 0.0599, Verdict::Same),
    ] {
        assert_eq!(
            Verdict::of(&expanded(value, u), limit),
            verdict,
            "{value} {u}"
        );
    }
}

#[test]
fn words_of_a_difference_too_uncertain_but_real() {
    let (grid, catalogue) = (scheme("brindlow"), scheme("osmark"));
    let ours = piece(&grid, "BR 1480-90");
    let theirs = piece(&catalogue, "osmark thrush");
    let strict = Feel::default().with(
        Quantity::CupVolume,
        counterbore::translate::FeelLimit {
            same: 1.0,
            near: 5.0,
            weight: 1.0,
        },
    );
    let volume = catalogue
        .figures
        .iter()
        .find(|one| one.method.quantity() == Quantity::CupVolume)
        .unwrap();
    let one = compare(&ours, &theirs, &volume.method, &strict).unwrap();
    let one = one.value().unwrap();
    assert_eq!(
        one.verdict,
        Verdict::More,
        "felt for sure, however uncertain"
    );
    assert_eq!(one.words(), "larger");
    let mut told = 0;
    for depth in (90..=130).step_by(2) {
        let ours = piece(&grid, &format!("BR 1600-{depth}"));
        let one = compare(&ours, &theirs, &volume.method, &strict).unwrap();
        let one = one.value().unwrap();
        let (value, expanded) = (one.expanded.value, one.expanded.expanded);
        if !(1.05..1.9).contains(&one.e_n.unwrap()) {
            continue;
        }
        let limit = counterbore::translate::FeelLimit {
            same: 0.95 * expanded,
            near: 5.0,
            weight: 1.0,
        };
        let feel = Feel::default().with(Quantity::CupVolume, limit);
        let one = compare(&ours, &theirs, &volume.method, &feel).unwrap();
        let one = one.value().unwrap();
        let direction = if value > 0.0 { "larger" } else { "smaller" };
        assert_eq!(one.verdict, Verdict::TooUncertain);
        assert_eq!(
            one.words(),
            format!("too uncertain to say by how much one feels it, but {direction}")
        );
        told += 1;
    }
    assert!(told > 0);
}

#[test]
fn signs_near_a_value_are_sorted_and_bounded() {
    let grid = scheme("brindlow");
    let rim = &grid.figures[0].signs;
    assert!(matches!(rim, Signs::Grid(_)));
    let near: Vec<String> = rim
        .near(Span::at(15.75), 3)
        .into_iter()
        .map(|sign| sign.text)
        .collect();
    assert_eq!(near, ["1576", "1564", "1588"]);
    let beyond: Vec<String> = rim
        .near(Span::at(99.0), 2)
        .into_iter()
        .map(|sign| sign.text)
        .collect();
    assert_eq!(beyond, ["1660", "1648"]);
    let (low, high) = rim.ends().unwrap();
    assert_eq!((low.text.as_str(), high.text.as_str()), ("1480", "1660"));
}

/// Rim and cup of a match.
fn rim_and_cup(one: &serde_json::Value) -> Vec<String> {
    let differences = one["differences"].as_array().unwrap().iter();
    let asked = ["rim inner diameter", "cup depth", "cup volume"];
    let asked = differences.filter(|one| asked.contains(&one["quantity"].as_str().unwrap()));
    asked
        .map(|one| format!("{} {}", one["method"], one["theirs"]))
        .collect()
}

#[test]
fn of_one_rim_and_cup_there_is_one_line() {
    let server = Server::start();
    let mut alike = 0;
    for stamp in ["BR+1576-110+T25", "osmark+lark", "osmark+thrush"] {
        let answer = server
            .get(&format!("/api/v1/translate?stamp={stamp}&limit=40"))
            .json();
        for into in answer["into"].as_array().unwrap() {
            let matches = into["matches"].as_array().unwrap();
            for (place, one) in matches.iter().enumerate() {
                let mine = rim_and_cup(one);
                let others = matches[..place].iter().map(rim_and_cup);
                assert!(
                    mine.is_empty() || !others.into_iter().any(|other| other == mine),
                    "{into}"
                );
                let names = one["same_rim_and_cup"]
                    .as_array()
                    .map_or(&[][..], Vec::as_slice);
                assert!(!names.contains(&one["canonical"]), "{one}");
                alike += names.len();
            }
        }
    }
    assert!(alike > 0, "throats alone differ in some");
}

#[test]
fn of_equals_the_piece_itself_comes_first_then_what_serves_its_instrument() {
    let snapshot = demo();
    for (stamp, into, nearest) in [
        ("K6h-4E", "calvenza", "K6h-4E"),
        ("Kor 31 K", "calvenza", "K7k-5?"),
        ("Flyg 28 K", "calvenza", "Y"),
        ("Tann 19.50/2.0", "drusenhag", "Tann 19.50/2.0"),
    ] {
        let ask = Ask {
            stamp,
            into: vec![into],
            reading: 1,
            limit: 3,
        };
        let answer = counterbore::answer::translate(&snapshot, &ask).unwrap();
        let best = &answer.into[0].matches[0];
        assert!(
            best.canonical.starts_with(nearest),
            "{stamp}: {}",
            best.canonical
        );
        assert_eq!(best.other_instrument, None, "{stamp}");
    }
}

/// Calvenza's letters T, K and Y tell the shank; nothing is known of the form of any.
#[test]
fn series_of_unknown_form_share_their_rims() {
    let demo = |id: &str| demo_schemes().into_iter().find(|one| one.id == id).unwrap();
    let (vossaby, calvenza) = (demo("vossaby"), demo("calvenza"));
    let (ours, feel) = (piece(&vossaby, "38 L"), Feel::default());
    let target = Target::new(calvenza.clone());
    let found = AtHand::new(&ours).rims(&target, &feel, 6);
    let spelled = |bindings: &[Binding]| stamp::encode(&calvenza, 1, bindings).unwrap();
    let mut rims = HashSet::new();
    for one in &found.matches {
        let name = spelled(&one.named.bindings);
        assert!(rims.insert(name[1..].to_owned()), "{name} came before");
        let same = |further: &Struck| spelled(&further.bindings)[1..] == name[1..];
        assert!(one.further.iter().all(same), "{name}");
    }
    assert_eq!(rims.len(), 6);
    assert!(found.matches.iter().any(|one| !one.further.is_empty()));
}

/// A size beyond the scale by less than its U may be within it.
#[test]
fn a_size_that_may_be_within_the_scale_is_not_surely_outside() {
    let method = scheme("brindlow").figures[0].method.clone();
    let may_be_within = |value: f64, half_width: f64, ends: (f64, f64)| {
        let source = Arc::new(Source::new("t", "t", Distribution::Rectangular));
        let estimate = Estimate::rectangular(value, half_width, source);
        let route = Route {
            kind: RouteKind::Stated,
            steps: Vec::new(),
        };
        let ours = Known::Value(Arc::new(Measured {
            method: method.clone(),
            estimate,
            route,
        }));
        let figure = 0;
        Outside { figure, ours, ends }.may_be_within()
    };
    // By hand: U of limits alone is 0.95 of their half-width.
    assert!(may_be_within(15.1, 0.4, (15.4, 16.8)));
    assert!(!may_be_within(15.1, 0.3, (15.4, 16.8)));
    assert!(may_be_within(17.1, 0.4, (15.4, 16.8)));
    assert!(!may_be_within(17.1, 0.4, (15.4, 16.6)));
    assert!(
        !may_be_within(17.1, 0.4, (f64::NEG_INFINITY, 16.6)),
        "open below"
    );
}

#[test]
fn what_a_stamp_leaves_out_is_not_blamed_on_its_scheme() {
    let (grid, catalogue) = (scheme("brindlow"), scheme("osmark"));
    let found = translate(
        &piece(&grid, "BR 1576-110 T25"),
        &Target::new(catalogue),
        &Feel::default(),
        20,
    );
    let heron = found
        .matches
        .iter()
        .find(|one| one.differences.len() == 2)
        .unwrap();
    let why = &heron.not_compared[0].why;
    assert_eq!(
        why.to_string(),
        "this piece states no throat diameter, though others of the scheme do"
    );
}
