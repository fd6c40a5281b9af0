//! What every route keeps to, by every method of rim and cup.
//!
//! Proves, for contour, generic, declared, paired and traced routes alike:
//! 1. there and home again comes back to the value;
//! 2. larger in, larger out;
//! 3. units never matter: metal and gauges in another unit give the same, in that unit, u included;
//! 4. the order in which figures, corrections and points are told never matters.

use std::sync::Arc;

use counterbore::method::Method;
use counterbore::pairs::{Pair, fit};
use counterbore::profile::{
    Class, Contour, ContourFigure, Shape, Trace, TraceFigures, TracePoint, figure,
};
use counterbore::route::{Correction, Declared, Measured, Paired, Piece, RouteKind, Stated};
use counterbore::uncertainty::{Distribution, Estimate, Source};
use counterbore::unit::{Amount, Spread};
use proptest::prelude::*;

use crate::route::{depth, rim, stated};

/// Contour figures of an invented series with the half-widths of their limits; the first two and the fifth are lengths.
const FIGURES: [(f64, f64); 6] = [
    (2.2, 0.2),
    (0.9, 0.1),
    (1.08, 0.05),
    (0.2, 0.03),
    (2.4, 0.1),
    (0.7, 0.08),
];

const KINDS: [RouteKind; 4] = [
    RouteKind::Contour,
    RouteKind::Generic,
    RouteKind::Declared,
    RouteKind::Paired,
];

/// All methods in a unit that is so many millimetres: a gauge put at a depth is put there in it.
fn methods(unit: f64) -> (Vec<Method>, Vec<Method>) {
    let at = format!("rim at a depth at {:.3} mm", 1.2 * unit);
    let rims = [
        "rim at the crest",
        "rim at a tangent",
        "rim at the seam",
        &at,
    ];
    let cups = [
        "depth at the centre",
        "depth at the centre from seam",
        "depth by the section across inner edge",
        "depth by the area from seam across seam",
        "depth by the area across crest",
    ];
    (rims.map(rim).to_vec(), cups.map(depth).to_vec())
}

fn figures_in(unit: f64) -> [(f64, f64); 6] {
    std::array::from_fn(|place| {
        let (value, half_width) = FIGURES[place];
        let scale = if matches!(place, 0 | 1 | 4) {
            unit
        } else {
            1.0
        };
        (value * scale, half_width * scale)
    })
}

fn contour(kind: RouteKind, unit: f64) -> Option<Contour> {
    let figures = figures_in(unit);
    let class = Class {
        name: "invented".into(),
        source: "invented".into(),
        says: String::new(),
        figures,
        throat: (3.7 * unit, 0.2 * unit),
    };
    let own = |which: ContourFigure| {
        let (value, half_width) = figures[which as usize];
        let source = Source::new(which.name(), which.name(), Distribution::Rectangular);
        Estimate::rectangular(value, half_width, Arc::new(source))
    };
    let throat = Some(Estimate::exact(3.7 * unit));
    match kind {
        RouteKind::Contour => Some(Contour::new(ContourFigure::ALL.map(own), throat)),
        RouteKind::Generic => {
            let of_class = |which| class.figure(which, "invented");
            Some(Contour::new(ContourFigure::ALL.map(of_class), throat))
        }
        _ => None,
    }
}

/// How two methods differ on invented pieces: by something for each, and a little more on larger pieces.
fn corrections(kind: RouteKind, (from, to): (&Method, &Method), unit: f64) -> Vec<Correction> {
    let apart = 0.3 * unit;
    match kind {
        RouteKind::Declared => vec![Correction::Declared(Arc::new(Declared {
            from: from.clone(),
            to: to.clone(),
            offset: Estimate::rectangular(
                apart,
                0.1 * unit,
                Arc::new(Source::new("offset", "offset", Distribution::Rectangular)),
            ),
            range: (0.0, 100.0 * unit),
            source: "invented".into(),
        }))],
        RouteKind::Paired => {
            let pair = |place: usize| {
                let size = (2.0 + 1.5 * place as f64) * unit;
                let scatter = 0.01 * unit * [1.0, -1.0, 0.5, -0.5][place % 4];
                Pair {
                    first: size,
                    u_first: 0.02 * unit,
                    second: 1.02 * size + apart + scatter,
                    u_second: 0.02 * unit,
                }
            };
            let pairs: Vec<Pair> = (0..12).map(pair).collect();
            vec![Correction::paired(Paired {
                from: from.clone(),
                to: to.clone(),
                fit: fit(&pairs).unwrap(),
                key: "pairs".into(),
                source: "invented".into(),
            })]
        }
        _ => Vec::new(),
    }
}

/// What `to` reads on a piece of which `from` and `with` are stated, along that kind of route.
fn carried(
    kind: RouteKind,
    (from, to): (&Method, &Method),
    figures: &[Stated],
    unit: f64,
) -> Option<Estimate> {
    let piece = Piece::corrected(
        figures.to_vec(),
        contour(kind, unit),
        corrections(kind, (from, to), unit),
    );
    let routes = piece.by_every_route(to);
    let same = |one: &Measured| one.route.kind == kind;
    routes.into_iter().find(same).map(|one| one.estimate)
}

fn figure_of(method: &Method, value: f64, unit: f64) -> Stated {
    stated(method, value, 0.05 * unit, &method.quantity().to_string())
}

/// Every pair of methods of one quantity, with a method of the other to go with it and the sizes of both, mm.
fn every_pair(
    unit: f64,
    (size, deep): (f64, f64),
    mut check: impl FnMut((&Method, &Method), f64, Stated),
) {
    let (rims, cups) = methods(unit);
    let (rim, cup) = (
        figure_of(&rims[2], size * unit, unit),
        figure_of(&cups[0], deep * unit, unit),
    );
    for (methods, value, beside) in [(&rims, size, &cup), (&cups, deep, &rim)] {
        for from in methods {
            for to in methods.iter().filter(|to| *to != from) {
                check((from, to), value * unit, beside.clone());
            }
        }
    }
}

/// A mean depth of an ordinary cup is about half of its depth at the centre.
fn usual(method: &Method, value: f64) -> f64 {
    if method.row.name.contains("by the") {
        0.55 * value
    } else {
        value
    }
}

fn metal(size: f64, deep: f64, unit: f64) -> Shape {
    let mut nine = [0.0; figure::BEYOND];
    nine[..3].copy_from_slice(&[(size / 2.0 + 1.2) * unit, (deep + 2.4) * unit, 1.85 * unit]);
    for (place, (value, _)) in figures_in(unit).into_iter().enumerate() {
        nine[figure::CONTOUR + place] = value;
    }
    Shape::rim_and_cup(nine)
}

/// Points on that metal, in an order that is turned by `turn`.
fn traced(shape: &Shape, unit: f64, turn: usize) -> Trace {
    let section = shape.section();
    let (seam, throat) = (section.seam_depth(), section.throat_depth().unwrap());
    let depth = |place: usize| throat * (place as f64 / 60.0).powf(1.5);
    let point = |place: usize| TracePoint {
        depth: depth(place),
        diameter: 2.0 * section.radius_at(depth(place).min(throat)).unwrap(),
        u: 0.01 * unit,
    };
    let mut points: Vec<TracePoint> = (0..=60).map(point).collect();
    points.rotate_left(turn);
    let mark = |depth: f64| {
        Some((
            depth,
            Spread::Limits {
                half_width: 0.05 * unit,
            },
        ))
    };
    Trace::new(TraceFigures {
        key: "t".into(),
        points,
        gauge_u: 0.01 * unit,
        depth_u: 0.01 * unit,
        marks: [mark(seam), mark(0.999 * throat), None, None],
        source: "invented".into(),
    })
    .unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn there_and_home_again(size in 15.5..17.0f64, deep in 10.0..13.0f64) {
        let mut seen = 0;
        for kind in KINDS {
            every_pair(1.0, (size, deep), |(from, to), value, beside| {
                let value = usual(from, value);
                let start = [figure_of(from, value, 1.0), beside.clone()];
                let Some(there) = carried(kind, (from, to), &start, 1.0) else { return };
                let end = [figure_of(to, there.value(), 1.0), beside];
                // The correction is the one of the way there.
                let piece = Piece::corrected(end.to_vec(), contour(kind, 1.0), corrections(kind, (from, to), 1.0));
                let home = piece.by_every_route(from).into_iter().find(|one| one.route.kind == kind).unwrap();
                assert!((home.estimate.value() - value).abs() < 1e-7, "{kind:?} {from} {to}: {value}");
                seen += 1;
            });
        }
        prop_assert!(seen > 4 * 20, "{}", seen);
    }

    #[test]
    fn larger_in_larger_out(size in 15.5..17.0f64, deep in 10.0..13.0f64, more in 0.001..0.5f64) {
        for kind in KINDS {
            every_pair(1.0, (size, deep), |(from, to), value, beside| {
                let at = |value: f64| {
                    let figures = [figure_of(from, value, 1.0), beside.clone()];
                    carried(kind, (from, to), &figures, 1.0)
                };
                let value = usual(from, value);
                if let (Some(one), Some(other)) = (at(value), at(value + more)) {
                    assert!(other.value() > one.value(), "{kind:?} {from} {to}");
                }
            });
        }
        let (rims, cups) = methods(1.0);
        let [one, wider, deeper] = [(0.0, 0.0), (more, 0.0), (0.0, more)]
            .map(|(wide, down)| traced(&metal(size + wide, deep + down, 1.0), 1.0, 0));
        let read = |trace: &Trace, method: &Method| trace.read(method).unwrap().value();
        for method in &rims {
            prop_assert!(read(&wider, method) > read(&one, method), "{}", method);
        }
        for method in &cups {
            prop_assert!(read(&deeper, method) > read(&one, method), "{}", method);
        }
    }

    #[test]
    fn units_never_matter(size in 15.5..17.0f64, deep in 10.0..13.0f64, hundredths in 30..300u32) {
        let unit = f64::from(hundredths) / 100.0;
        let near = |one: f64, other: f64| (one / other - 1.0).abs() < 1e-6;
        for kind in KINDS {
            let of = |unit: f64| {
                let mut all = Vec::new();
                every_pair(unit, (size, deep), |(from, to), value, beside| {
                    let figures = [figure_of(from, usual(from, value), unit), beside];
                    let carried = carried(kind, (from, to), &figures, unit);
                    all.push(carried.map(|one| (one.value() / unit, one.u() / unit)));
                });
                all
            };
            for (one, other) in of(1.0).into_iter().zip(of(unit)) {
                let (Some(one), Some(other)) = (one, other) else {
                    prop_assert!(one.is_none() && other.is_none(), "{:?}", kind);
                    continue;
                };
                prop_assert!(near(one.0, other.0) && near(one.1, other.1), "{:?} {:?} {:?}", kind, one, other);
            }
        }
        let read = |unit: f64| {
            let trace = traced(&metal(size, deep, unit), unit, 0);
            let (rims, cups) = methods(unit);
            let methods = rims.into_iter().chain(cups);
            methods.map(|method| trace.read(&method).unwrap().scaled(1.0 / unit)).collect::<Vec<_>>()
        };
        for (one, other) in read(1.0).iter().zip(&read(unit)) {
            prop_assert!(near(one.value(), other.value()) && near(one.u(), other.u()));
        }
    }

    #[test]
    fn order_never_matters(size in 15.5..17.0f64, deep in 10.0..13.0f64, turn in 1..60usize) {
        for kind in KINDS {
            every_pair(1.0, (size, deep), |(from, to), value, beside| {
                let mut figures = vec![figure_of(from, usual(from, value), 1.0), beside];
                let one = carried(kind, (from, to), &figures, 1.0);
                figures.reverse();
                let other = carried(kind, (from, to), &figures, 1.0);
                assert_eq!(one.is_some(), other.is_some());
                if let (Some(one), Some(other)) = (one, other) {
                    assert!((one.value() - other.value()).abs() < 1e-9, "{kind:?} {from} {to}");
                    assert!((one.u() - other.u()).abs() < 1e-9, "{kind:?} {from} {to}");
                }
            });
        }
        let shape = metal(size, deep, 1.0);
        let (one, other) = (traced(&shape, 1.0, 0), traced(&shape, 1.0, turn));
        let (rims, cups) = methods(1.0);
        for method in rims.iter().chain(&cups) {
            let (one, other) = (one.read(method).unwrap(), other.read(method).unwrap());
            prop_assert_eq!(one.value(), other.value());
            prop_assert!((one.u() - other.u()).abs() < 1e-12);
        }
    }
}

#[test]
fn a_figure_is_the_same_in_any_unit_that_people_write() {
    let (rims, cups) = methods(1.0);
    for method in rims.iter().chain(&cups) {
        let figure = |text: &str| {
            let value = Amount::parse(text).unwrap().value;
            let beside = match rims.contains(method) {
                true => figure_of(&cups[0], 11.5, 1.0),
                false => figure_of(&rims[2], 16.2, 1.0),
            };
            let figures = vec![figure_of(method, value, 1.0), beside];
            let piece = Piece::new(figures, contour(RouteKind::Contour, 1.0), &[]);
            let others = rims.iter().chain(&cups);
            let read = others.map(|other| piece.carry(other).best().unwrap().estimate.value());
            read.collect::<Vec<f64>>()
        };
        let (inches, thou, millimetres) = match rims.contains(method) {
            true => ("0.64 in", "640 thou", "16.256 mm"),
            false => ("0.25 in", "250 thou", "6.35 mm"),
        };
        if rims.contains(method) || method.row.name.contains("by the") {
            assert_eq!(figure(inches), figure(millimetres), "{method}");
            assert_eq!(figure(thou), figure(millimetres), "{method}");
        }
    }
}
