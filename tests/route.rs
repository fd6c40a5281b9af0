//! Routes from one method to another.
//!
//! Proves:
//! 1. a solved profile gives back what pinned it, by every pair of methods;
//! 2. carrying there and home again comes back to the value;
//! 3. larger in, larger out;
//! 4. u agrees with a Monte Carlo run on the same model (JCGM 101) within its noise;
//! 5. a carried value can be made of numbers, by the same route;
//! 6. the surest route is taken, ties are certain, a worse route changes nothing;
//! 7. a declared offset is not taken outside its range;
//! 8. without a contour the answer is "cannot be compared", with the reason;
//! 9. two pieces of one series share the doubt of their contour.

use std::sync::Arc;

use counterbore::method::{
    AtTheCounter, Functional, Method, MethodRow, Methods, Parameters, Quantity,
};
use counterbore::profile::{Class, Contour, ContourFigure};
use counterbore::route::{Carried, Declared, Piece, RouteKind, Stated};
use counterbore::uncertainty::{Distribution, Draw, Estimate, Source};
use proptest::prelude::*;

fn methods() -> Methods {
    let row = |(functional, name, quantities): &(Functional, &str, &[Quantity])| {
        quantities
            .iter()
            .map(|&quantity| MethodRow {
                quantity,
                name: (*name).into(),
                functional: *functional,
                says: String::new(),
                neutral: false,
                reading: None,
                source: "test".into(),
                defaults: Parameters::default(),
                at_the_counter: AtTheCounter::default(),
            })
            .collect::<Vec<_>>()
    };
    Methods::new(Functional::ALL.iter().flat_map(row).collect())
}

pub fn rim(text: &str) -> Method {
    methods().parse(Quantity::RimInnerDiameter, text).unwrap()
}

pub fn depth(text: &str) -> Method {
    methods().parse(Quantity::CupDepth, text).unwrap()
}

pub fn source(key: &str) -> Arc<Source> {
    Arc::new(Source::new(key, key, Distribution::Rectangular))
}

const FIGURES: [(f64, f64); 6] = [
    (2.2, 0.2),
    (0.9, 0.1),
    (1.08, 0.05),
    (0.2, 0.03),
    (2.4, 0.1),
    (0.7, 0.08),
];

/// Invented contour of an invented series, limits as half-widths.
pub fn contour(series: &str) -> Contour {
    let figure = |which: ContourFigure| {
        let (value, half_width) = FIGURES[which as usize];
        Estimate::rectangular(
            value,
            half_width,
            source(&format!("{series}/{}", which.name())),
        )
    };
    Contour::new(
        ContourFigure::ALL.map(figure),
        Some(Estimate::rectangular(3.7, 0.2, source("throat"))),
    )
}

pub fn stated(method: &Method, value: f64, half_width: f64, key: &str) -> Stated {
    Stated {
        method: method.clone(),
        estimate: Estimate::rectangular(value, half_width, source(key)),
        given: format!("{value}").into(),
        source: "invented".into(),
    }
}

pub fn piece(rim: Stated, cup: Option<Stated>, contour: Option<Contour>) -> Piece {
    Piece::new(
        [Some(rim), cup].into_iter().flatten().collect(),
        contour,
        &[],
    )
}

const RIMS: [&str; 4] = [
    "rim at the crest",
    "rim at a tangent",
    "rim at the seam",
    "rim at a depth at 1.2 mm",
];
const CUPS: [&str; 5] = [
    "depth at the centre",
    "depth at the centre from seam",
    "depth by the section across inner edge",
    "depth by the area from seam across seam",
    "depth by the area across crest",
];

fn value(piece: &Piece, method: &Method) -> f64 {
    piece.carry(method).best().unwrap().estimate.value()
}

proptest! {
    #[test]
    fn there_and_home_again(size in 15.0..18.0f64, deep in 9.5..13.0f64) {
        let start = piece(stated(&rim(RIMS[1]), size, 0.05, "r"), Some(stated(&depth(CUPS[0]), deep, 0.05, "c")), Some(contour("s")));
        for to in RIMS {
            for cup in CUPS {
                let (to, cup) = (rim(to), depth(cup));
                let there = piece(
                    stated(&to, value(&start, &to), 0.05, "r"),
                    Some(stated(&cup, value(&start, &cup), 0.05, "c")),
                    Some(contour("s")),
                );
                prop_assert!((value(&there, &rim(RIMS[1])) - size).abs() < 1e-8);
                prop_assert!((value(&there, &depth(CUPS[0])) - deep).abs() < 1e-8);
            }
        }
    }

    #[test]
    fn larger_in_larger_out(size in 15.0..17.0f64, more in 0.001..1.0f64) {
        for from in RIMS {
            let at = |size: f64| piece(stated(&rim(from), size, 0.05, "r"), None, Some(contour("s")));
            for to in RIMS {
                prop_assert!(value(&at(size + more), &rim(to)) > value(&at(size), &rim(to)));
            }
        }
    }
}

/// JCGM 101: draw every input from its rectangle, solve, read, and compare the standard deviation with
/// the propagated u. 4,000 draws know a standard deviation to about 1.2 %.
#[test]
fn u_agrees_with_monte_carlo() {
    let (rim_method, cup_method) = (rim("rim at the seam"), depth(CUPS[3]));
    let start = |size: f64, deep: f64, throat: f64, figures: [f64; 6]| {
        let figures = figures.map(Estimate::exact);
        let exact = |method: &Method, value: f64| Stated {
            estimate: Estimate::exact(value),
            ..stated(method, value, 0.0, "x")
        };
        let contour = Contour::new(figures, Some(Estimate::exact(throat)));
        piece(
            exact(&rim_method, size),
            Some(exact(&cup_method, deep)),
            Some(contour),
        )
    };
    let whole = piece(
        stated(&rim_method, 16.2, 0.03, "r"),
        Some(stated(&cup_method, 6.5, 0.05, "c")),
        Some(contour("s")),
    );
    let mut seed = 20_261_125_u64;
    let mut uniform = move || {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (seed >> 11) as f64 / (1_u64 << 53) as f64 * 2.0 - 1.0
    };
    let asked = [
        rim("rim at a tangent"),
        rim("rim at the crest"),
        depth(CUPS[0]),
        depth(CUPS[2]),
    ];
    let mut draws = vec![Vec::new(); asked.len()];
    for _ in 0..4_000 {
        let figures = FIGURES.map(|(value, half)| value + half * uniform());
        let drawn = start(
            16.2 + 0.03 * uniform(),
            6.5 + 0.05 * uniform(),
            3.7 + 0.2 * uniform(),
            figures,
        );
        for (method, values) in asked.iter().zip(&mut draws) {
            values.push(value(&drawn, method));
        }
    }
    for (method, values) in asked.iter().zip(&draws) {
        let mean = values.iter().sum::<f64>() / values.len() as f64;
        let variance =
            values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (values.len() - 1) as f64;
        let u = whole.carry(method).best().unwrap().estimate.u();
        assert!(
            (variance.sqrt() / u - 1.0).abs() < 0.05,
            "{method}: Monte Carlo {} first order {u}",
            variance.sqrt()
        );
    }
}

fn offset(from: &str, to: &str, add: f64, half_width: f64, range: (f64, f64)) -> Arc<Declared> {
    Arc::new(Declared {
        from: rim(from),
        to: rim(to),
        offset: Estimate::rectangular(add, half_width, source("declared")),
        range,
        source: "invented leaflet".into(),
    })
}

/// A trial moves what each route gives by what its own contributions say, but for the bends of the
/// metal, which are small beside u.
#[test]
fn a_trial_goes_along_the_same_route() {
    let sure = offset(
        "rim at the seam",
        "rim at a tangent",
        1.0,
        0.1,
        (15.0, 17.0),
    );
    let whole = Piece::new(
        vec![
            stated(&rim("rim at the seam"), 16.2, 0.03, "r"),
            stated(&depth(CUPS[3]), 6.5, 0.05, "c"),
        ],
        Some(contour("s")),
        &[sure],
    );
    let mut seen = 0;
    for method in [rim(RIMS[1]), rim(RIMS[2]), rim(RIMS[0]), depth(CUPS[0])] {
        for measured in whole.by_every_route(&method) {
            for trial in 0..20 {
                seen += 1;
                let draw = Draw::new(7, trial);
                let there = whole.drawn(&draw).along(&measured).unwrap();
                let moved = there.estimate.value() - measured.estimate.value();
                let first_order = measured.estimate.drawn(&draw) - measured.estimate.value();
                let apart = (moved - first_order).abs() / measured.estimate.u();
                assert!(apart < 0.2, "{}: {apart}", measured.route);
            }
        }
    }
    assert!(seen > 120, "{seen} trials");
}

#[test]
fn the_surest_route_is_taken() {
    let at_seam = || stated(&rim("rim at the seam"), 16.2, 0.03, "r");
    let by_contour = Piece::new(vec![at_seam()], Some(contour("s")), &[]);
    let carried = by_contour.carry(&rim("rim at a tangent"));
    let contour_u = carried.best().unwrap().estimate.u();
    assert_eq!(carried.best().unwrap().route.kind, RouteKind::Contour);

    let sure = offset(
        "rim at the seam",
        "rim at a tangent",
        1.0,
        0.01,
        (15.0, 17.0),
    );
    let piece = Piece::new(
        vec![at_seam()],
        Some(contour("s")),
        std::slice::from_ref(&sure),
    );
    let Carried::By(best, others) = piece.carry(&rim("rim at a tangent")) else {
        panic!("there are two routes")
    };
    assert_eq!(best.route.kind, RouteKind::Declared);
    assert!((best.estimate.value() - 17.2).abs() < 1e-12);
    assert!(best.estimate.u() < contour_u);
    assert_eq!(
        others[0].route.kind,
        RouteKind::Contour,
        "what lost is kept"
    );

    let vague = offset(
        "rim at the seam",
        "rim at a tangent",
        1.0,
        2.0,
        (15.0, 17.0),
    );
    let piece = Piece::new(vec![at_seam()], Some(contour("s")), &[vague]);
    let best = piece
        .carry(&rim("rim at a tangent"))
        .best()
        .cloned()
        .unwrap();
    assert_eq!(
        best.route.kind,
        RouteKind::Contour,
        "a worse route never changes the answer"
    );
    assert!((best.estimate.u() - contour_u).abs() < 1e-15);

    let home = Piece::new(
        vec![stated(&rim("rim at a tangent"), 17.2, 0.03, "r")],
        None,
        &[sure],
    );
    let back = home.carry(&rim("rim at the seam")).best().cloned().unwrap();
    assert!(
        (back.estimate.value() - 16.2).abs() < 1e-12,
        "an offset is taken in both directions"
    );
}

#[test]
fn a_declared_offset_leads_further_by_contour() {
    let sure = offset(
        "rim at the seam",
        "rim at a tangent",
        1.0,
        0.001,
        (15.0, 17.0),
    );
    let piece = Piece::new(
        vec![stated(&rim("rim at the seam"), 16.2, 0.001, "r")],
        Some(contour("s")),
        &[sure],
    );
    let Carried::By(best, others) = piece.carry(&rim("rim at the crest")) else {
        panic!("there are routes")
    };
    assert!(
        best.route.to_string().contains("declared offset"),
        "{}",
        best.route
    );
    assert!(
        others
            .iter()
            .all(|other| other.estimate.u() >= best.estimate.u())
    );
}

#[test]
fn outside_its_range_an_offset_is_not_taken() {
    let sure = offset(
        "rim at the seam",
        "rim at a tangent",
        1.0,
        0.01,
        (17.0, 18.0),
    );
    let piece = Piece::new(
        vec![stated(&rim("rim at the seam"), 16.2, 0.03, "r")],
        None,
        &[sure],
    );
    let Carried::CannotBeCompared(why) = piece.carry(&rim("rim at a tangent")) else {
        panic!("no route leads there")
    };
    assert!(
        why.to_string().contains(
            "the declared offset holds only from 17.00 to 18.00 mm, and its contour is not known"
        ),
        "{why}"
    );
}

/// 16.6 and 1/2 of what lies between 15.3 and 16.6 are no floats: sums of them miss the end.
#[test]
fn the_ends_of_its_range_belong_to_an_offset() {
    let (low, high) = (15.95 - 0.65, 15.95 + 0.65);
    let sure = offset(
        "rim at the seam",
        "rim at a tangent",
        0.44,
        0.06,
        (low, high),
    );
    for (by, end) in [(0, 15.3), (0, 16.6), (1, 15.3 + 0.44), (1, 16.6 + 0.44)] {
        let methods = ["rim at the seam", "rim at a tangent"].map(rim);
        for (off, taken) in [(0.0, true), (1e-5, false)] {
            let value = if end < 16.0 { end - off } else { end + off };
            let piece = Piece::new(
                vec![stated(&methods[by], value, 0.03, "r")],
                None,
                std::slice::from_ref(&sure),
            );
            let carried = piece.carry(&methods[1 - by]);
            assert_eq!(
                carried.best().is_some(),
                taken,
                "{value} by {}",
                methods[by]
            );
        }
    }
}

#[test]
fn without_a_contour_only_the_stated_figure_is_known() {
    let piece = piece(stated(&rim("rim at the seam"), 16.2, 0.03, "r"), None, None);
    assert_eq!(
        piece
            .carry(&rim("rim at the seam"))
            .best()
            .unwrap()
            .route
            .kind,
        RouteKind::Stated
    );
    assert!(piece.carry(&rim("rim at the crest")).best().is_none());
    let Carried::CannotBeCompared(why) = piece.carry(&depth(CUPS[0])) else {
        panic!("no cup is stated")
    };
    assert_eq!(why, "it states no cup depth");
}

#[test]
fn a_generic_class_is_named_in_the_route() {
    let class = Class {
        name: "test".into(),
        source: "invented".into(),
        says: String::new(),
        figures: FIGURES,
        throat: (3.7, 0.2),
    };
    let contour = Contour::new(
        ContourFigure::ALL.map(|which| class.figure(which, "s")),
        Some(class.throat("s")),
    );
    let piece = piece(
        stated(&rim("rim at the seam"), 16.2, 0.03, "r"),
        None,
        Some(contour),
    );
    assert_eq!(
        piece
            .carry(&rim("rim at the crest"))
            .best()
            .unwrap()
            .route
            .kind,
        RouteKind::Generic
    );
}

#[test]
fn one_series_shares_the_doubt_of_its_contour() {
    let of = |series: &str, size: f64, key: &str| {
        piece(
            stated(&rim("rim at the seam"), size, 0.03, key),
            None,
            Some(contour(series)),
        )
    };
    let edge = |piece: &Piece| {
        piece
            .carry(&rim("rim at a tangent"))
            .best()
            .unwrap()
            .estimate
            .clone()
    };
    let (one, two, other) = (of("s", 16.2, "a"), of("s", 16.5, "b"), of("t", 16.5, "b"));
    let same_series = edge(&two).minus(&edge(&one)).u();
    let other_series = edge(&other).minus(&edge(&one)).u();
    let turning = 0.03 / 3f64.sqrt() * 2f64.sqrt();
    assert!(
        (same_series - turning).abs() < 1e-9,
        "only the turning of each is left: {same_series}"
    );
    assert!(other_series > 2.0 * same_series);
}

#[test]
fn figures_that_no_metal_gives_are_not_solved() {
    let shallow = stated(&depth(CUPS[0]), 1.0, 0.1, "c");
    let piece = piece(
        stated(&rim("rim at the seam"), 16.2, 0.03, "r"),
        Some(shallow),
        Some(contour("s")),
    );
    assert!(piece.profile().is_none());
    assert!(
        piece
            .unsolved()
            .unwrap()
            .to_string()
            .contains("above the seam"),
        "{:?}",
        piece.unsolved()
    );
}
