//! Traces: a piece's own measured points.
//!
//! Proves:
//! 1. a trace through a cone reads what the cone's closed forms say, by every method, also
//!    where a mark cuts a piece;
//! 2. the cubic goes through its points and keeps to the shape between them;
//! 3. derivatives by points and marks are those of the readings; a gauge shared by all points
//!    adds up, their own doubts do not;
//! 4. points that contradict each other are named with their figures, and noise within its
//!    doubt is not;
//! 5. what the points do not reach cannot be read, and each mark is known by itself;
//! 6. for another piece of the name its own doubt comes in, as if its points had moved;
//! 7. a text is read with its units, and refused with line and column;
//! 8. a piece's own trace is a route, and stands before the others of equal doubt.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};
use std::sync::Arc;

use counterbore::method::{
    Across, AtTheCounter, Functional, Method, MethodRow, Parameters, Quantity,
};
use counterbore::profile::{
    Gauge, MOST_KEPT, Number, Section, Tangent, Trace, TraceFigures, TracePoint, points_of,
};
use counterbore::route::{Carried, Piece, RouteKind, Stated};
use counterbore::uncertainty::{Distribution, Draw, Estimate, Expanded, Source};
use counterbore::unit::Spread;
use proptest::prelude::*;

use crate::case_file::assert_near;

struct Reading(Functional, Parameters);

impl Gauge for Reading {
    fn read<D: Number>(&self, section: &Section<D>) -> Option<D> {
        self.0.read(&self.1, section)
    }

    fn bounds(&self, narrow: &Section<f64>, wide: &Section<f64>) -> Option<(f64, f64)> {
        self.0.bounds(&self.1, narrow, wide)
    }

    fn tangent(&self) -> Option<Tangent> {
        self.0.tangent(&self.1)
    }
}

fn points(of: &[(f64, f64)], u: f64) -> Vec<TracePoint> {
    of.iter()
        .map(|&(depth, diameter)| TracePoint { depth, diameter, u })
        .collect()
}

fn figures(of: &[(f64, f64)], marks: [Option<(f64, f64)>; 4]) -> TraceFigures {
    TraceFigures {
        key: "t".into(),
        points: points(of, 0.01),
        gauge_u: 0.02,
        depth_u: 0.0,
        marks: marks.map(|mark| mark.map(|(depth, u)| (depth, Spread::Standard { u }))),
        source: "invented".into(),
    }
}

/// A cone from 18 mm to 4 mm over 14 mm, a throat of 5 mm, a cone to 9 mm over 50 mm.
fn cone() -> Trace {
    let points = [
        (0.0, 18.0),
        (3.0, 15.0),
        (9.0, 9.0),
        (14.0, 4.0),
        (19.0, 4.0),
        (44.0, 6.5),
        (69.0, 9.0),
    ];
    let marks = [2.5, 14.0, 19.0, 69.0].map(|depth| Some((depth, 0.05)));
    Trace::new(figures(&points, marks)).unwrap()
}

fn seam() -> Parameters {
    Parameters {
        across: Some(Across::Seam),
        from: counterbore::method::From::Seam,
        diameter_mm: Some(8.0),
        at_mm: Some(4.0),
        ..Parameters::default()
    }
}

fn value(trace: &Trace, functional: Functional, parameters: Parameters) -> f64 {
    trace
        .read(&Reading(functional, parameters))
        .unwrap()
        .value()
}

#[test]
fn a_cone_reads_as_a_cone() {
    let trace = cone();
    let at = |functional| value(&trace, functional, seam());
    let frustum = |r1: f64, r2: f64, length: f64| PI * length * (r1 * r1 + r1 * r2 + r2 * r2) / 3.0;
    assert_near(at(Functional::RimAtCrest), 18.0, 1e-12);
    assert_near(at(Functional::RimAtDepth), 14.0, 1e-12);
    assert_near(at(Functional::DepthAtCentre), 11.5, 1e-12);
    let disc = Parameters {
        diameter_mm: Some(12.0),
        ..seam()
    };
    assert_near(value(&trace, Functional::DepthAtDiameter, disc), 3.5, 1e-9);
    // Straight but for the last piece, whose slope is held to the throat's.
    let whole = Parameters {
        from: counterbore::method::From::Crest,
        ..seam()
    };
    let above = trace.numbers(Estimate::value);
    let straight: f64 = above.curves()[..3].iter().map(|curve| curve.square()).sum();
    assert_near(PI * straight, frustum(9.0, 4.5, 9.0), 1e-9);
    assert!(value(&trace, Functional::Volume, whole) > frustum(9.0, 4.5, 9.0));
    assert_near(at(Functional::RimAtSeam), 15.5, 1e-9);
    assert_near(at(Functional::Throat), 4.0, 1e-12);
    assert_near(at(Functional::ThroatLength), 5.0, 1e-12);
    assert_near(at(Functional::Exit), 9.0, 1e-12);
    assert_near(at(Functional::BackboreLength), 50.0, 1e-12);
    assert_near(at(Functional::PlugDepth), 10.0, 1e-9);
}

/// A paraboloid r² = 4 (20 − z) on many points: its area and volume to the 1e-4 that the cubic
/// is good for, so that no factor is lost.
#[test]
fn a_paraboloid_reads_as_a_paraboloid() {
    let radius = |z: f64| 2.0 * (20.0 - z).sqrt();
    let of: Vec<(f64, f64)> = (0..=64)
        .map(|place| f64::from(place) * 0.25)
        .map(|z| (z, 2.0 * radius(z)))
        .collect();
    let marks = [Some((2.0, 0.0)), Some((16.0, 0.0)), None, None];
    let trace = Trace::new(figures(&of, marks)).unwrap();
    let crest = Parameters {
        from: counterbore::method::From::Crest,
        ..seam()
    };
    let volume = PI * (80.0 * 16.0 - 2.0 * 16.0 * 16.0);
    assert_near(value(&trace, Functional::Volume, crest) / volume, 1.0, 1e-5);
    let area = 4.0 / 3.0 * (20f64.powf(1.5) - 8.0);
    let mean = area / radius(2.0);
    assert_near(
        value(&trace, Functional::DepthBySection, crest) / mean,
        1.0,
        1e-5,
    );
}

/// A rim's arc of radius 2 mm read at 45° from ever fewer of its points: what is stated holds the
/// truth all the same, or nothing is stated. Many points add their own noise to a tangent; below ten
/// what lies between them outweighs it.
#[test]
fn few_points_are_less_sure() {
    let arc = |z: f64| 2.0 * (11.0 - (4.0 - (2.0 - z) * (2.0 - z)).sqrt());
    let truth = 2.0 * (11.0 - 2.0 * 45_f64.to_radians().cos());
    let edge = Reading(
        Functional::RimAtTangent,
        Parameters {
            angle_deg: 45.0,
            ..seam()
        },
    );
    let mut u = Vec::new();
    for points in [40, 20, 10, 7, 5] {
        let of: Vec<(f64, f64)> = (0..points)
            .map(|place| 0.05 + 1.95 * f64::from(place) / f64::from(points - 1))
            .map(|z| (z, arc(z)))
            .collect();
        let trace = Trace::new(figures(&of, [None; 4])).unwrap();
        let Some(read) = trace.read(&edge) else {
            continue;
        };
        let off = (read.value() - truth).abs();
        assert!(off < 2.0 * read.u(), "{points} points: {off} {}", read.u());
        u.push(read.u());
    }
    assert!(u.len() == 5 && u[2..].is_sorted(), "{u:?}");
}

/// A rim that is an arc of radius 2 mm, traced at every 0.05 mm below its crest.
#[test]
fn the_inner_edge_is_where_the_tangent_turns() {
    let of: Vec<(f64, f64)> = (1..=40)
        .map(|place| f64::from(place) * 0.05)
        .map(|z| (z, 2.0 * (11.0 - (4.0 - (2.0 - z) * (2.0 - z)).sqrt())))
        .collect();
    let trace = Trace::new(figures(&of, [None; 4])).unwrap();
    for angle in [20.0f64, 30.0, 45.0, 60.0] {
        let edge = Parameters {
            angle_deg: angle,
            ..seam()
        };
        let expected = 2.0 * (11.0 - 2.0 * angle.to_radians().cos());
        assert_near(
            value(&trace, Functional::RimAtTangent, edge),
            expected,
            0.005,
        );
    }
    let steep = Parameters {
        angle_deg: 89.0,
        ..seam()
    };
    let above = trace.read(&Reading(Functional::RimAtTangent, steep));
    assert!(above.is_none(), "above the first point nothing is known");
}

/// Two arcs and a wall, in closed form: from the crest plane an arc of radius `crest` to the angle `join` with the axis, then one of
/// radius `edge` to the angle `wall`, then the wall. On an arc from the angle a to b the radius falls by R (cos b − cos a)
/// over the depth R (sin a − sin b).
fn rim_by_arcs([crest, edge, join, wall]: [f64; 4], at_45: f64, depth: f64) -> f64 {
    let fall = |radius: f64, from: f64, to: f64| radius * (to.cos() - from.cos());
    let top = FRAC_PI_2;
    let first = at_45 / 2.0 + fall(crest, top, join) + fall(edge, join, FRAC_PI_4);
    let (ends, next) = (crest * (1.0 - join.sin()), edge * (join.sin() - wall.sin()));
    let radius = if depth <= ends {
        first - fall(crest, top, (1.0 - depth / crest).asin())
    } else if depth <= ends + next {
        let angle = (join.sin() - (depth - ends) / edge).asin();
        first - fall(crest, top, join) - fall(edge, join, angle)
    } else {
        let below = first - fall(crest, top, join) - fall(edge, join, wall);
        below - (depth - ends - next) * wall.tan()
    };
    2.0 * radius
}

proptest! {
    /// However far apart the points about the edge are, the interval holds the tangent's true diameter.
    #[test]
    fn points_far_apart_about_the_edge_are_no_surer_for_it(
        crest in 1.6..2.4_f64, edge in 0.4..1.0_f64, join in 55.0..70.0_f64, wall in 3.0..7.0_f64, step in 0.1..0.7_f64,
    ) {
        let form = [crest, edge, join.to_radians(), wall.to_radians()];
        let rim = (0..=(2.0 / step) as usize).map(|place| place as f64 * step);
        let mut of: Vec<(f64, f64)> = rim.map(|depth| (depth, rim_by_arcs(form, 16.5, depth))).collect();
        of.extend([(3.0, 15.0), (6.0, 13.0), (9.0, 9.0), (11.5, 3.66), (15.5, 3.66)]);
        let marks = [2.0, 11.5, 15.5].map(|depth| Some((depth, 0.03)));
        let trace = Trace::new(figures(&of, [marks[0], marks[1], marks[2], None])).unwrap();
        let parameters = Parameters { angle_deg: 45.0, ..seam() };
        let read = trace.read(&Reading(Functional::RimAtTangent, parameters)).unwrap();
        let expanded = Expanded::from(&read).expanded;
        prop_assert!((read.value() - 16.5).abs() <= expanded, "{} ± {expanded}", read.value());
    }
}

/// The bore falls slowly, then steeply, then slowly: convex nowhere about the place where its tangent turns.
#[test]
fn a_tangent_where_no_rim_is_convex_is_not_told() {
    let of = [
        (0.0, 18.0),
        (0.5, 17.9),
        (1.0, 16.0),
        (1.5, 15.9),
        (2.0, 14.0),
        (6.0, 10.0),
        (10.0, 4.0),
    ];
    let trace = Trace::new(figures(&of, [None; 4])).unwrap();
    let edge = Reading(
        Functional::RimAtTangent,
        Parameters {
            angle_deg: 45.0,
            ..seam()
        },
    );
    assert!(trace.read(&edge).is_none_or(|read| read.u().is_finite()));
    assert!(trace.read(&edge).is_none());
}

fn falling() -> impl Strategy<Value = Vec<(f64, f64)>> {
    prop::collection::vec((0.2..2.0f64, 0.05..1.5f64), 6..14).prop_map(|steps| {
        let mut at = (0.0, 30.0);
        let mut points = vec![at];
        for (down, narrower) in steps {
            at = (at.0 + down, at.1 - narrower);
            points.push(at);
        }
        points
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn the_cubic_keeps_to_the_shape(points in falling(), share in 0.0..1.0f64) {
        let trace = Trace::new(figures(&points, [None; 4])).unwrap();
        let section = trace.numbers(Estimate::value);
        for pair in points.windows(2) {
            let z = pair[0].0 + share * (pair[1].0 - pair[0].0);
            let d = 2.0 * section.radius_at(z).unwrap();
            prop_assert!(pair[1].1 - 1e-9 <= d && d <= pair[0].1 + 1e-9);
            let home = section.depth_at_radius(d / 2.0);
            prop_assert!(home.is_none_or(|home| (home - z).abs() < 1e-6), "{home:?} {z}");
        }
        for (z, d) in points {
            prop_assert!((2.0 * section.radius_at(z).unwrap() - d).abs() < 1e-12);
        }
    }

    #[test]
    fn derivatives_are_those_of_the_readings(points in falling()) {
        let depth = |share: f64| points.last().unwrap().0 * share;
        let marks = [Some((depth(0.31), 0.03)), Some((depth(0.97), 0.03)), None, None];
        let trace = Trace::new(figures(&points, marks)).unwrap();
        let parameters = Parameters { diameter_mm: Some(0.5 * (points[3].1 + points[4].1)), ..seam() };
        for functional in [Functional::Volume, Functional::DepthBySection, Functional::DepthAtDiameter, Functional::DepthAtCentre, Functional::RimAtSeam] {
            let reading = Reading(functional, parameters);
            let estimate = trace.read(&reading).unwrap();
            let mut variance = 0.0;
            let mut all = 0.0;
            let step = 1e-4;
            let moved = |which: usize, by: f64| {
                let mut place = 0;
                let section = trace.numbers(|one| {
                    place += 1;
                    one.value() + if place - 1 == which { by } else { 0.0 }
                });
                reading.read(&section).unwrap()
            };
            let slope = |which: usize| (moved(which, step) - moved(which, -step)) / (2.0 * step);
            for which in 0..points.len() {
                variance += (slope(which) * 0.01).powi(2);
                all += slope(which) * 0.02;
            }
            for which in points.len()..points.len() + 2 {
                variance += (slope(which) * 0.03).powi(2);
            }
            let u = (variance + all * all).sqrt();
            let stated = estimate.parts().iter().filter(|part| !part.source.key().ends_with("/between"));
            let stated = stated.map(|part| part.contribution * part.contribution).sum::<f64>().sqrt();
            prop_assert!((stated - u).abs() < 1e-4 * u, "{functional:?}: {stated} {u}");
        }
    }

    #[test]
    fn whatever_is_typed_is_answered(text in ".{0,40}", cells in "[0-9., \\-]{0,30}") {
        let _ = points_of(&text, 0.01);
        let _ = points_of(&format!("depth [mm],diameter [mm]\n{cells}"), 0.01);
    }
}

fn refused(of: &[(f64, f64)], marks: [Option<(f64, f64)>; 4]) -> Vec<String> {
    let faults = Trace::new(figures(of, marks)).unwrap_err();
    faults.iter().map(ToString::to_string).collect()
}

#[test]
fn points_that_contradict_each_other_are_named() {
    let none = [None; 4];
    assert_eq!(
        refused(&[(0.0, 18.0), (1.0, 16.0), (1.0, 16.1), (2.0, 15.0)], none),
        ["16 mm across at 1 mm and 16.1 mm across at 1 mm: they may differ by 0.047 mm (k = 3.3)"]
    );
    assert_eq!(
        refused(&[(0.0, 18.0), (1.0, 16.0), (2.0, 16.2), (3.0, 15.0)], none),
        ["16 mm across at 1 mm and 16.2 mm across at 2 mm: they may differ by 0.047 mm (k = 3.3)"]
    );
    let noisy = [
        (0.0, 18.0),
        (1.0, 16.0),
        (1.0, 16.02),
        (2.0, 16.03),
        (3.0, 15.0),
    ];
    let trace = Trace::new(figures(&noisy, none)).unwrap();
    let at_one = trace.points().nth(1).unwrap();
    assert_near(at_one.1.value(), 16.01, 1e-12);
    assert_near(
        at_one.1.u(),
        (0.02f64.powi(2) + 0.01f64.powi(2) / 2.0).sqrt(),
        1e-12,
    );
    // A backbore opens, and a seam may step outward.
    let step = [
        (0.0, 18.0),
        (2.0, 16.0),
        (2.5, 16.4),
        (9.0, 4.0),
        (20.0, 6.0),
    ];
    let marks = [Some((2.2, 0.1)), Some((9.0, 0.1)), None, None];
    assert!(Trace::new(figures(&step, marks)).is_ok());
    assert_eq!(refused(&step, none).len(), 2);
}

#[test]
fn what_cannot_be_is_refused() {
    let good = [(0.0, 18.0), (5.0, 12.0)];
    let none = [None; 4];
    assert_eq!(
        refused(&[(0.0, 18.0)], none),
        ["1 points; a trace has 2 to 20000"]
    );
    assert_eq!(
        refused(&[(0.0, 18.0), (-1.0, 12.0)], none),
        ["a depth of -1 mm; the crest plane is at 0 mm and depths go down"]
    );
    assert_eq!(
        refused(&[(0.0, 18.0), (1.0, 0.0)], none),
        ["a diameter of 0 mm; expected more than zero"]
    );
    assert!(refused(&[(0.0, 18.0), (1.0, f64::NAN)], none)[0].contains("NaN"));
    assert!(refused(&[(0.0, 18.0), (f64::INFINITY, 12.0)], none)[0].contains("inf"));
    let deep = [Some((7.0, 0.1)), None, None, None];
    assert_eq!(
        refused(&good, deep),
        ["a seam at 7 mm; the points reach from 0 mm to 5 mm"]
    );
    let closed = [None, Some((0.0, 0.1)), None, None];
    assert_eq!(
        refused(&good, closed),
        ["a throat at 0 mm; the points reach from 0 mm to 5 mm"]
    );
    let crossed = [Some((3.0, 0.1)), Some((2.0, 0.1)), None, None];
    assert_eq!(
        refused(&good, crossed),
        ["a throat at 2 mm, not below the seam at 3 mm"]
    );
}

#[test]
fn what_the_points_do_not_reach_cannot_be_read() {
    let read = |trace: &Trace, functional| trace.read(&Reading(functional, seam())).is_some();
    let rim = Trace::new(figures(&[(0.4, 17.0), (2.0, 16.0)], [None; 4])).unwrap();
    for functional in [
        Functional::RimAtCrest,
        Functional::RimAtSeam,
        Functional::RimAtDepth,
        Functional::DepthAtCentre,
        Functional::Volume,
        Functional::Throat,
        Functional::MeanBore,
        Functional::RimOuter,
        Functional::EdgeRadius,
    ] {
        assert!(!read(&rim, functional), "{functional:?}");
    }
    let marks = [Some((1.0, 0.1)), Some((2.0, 0.1)), None, None];
    let points = [(0.4, 17.0), (0.9, 16.7), (1.5, 16.3), (2.0, 16.0)];
    let below = Trace::new(figures(&points, marks)).unwrap();
    assert!(
        read(&below, Functional::Volume),
        "from the seam all is known"
    );
    let crest = Parameters {
        from: counterbore::method::From::Crest,
        ..seam()
    };
    assert!(below.read(&Reading(Functional::Volume, crest)).is_none());
}

#[test]
fn points_that_say_a_cylinder_tell_the_throat() {
    let points = [
        (0.0, 18.0),
        (3.0, 15.0),
        (6.0, 11.0),
        (9.0, 6.0),
        (11.0, 3.66),
        (12.0, 3.66),
        (13.0, 3.66),
    ];
    for (throat, doubt) in [(11.2, 0.1), (11.0, 0.1), (10.9, 0.3)] {
        let marks = [
            Some((1.8, 0.05)),
            Some((throat, doubt)),
            Some((13.0, 0.1)),
            None,
        ];
        let trace = Trace::new(figures(&points, marks)).unwrap();
        let read = trace.read(&Reading(Functional::Throat, seam())).unwrap();
        assert_near(read.value(), 3.66, 1e-12);
        // The doubt of the point that tells it and of nothing above.
        assert!(read.u() < 0.03, "{} at {throat}", read.u());
    }
    let one = [
        (0.0, 18.0),
        (6.0, 11.0),
        (9.0, 6.0),
        (11.0, 3.66),
        (13.0, 4.2),
    ];
    let marks = [None, Some((10.0, 0.1)), Some((12.0, 0.1)), None];
    let narrow = Trace::new(figures(&one, marks)).unwrap();
    let read = narrow.read(&Reading(Functional::Throat, seam())).unwrap();
    assert_near(read.value(), 3.66, 1e-12);
    assert!(
        read.u() > 0.3,
        "what one point tells is not held by another: {}",
        read.u()
    );
}

#[test]
fn each_mark_is_known_by_itself() {
    let points = [(0.0, 18.0), (5.0, 10.0), (9.0, 4.0), (14.0, 4.0)];
    let marks = [None, Some((9.0, 0.1)), None, None];
    let throat_only = Trace::new(figures(&points, marks)).unwrap();
    let crest = Parameters {
        from: counterbore::method::From::Crest,
        ..seam()
    };
    assert_near(
        value(&throat_only, Functional::DepthAtCentre, crest),
        9.0,
        1e-12,
    );
    assert_near(value(&throat_only, Functional::Throat, crest), 4.0, 1e-12);
    let rim = throat_only.read(&Reading(Functional::RimAtSeam, crest));
    assert!(rim.is_none(), "no seam is known");
    let exit = [None, None, None, Some((14.0, 0.1))];
    let exit_only = [(0.0, 18.0), (5.0, 10.0), (14.0, 4.0)];
    let exit_only = Trace::new(figures(&exit_only, exit)).unwrap();
    assert_near(value(&exit_only, Functional::Exit, crest), 4.0, 1e-12);
    assert!(
        exit_only
            .read(&Reading(Functional::Throat, crest))
            .is_none()
    );
}

/// Another piece of the name, wider by `wide` and deeper by `deep`, made of moved points.
fn moved(of: &[(f64, f64)], (top, bottom): (f64, f64), wide: f64, deep: f64) -> Trace {
    let down = |z: f64| z + deep * ((z - top) / (bottom - top)).clamp(0.0, 1.0);
    let points: Vec<(f64, f64)> = of.iter().map(|&(z, d)| (down(z), d + wide)).collect();
    let marks = [Some((top, 0.0)), Some((down(bottom), 0.0)), None, None];
    Trace::new(figures(&points, marks)).unwrap()
}

#[test]
fn another_piece_of_the_name_has_the_doubt_of_its_own_figures() {
    let of: Vec<(f64, f64)> = (0..=23)
        .map(|place| f64::from(place) * 0.5)
        .map(|z| (z, 18.0 - 0.9 * z - 0.02 * z * z))
        .collect();
    let ends = (2.5, 11.5);
    let doubt = |key: &str, u: f64| {
        let source = Source::new(key, key, Distribution::Normal);
        Estimate::new(0.0, u, Arc::new(source))
    };
    let specimen = moved(&of, ends, 0.0, 0.0);
    let other = specimen.for_another(&doubt("wide", 0.03), &doubt("deep", 0.06));
    let whole = Parameters {
        from: counterbore::method::From::Crest,
        ..seam()
    };
    for (functional, tolerance) in [
        (Functional::RimAtSeam, 1e-6),
        (Functional::DepthAtCentre, 1e-6),
        (Functional::Throat, 1e-3),
        (Functional::Volume, 0.05),
        (Functional::DepthBySection, 1e-3),
    ] {
        let reading = Reading(functional, whole);
        let (one, found) = (
            specimen.read(&reading).unwrap(),
            other.read(&reading).unwrap(),
        );
        assert_eq!(one.value(), found.value());
        let part = |key: &str| {
            let mut parts = found.parts().iter();
            parts
                .find(|part| part.source.key() == key)
                .map_or(0.0, |part| part.contribution)
        };
        let slope = |wide: f64, deep: f64| {
            let at = |sign: f64| {
                moved(&of, ends, sign * wide, sign * deep)
                    .read(&reading)
                    .unwrap()
                    .value()
            };
            (at(1.0) - at(-1.0)) / 2.0
        };
        assert_near(part("wide"), slope(0.03, 0.0), tolerance);
        assert_near(part("deep"), slope(0.0, 0.06), tolerance);
    }
}

#[test]
fn a_text_is_read_with_its_units() {
    let text = "# invented\ndiameter [in], depth [mm] ,u [um]\n0.64,0,10\n\n 0.60 , 2.5, 20\n";
    let found = points_of(text, 0.5).unwrap();
    assert_eq!(
        found,
        [
            TracePoint {
                depth: 0.0,
                diameter: 16.256,
                u: 0.01
            },
            TracePoint {
                depth: 2.5,
                diameter: 15.24,
                u: 0.02
            },
        ]
    );
    assert_eq!(
        points_of("depth [mm],diameter [mm]\n1,16\n", 0.5).unwrap()[0].u,
        0.5
    );
    let faults = |text: &str| -> Vec<String> {
        points_of(text, 0.01)
            .unwrap_err()
            .iter()
            .map(ToString::to_string)
            .collect()
    };
    assert_eq!(faults(""), ["1:1: nothing is in it"]);
    assert_eq!(
        faults("depth,diameter [mm]\n"),
        ["1:1: `depth` states no unit"]
    );
    assert_eq!(
        faults("depth [mm], diameter [deg]\n"),
        ["1:13: `diameter [deg]` is no length"]
    );
    assert_eq!(
        faults("depth [mm],width [mm]\n"),
        ["1:12: no column is called `width`; there are `depth`, `diameter`, `u`"]
    );
    assert_eq!(faults("depth [mm]\n"), ["1:1: no column `diameter`"]);
    let body = faults("depth [mm],diameter [mm]\n0,18\n1, x\n2\n");
    assert!(body[0].starts_with("3:4: "), "{body:?}");
    assert_eq!(body[1], "4:1: 1 cells; the first line names 2");
}

fn method(functional: Functional, name: &str) -> Method {
    let row = MethodRow {
        quantity: Quantity::RimInnerDiameter,
        name: name.into(),
        functional,
        says: String::new(),
        neutral: false,
        reading: None,
        source: "test".into(),
        defaults: seam(),
        at_the_counter: AtTheCounter::default(),
    };
    Method {
        parameters: row.defaults,
        row: Arc::new(row),
    }
}

#[test]
fn a_trace_of_its_own_is_a_route() {
    let stated = |u: f64| Stated {
        method: method(Functional::RimAtSeam, "seam"),
        estimate: Estimate::new(
            15.6,
            u,
            Arc::new(Source::new("s", "s", Distribution::Normal)),
        ),
        given: "15.6".into(),
        source: "invented".into(),
    };
    let piece = |u: f64| Piece::new(vec![stated(u)], None, &[]).with_trace(Arc::new(cone()));
    let carried = |u: f64| {
        let Carried::By(best, others) = piece(u).carry(&method(Functional::RimAtSeam, "seam"))
        else {
            panic!("there are two routes")
        };
        (best, others)
    };
    let (best, others) = carried(0.5);
    assert_eq!(best.route.kind, RouteKind::Traced);
    assert_near(best.estimate.value(), 15.5, 1e-9);
    assert_eq!(others[0].route.kind, RouteKind::Stated, "what lost is kept");
    assert_eq!(
        carried(0.001).0.route.kind,
        RouteKind::Stated,
        "the surest is taken"
    );
    assert!(RouteKind::Traced < RouteKind::Stated);
    let crest = piece(0.5)
        .carry(&method(Functional::RimAtCrest, "crest"))
        .best()
        .cloned()
        .unwrap();
    assert_eq!(
        crest.route.to_string(),
        "rim inner diameter by crest on its own trace"
    );
}

/// A cone of 1 in 2 with an arc at its rim, as an optical trace has it: thousands of points with noise.
fn optical(count: usize, noise: f64) -> Vec<TracePoint> {
    let shape = |z: f64| match z < 1.0 {
        true => 2.0 * (9.0 - (1.0 - (1.0 - z) * (1.0 - z)).sqrt()),
        false => 16.0 - (z - 1.0),
    };
    let error = |place: usize| {
        let key = format!("point {place}");
        Draw::new(5, 0).of(&Source::new(key, "", Distribution::Normal))
    };
    (0..count)
        .map(|place| {
            let depth = 12.0 * place as f64 / (count - 1) as f64;
            let diameter = shape(depth) + noise * error(place);
            TracePoint {
                depth,
                diameter,
                u: noise,
            }
        })
        .collect()
}

#[test]
fn an_optical_trace_of_thousands_of_points_is_thinned_and_stays_true() {
    let noise = 0.004;
    let trace = |count: usize| {
        let figures = TraceFigures {
            points: optical(count, noise),
            ..figures(&[], [Some((1.5, 0.02)), Some((11.9, 0.02)), None, None])
        };
        Trace::new(figures).unwrap()
    };
    let fine = trace(8_000);
    let kept: Vec<(f64, f64)> = fine
        .points()
        .map(|(depth, one)| (depth, one.value()))
        .collect();
    assert!(
        (MOST_KEPT / 2..=MOST_KEPT + 1).contains(&kept.len()),
        "{}",
        kept.len()
    );
    assert_eq!(
        (kept[0].0, kept[kept.len() - 1].0),
        (0.0, 12.0),
        "the ends stay"
    );
    let steps = kept
        .windows(2)
        .map(|pair| (pair[1].0 - pair[0].0).hypot(0.5 * (pair[1].1 - pair[0].1)));
    assert!(steps.fold(0.0, f64::max) < 0.1, "evenly along the metal");
    let start = std::time::Instant::now();
    let whole = Parameters {
        from: counterbore::method::From::Crest,
        ..seam()
    };
    // By hand: the area of the cone below the arc, and the arc's, over the mouth's radius.
    let arc = 9.0 - PI / 4.0;
    let cone = 0.5 * (8.0 + (8.0 - 0.5 * 10.9)) * 10.9;
    let mouth = 8.0 - 0.25;
    let read = fine
        .read(&Reading(Functional::DepthBySection, whole))
        .unwrap();
    let off = (read.value() - (arc + cone) / mouth).abs();
    assert!(
        off < 2.5 * read.u() && read.u() < 0.05,
        "{off} {}",
        read.u()
    );
    assert!(start.elapsed().as_secs() < 20);
    assert!(
        Trace::new(TraceFigures {
            points: optical(20_001, noise),
            ..figures(&[], [None; 4])
        })
        .is_err()
    );
}

/// A long cylinder that is traced by a thousand points with honest noise contradicts nothing; one point
/// that is off by ten u does.
#[test]
fn many_noisy_points_are_no_contradiction() {
    let mut points: Vec<TracePoint> = optical(1_000, 0.004);
    points.iter_mut().enumerate().for_each(|(place, point)| {
        let own = 12.0 * place as f64 / 999.0;
        point.diameter += own.max(1.0) - 17.0 + 4.0;
    });
    points.retain(|point| point.depth > 1.0);
    let trace = |points: &[TracePoint]| {
        Trace::new(TraceFigures {
            points: points.to_vec(),
            ..figures(&[], [None; 4])
        })
    };
    trace(&points).unwrap();
    points[500].diameter += 0.04;
    let faults = trace(&points).unwrap_err();
    assert!(faults[0].to_string().contains("(k = 4."), "{}", faults[0]);
}

/// On a cone that narrows by 1 mm a millimetre, a depth that is off by 0.03 mm puts a diameter off by as much;
/// on a cylinder it does nothing.
#[test]
fn the_doubt_of_a_depth_enters_by_the_slope() {
    let trace = |of: &[(f64, f64)], depth_u: f64| {
        let figures = TraceFigures {
            gauge_u: 0.0,
            depth_u,
            ..figures(of, [None; 4])
        };
        Trace::new(figures).unwrap()
    };
    let cone = [(0.0, 18.0), (4.0, 14.0), (8.0, 10.0), (12.0, 6.0)];
    for (depth, one) in trace(&cone, 0.03).points() {
        assert_near(one.u(), 0.01_f64.hypot(0.03), 1e-12);
        assert!(depth <= 12.0);
    }
    let straight = [(0.0, 4.0), (4.0, 4.0), (8.0, 4.0)];
    assert!(
        trace(&straight, 0.03)
            .points()
            .all(|(_, one)| one.u() == 0.01)
    );
    let refused = TraceFigures {
        depth_u: -1.0,
        ..figures(&cone, [None; 4])
    };
    assert_eq!(
        Trace::new(refused).unwrap_err()[0].to_string(),
        "a standard uncertainty of -1 mm; expected zero or more, and less than the points reach, 12 mm"
    );
}

#[test]
fn a_doubt_that_cannot_be_is_refused_with_its_limit() {
    let cone = [(0.0, 18.0), (4.0, 14.0), (8.0, 10.0), (12.0, 6.0)];
    let seam = |u: f64| [Some((2.0, u)), None, None, None];
    let good = || figures(&cone, seam(0.05));
    let with_u = |u: f64| TraceFigures {
        points: points(&cone, u),
        ..good()
    };
    for (refused, says) in [
        (
            with_u(0.0),
            "a standard uncertainty of 0 mm; expected more than zero",
        ),
        (with_u(6.5), "less than the diameter, 6 mm"),
        (
            TraceFigures {
                gauge_u: 1000.0,
                ..good()
            },
            "a standard uncertainty of 1000 mm; expected zero or more, and less than the narrowest diameter, 6 mm",
        ),
        (
            TraceFigures {
                gauge_u: f64::NAN,
                ..good()
            },
            "a standard uncertainty of NaN mm",
        ),
        (
            TraceFigures {
                depth_u: 12.0,
                ..good()
            },
            "less than the points reach, 12 mm",
        ),
        (
            figures(&cone, seam(15.0)),
            "expected u less than the points reach, 12 mm",
        ),
    ] {
        let faults = Trace::new(refused).unwrap_err();
        assert!(
            faults[0].to_string().contains(says),
            "{says}: {}",
            faults[0]
        );
    }
    assert!(Trace::new(good()).is_ok());
}

/// Between two points of a bore that narrows the diameter lies between theirs, whatever half the points make of it.
#[test]
fn what_lies_between_points_is_held_by_their_diameters() {
    let of = [
        (0.0, 18.0),
        (1.0, 16.3),
        (2.0, 16.2),
        (9.0, 9.0),
        (12.0, 4.0),
    ];
    let trace = Trace::new(figures(&of, [None, Some((12.0, 0.1)), None, None])).unwrap();
    let at = |depth: f64| Parameters {
        at_mm: Some(depth),
        ..Parameters::default()
    };
    let between = |functional: Functional, parameters: Parameters| {
        let read = trace.read(&Reading(functional, parameters)).unwrap();
        let mut parts = read.parts().iter();
        let part = parts.find(|part| part.source.key() == "t/between");
        (
            read.value(),
            part.map_or(0.0, |part| part.contribution.abs() * 3_f64.sqrt()),
        )
    };
    let (value, off) = between(Functional::RimAtDepth, at(1.5));
    assert!((16.2..=16.3).contains(&value), "{value}");
    assert!(
        off <= 0.1 + 1e-9,
        "{off}: the points above and below are 0.1 mm apart"
    );
    // By hand: the sums of the narrower and of the wider cylinders between the points.
    let cylinders = |of: fn(f64, f64) -> f64| -> f64 {
        let slices = of_pairs(&[
            (0.0, 18.0),
            (1.0, 16.3),
            (2.0, 16.2),
            (9.0, 9.0),
            (12.0, 4.0),
        ]);
        slices
            .map(|(length, one, other)| PI / 4.0 * length * of(one, other).powi(2))
            .sum()
    };
    let (volume, off) = between(Functional::Volume, Parameters::default());
    let (low, high) = (cylinders(f64::min), cylinders(f64::max));
    assert!(
        off <= (volume - low).max(high - volume) * 1.001,
        "{off} {low} {volume} {high}"
    );
    let two = figures(&[(0.0, 18.0), (2.0, 16.0)], [None; 4]);
    let two = Trace::new(two).unwrap();
    let read = two.read(&Reading(Functional::RimAtDepth, at(0.5))).unwrap();
    assert!(
        read.u() < 2.0 / 3_f64.sqrt() + 0.05,
        "two points hold it too"
    );
}

/// The distance and the diameters of each two points that follow each other.
fn of_pairs(of: &[(f64, f64)]) -> impl Iterator<Item = (f64, f64, f64)> + '_ {
    of.windows(2)
        .map(|pair| (pair[1].0 - pair[0].0, pair[0].1, pair[1].1))
}

#[test]
fn a_mark_is_spread_as_it_is_stated() {
    let points = [
        (0.0, 18.0),
        (2.0, 16.0),
        (5.0, 12.0),
        (9.0, 4.0),
        (14.0, 4.0),
    ];
    for (spread, distribution) in [
        (
            Spread::Limits { half_width: 0.1 },
            Distribution::Rectangular,
        ),
        (Spread::Standard { u: 0.1 }, Distribution::Normal),
    ] {
        let marks = [None, Some((9.0, spread)), None, None];
        let trace = Trace::new(TraceFigures {
            marks,
            ..figures(&points, [None; 4])
        })
        .unwrap();
        let crest = Parameters {
            from: counterbore::method::From::Crest,
            ..seam()
        };
        let depth = trace
            .read(&Reading(Functional::DepthAtCentre, crest))
            .unwrap();
        let source = &depth.parts()[0].source;
        assert_eq!((source.distribution(), source.unit()), (distribution, "mm"));
        assert_near(depth.u(), spread.standard_uncertainty(), 1e-12);
    }
}
