//! What to look at or to gauge next.
//!
//! 1. What a look tells is the mean of what its outcomes take from the doubt, by adding up every case.
//! 2. A look that halves tells more than one that splits off a tenth; a look-alike pair tells less than a clear one.
//! 3. A reading of two equal normals tells what independent integration says, from nought to one bit.
//! 4. The answer names the sign or the gauge that tells most, and how far the pieces lie apart with U.
//! 5. A gauge is named before a look only where it tells more.
//! 6. What measures alike is said to, of all or of none; where nothing is open, nothing is said.
//! 7. A segment is certain where it was seen and all probable candidates of the scheme have it.
//! 8. The pair that is named is the one told apart best; what was gauged is gauged again only by a surer reading.
//! 9. Many pieces that fit equally are one line with open fields, as probable as all of them together.
//! 10. Pieces of one name are told by their years; what is hardly probable is not listed.

use std::f64::consts::PI;

use counterbore::answer::{FindAnswer, FindAsk, find};
use counterbore::snapshot::Snapshot;
use counterbore::stamp::{Spot, Struck, Suspect};
use counterbore::uncertainty::information::{Shows, doubt, of_outcomes, of_reading};

use crate::generator::Random;
use crate::schemes::our_glyphs;
use crate::shop::Shop;

/// The doubt before, less the mean of the doubt after each outcome.
fn by_cases(weights: &[f64], chances: &[Vec<f64>]) -> f64 {
    let total: f64 = weights.iter().sum();
    let after = (0..chances[0].len()).map(|outcome| {
        let joint: Vec<f64> = (0..weights.len())
            .map(|one| weights[one] / total * chances[one][outcome])
            .collect();
        let seen: f64 = joint.iter().sum();
        let left = joint
            .iter()
            .filter(|one| **one > 0.0)
            .map(|one| -(one / seen) * (one / seen).log2());
        seen * left.sum::<f64>()
    });
    doubt(weights) - after.sum::<f64>()
}

#[test]
fn an_outcome_tells_what_it_takes_from_the_doubt() {
    let mut random = Random::new(3);
    let mut share = || (random.below(1000) as f64 + 1.0) / 1000.0;
    for things in 2..6 {
        for outcomes in 1..5 {
            let weights: Vec<f64> = (0..things).map(|_| share()).collect();
            let row = |share: &mut dyn FnMut() -> f64| {
                let row: Vec<f64> = (0..outcomes).map(|_| share()).collect();
                let total: f64 = row.iter().sum();
                row.iter().map(|one| one / total).collect::<Vec<f64>>()
            };
            let chances: Vec<Vec<f64>> = (0..things).map(|_| row(&mut share)).collect();
            let (ours, theirs) = (
                of_outcomes(&weights, &chances),
                by_cases(&weights, &chances),
            );
            assert!((ours - theirs).abs() < 1e-12, "{ours} {theirs}");
        }
    }
}

#[test]
fn halves_tell_more_than_a_tenth() {
    let clear = [vec![1.0, 0.0], vec![0.0, 1.0]];
    let (half, tenth) = (
        of_outcomes(&[0.5, 0.5], &clear),
        of_outcomes(&[0.9, 0.1], &clear),
    );
    assert!((half - 1.0).abs() < 1e-12);
    assert!((tenth - 0.468_995_593_589_281).abs() < 1e-12, "{tenth}");
}

fn struck(text: &str) -> Vec<Struck> {
    let at = |(place, glyph): (usize, char)| Struck {
        spot: Spot::At(place),
        meant: glyph.to_string(),
    };
    text.chars().enumerate().map(at).collect()
}

/// What the best look at a text tells of two equally probable readings of it, and where it is.
fn told(text: &str, one: &str, other: &str) -> (f64, Spot) {
    let both = [struck(one), struck(other)];
    let suspects = both.each_ref().map(|struck| Suspect {
        weight: 0.5,
        struck,
    });
    let looks = our_glyphs().looks(text, &suspects);
    (looks[0].bits, looks[0].spot)
}

#[test]
fn a_look_alike_pair_tells_less_than_a_clear_one() {
    let (alike, _) = told("A8", "A8", "AB");
    let (clear, _) = told("A8", "A8", "AX");
    let (unread, _) = told("A?", "A8", "AX");
    assert!(alike < clear - 0.2, "{alike} {clear}");
    assert!(
        (unread - 0.5 * clear).abs() < 1e-12,
        "read half of the time"
    );
    // By hand: 8 is read as B, and B as 8, with e^-2.5 against 1.
    let wrong = (-2.5_f64).exp() / (1.0 + (-2.5_f64).exp());
    let by_hand = 1.0 + wrong * wrong.log2() + (1.0 - wrong) * (1.0 - wrong).log2();
    assert!((alike - by_hand).abs() < 1e-12);
    assert_eq!(
        told("A88", "A8X", "AB1").1,
        Spot::At(2),
        "the clear place comes first"
    );
}

/// One bit less the mean doubt left by a reading of two equal normals a distance apart, by the trapezoid rule.
fn two_normals(apart: f64) -> f64 {
    let step = 1e-3;
    let left = (-20_000..=20_000).map(|place| {
        let z = f64::from(place) * step;
        let density = (-0.5 * z * z).exp() / (2.0 * PI).sqrt();
        // Of the first, at z: the other is less likely by e^(d z - d² / 2).
        density * (1.0 + (apart * z - 0.5 * apart * apart).exp()).log2()
    });
    1.0 - step * left.sum::<f64>()
}

#[test]
fn a_reading_of_two_normals_tells_what_integration_says() {
    for apart in [0.0, 0.1, 0.5, 1.0, 2.0, 3.0, 5.0, 12.0] {
        let u = 0.07;
        let about = |value: f64| Shows::About { value, u };
        let ours = of_reading(&[0.3, 0.3], &[about(16.0), about(16.0 + apart * u)]);
        let theirs = two_normals(apart);
        assert!((ours - theirs).abs() < 1e-5, "{apart}: {ours} {theirs}");
    }
    assert!(two_normals(0.0).abs() < 1e-9 && two_normals(12.0) > 0.999_999);
    assert!(
        (two_normals(2.0) - 0.485_9).abs() < 5e-4,
        "{}",
        two_normals(2.0)
    );
}

/// The doubt of a mixture on a fine grid, less what is left.
fn by_grid(weights: &[f64], shows: &[&dyn Fn(f64) -> f64], from: f64, to: f64) -> f64 {
    let (total, steps): (f64, usize) = (weights.iter().sum(), 400_000);
    let step = (to - from) / steps as f64;
    let at = |place: usize| {
        let at = from + step * (place as f64 + 0.5);
        let own: Vec<f64> = shows.iter().map(|one| one(at)).collect();
        let mean: f64 = own
            .iter()
            .zip(weights)
            .map(|(own, weight)| own * weight / total)
            .sum();
        let told = own.iter().zip(weights).filter(|(own, _)| **own > 0.0);
        told.map(|(own, weight)| weight / total * own * (own / mean).log2())
            .sum::<f64>()
    };
    step * (0..steps).map(at).sum::<f64>()
}

#[test]
fn a_reading_of_many_tells_what_a_fine_grid_says() {
    let normal = |value: f64, u: f64| {
        move |at: f64| (-0.5 * ((at - value) / u).powi(2)).exp() / (u * (2.0 * PI).sqrt())
    };
    let (one, two, three) = (normal(16.0, 0.5), normal(16.1, 0.02), normal(17.0, 0.1));
    let shows =
        [(16.0, 0.5), (16.1, 0.02), (17.0, 0.1)].map(|(value, u)| Shows::About { value, u });
    let weights = [0.5, 0.2, 0.1];
    let (ours, theirs) = (
        of_reading(&weights, &shows),
        by_grid(&weights, &[&one, &two, &three], 12.0, 20.0),
    );
    assert!((ours - theirs).abs() < 1e-4, "{ours} {theirs}");
    // Limits that do not overlap, and are wide against the reading, are told apart but for their ends.
    let limits = [
        Shows::Between {
            low: 9.0,
            high: 10.0,
            u: 0.001,
        },
        Shows::Between {
            low: 10.0,
            high: 11.0,
            u: 0.001,
        },
    ];
    let bits = of_reading(&[0.5, 0.5], &limits);
    assert!(bits > 0.99 && bits < 1.0, "{bits}");
}

/// A catalogue with rims in mm, and throats by drill.
fn snapshot(rows: &[(&str, &str, &str)]) -> Snapshot {
    let rows: String = rows
        .iter()
        .map(|(name, rim, throat)| format!("    - [\"{name}\", \"{rim}\", \"{throat}\"]\n"))
        .collect();
    let shop = Shop::new();
    shop.write(
        "plugins/vellmar.yml",
        &format!(
            "scheme: vellmar\ntitle: Vellmar (invented)\nserves: [trumpet]\nrevision: \"1\"\nsource: invented\n\
             contour: {{class: trumpet bowl}}\nfigures:\n  rim: {{quantity: rim inner diameter, method: inner edge, unit: mm, tolerance: 0.03 mm}}\n  \
             throat: {{quantity: throat diameter, method: drill, gauge: {{table: number drills, from: \"30\", to: \"22\"}}}}\n\
             entries:\n  columns: [name, rim, throat]\n  rows:\n{rows}stamps:\n  - {{part: one-piece, template: \"{{entry}}\"}}\n\
             examples:\n  - {{stamp: VEL 31, says: {{entry: VEL 31}}}}\n"
        ),
    );
    let snapshot = shop.snapshot();
    assert_eq!(
        snapshot.schemes.len(),
        1,
        "{:?}",
        snapshot.files[0].diagnostics
    );
    snapshot
}

fn asked(snapshot: &Snapshot, partial: &str, gauges: &[&str]) -> FindAnswer {
    let gauges: Vec<String> = gauges.iter().map(ToString::to_string).collect();
    let ask = FindAsk {
        partial,
        gauges: &gauges,
        limit: 5,
    };
    find(snapshot, &ask).unwrap()
}

#[test]
fn a_sign_is_looked_at_where_metal_is_alike() {
    let snapshot = snapshot(&[("VEL 31", "16.50", "27"), ("VEL 37", "16.50", "27")]);
    let found = asked(&snapshot, "VEL 3?", &[]);
    let next = found.next.unwrap();
    let look = next.look.unwrap();
    assert_eq!((look.position, look.gap), (6, false));
    assert!(
        next.says.starts_with("look at sign 6: `1` or `7`?")
            || next.says.starts_with("look at sign 6: `7` or `1`?"),
        "{}",
        next.says
    );
    let then: Vec<&str> = look.answers.iter().map(|one| one.then.as_str()).collect();
    assert!(
        then.contains(&"VEL 31") && then.contains(&"VEL 37"),
        "{then:?}"
    );
    let alike = found.alike.unwrap();
    assert!(
        alike.contains("VEL 31") && alike.contains("measure alike"),
        "{alike}"
    );
    assert!(next.bits <= next.open_bits && next.open_bits < 1.2);
}

#[test]
fn a_gauge_is_named_where_it_tells_more() {
    let far = snapshot(&[("VEL 31", "16.50", "27"), ("VEL 37", "17.20", "27")]);
    let next = asked(&far, "VEL 3?", &[]).next.unwrap();
    let gauge = next.gauge.as_ref().unwrap();
    assert_eq!(
        (gauge.quantity.as_str(), gauge.by.as_str()),
        ("rim inner diameter", "rim inner diameter@inner edge")
    );
    assert!(
        next.says.contains("0.70") && next.says.contains("U of a reading 0.1 mm (k 2.00)"),
        "{}",
        next.says
    );
    assert_eq!(gauge.pieces.len(), 2);
    // Half a look at an unread sign tells about 0.4 bit; a rim 0.05 mm off tells less.
    let near = snapshot(&[("VEL 31", "16.50", "27"), ("VEL 37", "16.55", "27")]);
    let next = asked(&near, "VEL 3?", &[]).next.unwrap();
    assert!(next.look.is_some(), "{}", next.says);
    // Once gauged, the same reading is not asked for again, unless it was a coarse one.
    let again = |gauge: &str| {
        let next = asked(&far, "VEL 3?", &[gauge]).next;
        next.and_then(|next| next.gauge).map(|gauge| gauge.by)
    };
    let by = "rim inner diameter@inner edge";
    assert_ne!(again(&format!("{by}=16.85 mm")).as_deref(), Some(by));
    assert_eq!(again(&format!("{by}=16.85±0.4mm")).as_deref(), Some(by));
}

#[test]
fn the_pair_that_is_named_is_told_apart() {
    // The two likeliest are the same metal; the third is not.
    let rows = [
        ("VEL 31", "16.50", "27"),
        ("VEL 37", "16.50", "27"),
        ("VEL 34", "17.20", "27"),
    ];
    let found = asked(&snapshot(&rows), "VEL 3?", &[]);
    assert_eq!(found.alike, None, "two of three are told apart");
    let says = found.next.unwrap().says;
    assert!(
        says.contains("0.700 mm") && says.contains("VEL 34"),
        "{says}"
    );
    // A throat between two drills does not tell the drills apart; a gauge does.
    let rows = [("VEL 31", "16.50", "27"), ("VEL 37", "16.50", "26")];
    let found = asked(&snapshot(&rows), "", &["throat diameter=drill 27"]);
    assert_eq!(found.alike, None);
    let next = found.next.unwrap();
    assert!(next.says.contains("0.076 mm"), "{}", next.says);
}

#[test]
fn nothing_is_said_where_nothing_is_open() {
    let snapshot = snapshot(&[("VEL 31", "16.50", "27"), ("VEL 84", "16.50", "26")]);
    let found = asked(&snapshot, "VEL 31", &[]);
    assert!(found.next.is_none() && found.alike.is_none(), "{found:?}");
    assert!(asked(&snapshot, "QQQQQQQQQ", &[]).next.is_none());
}

/// Of all that `Lyra 6?/?` may be no cup and no rim was seen: ten cups of sixteen rims.
#[test]
fn equal_pieces_are_one_line() {
    let snapshot = tarnbeck();
    let found = asked(&snapshot, "Lyra 6*", &[]);
    let first = &found.results[0];
    assert_eq!(first.canonical, "Lyra 6?/?", "{:#?}", found.results);
    let pieces = first.pieces.unwrap();
    assert!(pieces > 100, "{pieces}");
    let one = asked(&snapshot, first.canonical.as_str(), &[]);
    assert_eq!(one.results[0].canonical, first.canonical, "asked for again");
    // It is the sum of the pieces one by one.
    let each = snapshot.automaton.find("Lyra 6*", pieces).unwrap();
    let sum: f64 = each.readings.iter().map(|one| one.probability).sum();
    // Words that may have been typed take a little of it.
    assert!(
        first.probability < sum + 1e-6 && first.probability > 0.99 * sum,
        "{sum} {}",
        first.probability
    );
    assert!(found.next.is_some());
}

/// What is certain of a line is so of all that weighs anything, and lines and the rest are all there is.
#[test]
fn lines_claim_no_more_than_their_pieces() {
    const SEEN: usize = 500;
    const HEAVY: f64 = 0.01;
    let snapshot = tarnbeck();
    let texts = [
        "Lyra 6*",
        "L?ra 6*",
        "*6*",
        "?y* 6?/16*",
        "Lyr? 6*/1612",
        "6*",
        "Lyra 64/1?12",
    ];
    for text in texts {
        let found = asked(&snapshot, text, &[]);
        let listed: f64 = found.results.iter().map(|one| one.probability).sum();
        let all = listed + found.something_else;
        assert!((all - 1.0).abs() < 1e-5, "{text}: {all}");
        let each = snapshot.automaton.find(text, SEEN).unwrap();
        for one in &found.results {
            let certain = one.segments.iter().filter(|one| one.certain);
            for segment in certain.map(|one| one.segment.text.as_str()) {
                assert!(!segment.contains('?'), "{text}: {segment}");
                let lacks = |reading: &&counterbore::stamp::FoundReading| {
                    reading.scheme.id == one.scheme.id && !reading.text.contains(segment)
                };
                let lacking = each.readings.iter().filter(lacks);
                let lacking: f64 = lacking
                    .map(|one| one.probability)
                    .filter(|one| *one >= HEAVY)
                    .sum();
                assert!(lacking < HEAVY, "{text}: {segment} of {}", one.canonical);
                let whole = each.readings.iter().filter(|one| !lacks(one));
                let whole: f64 = whole.map(|one| one.probability).sum();
                assert!(
                    one.canonical == segment || !one.canonical.contains('?') || whole >= 0.94,
                    "{text}: {segment} of {} is in {whole}",
                    one.canonical
                );
            }
        }
    }
}

#[test]
fn nothing_is_certain_that_nobody_saw() {
    let found = asked(&tarnbeck(), "", &["rim inner diameter=16.6±0.1mm"]);
    for one in &found.results {
        let unsure = one.segments.iter().filter(|one| one.probability < 0.95);
        assert!(unsure.clone().all(|one| !one.certain), "{one:#?}");
    }
    let found = asked(&tarnbeck(), "64/1612", &[]);
    let first = &found.results[0];
    let series = &first.segments[0];
    assert!(!series.certain || series.probability >= 0.95, "{first:#?}");
    assert!(first.segments[1].certain, "{first:#?}");
}

#[test]
fn what_is_hardly_probable_is_not_listed() {
    let snapshot = snapshot(&[("VEL 31", "16.50", "27"), ("VEL 84", "16.50", "26")]);
    let found = asked(&snapshot, "VEL 31", &[]);
    assert_eq!(found.results.len(), 1, "{found:#?}");
    let sum = found.results[0].probability + found.something_else;
    assert!((sum - 1.0).abs() < 1e-5, "{sum}");
    assert!(asked(&snapshot, "QQQQQQQQQ", &[]).results.len() <= 3);
}

#[test]
fn one_name_of_two_pieces_is_told_by_its_years() {
    let shop = Shop::new();
    shop.write("config.yml", "plugins: [built in]\n");
    let found = asked(&shop.snapshot(), "?8 L", &[]);
    let twins = found.results.iter().filter(|one| one.canonical == "28 L");
    let years: Vec<&str> = twins.filter_map(|one| one.made.as_deref()).collect();
    assert_eq!(years.len(), 2, "{found:#?}");
    assert_ne!(years[0], years[1]);
    let alone = found.results.iter().find(|one| one.canonical == "38 L");
    assert_eq!(alone.unwrap().made, None);
    let says = found.next.unwrap().says;
    assert!(!says.contains("28 L and 28 L"), "{says}");
}

fn tarnbeck() -> Snapshot {
    let shop = Shop::new();
    let text = include_str!("plugins/tarnbeck.yml");
    shop.write("plugins/tarnbeck.yml", text);
    shop.snapshot()
}

#[test]
fn segments_are_certain_where_all_agree() {
    let shop = Shop::new();
    let text = std::fs::read_to_string(format!(
        "{}/tests/plugins/tarnbeck.yml",
        env!("CARGO_MANIFEST_DIR")
    ))
    .unwrap();
    shop.write("plugins/tarnbeck.yml", &text);
    let snapshot = shop.snapshot();
    let said = |partial: &str, limit: usize| -> Vec<(String, bool, f64)> {
        let ask = FindAsk {
            partial,
            gauges: &[],
            limit,
        };
        let first = find(&snapshot, &ask).unwrap().results.remove(0);
        first
            .segments
            .iter()
            .map(|one| (one.segment.text.clone(), one.certain, one.probability))
            .collect()
    };
    for limit in [1, 5, 20] {
        let said = said("Lyra 6?/1612", limit);
        assert_eq!(said.len(), 3, "{said:?}");
        assert!(said[0].1 && !said[1].1 && said[2].1, "{said:?}");
        assert!(said[0].2 > 0.85 && said[1].2 < 0.11, "{said:?}");
    }
    // A hundred pieces may begin so, and some are out of sight: of the cup nothing is certain.
    assert!(said("Lyra 6?/1?", 3).iter().skip(1).all(|one| !one.1));
}
