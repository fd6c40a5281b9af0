//! Sections of known shape against the closed forms of mensuration.
//!
//! Proves:
//! 1. arcs, lines and cups give areas, volumes and radii to 1e-9 relative, beside published
//!    closed forms (`cases/geometry.json` names the source);
//! 2. each method of cup depth reads what its definition says on such shapes;
//! 3. derivatives agree with differences of the readings themselves;
//! 4. facts of the trade hold on every possible metal: edge above seam, mean below centre
//!    (common practice, no source);
//! 5. metal that cannot be is refused with the figures that clash;
//! 6. backbore, shank and cushion have the closed forms of frusta, paraboloids, tapers and
//!    quarter circles;
//! 7. depth and diameter are each other's inverse;
//! 8. a rim on another's underpart keeps its own figures, and what does not meet is a step.

use std::f64::consts::{FRAC_PI_2, PI};

use counterbore::method::{Across, Functional, Parameters};
use counterbore::profile::{
    Beyond, ContourFigure, Curve, Known, Profile, Section, Shank, Shape, figure,
};
use counterbore::uncertainty::Estimate;
use proptest::prelude::*;
use serde_json::Value;

const RELATIVE: f64 = 1e-9;

fn near(found: f64, expected: f64, what: &str) {
    assert!(
        (found - expected).abs() <= RELATIVE * expected.abs(),
        "{what}: {found} is not {expected}"
    );
}

fn cases(shape: &str) -> Vec<(Value, Value)> {
    let all: Value = serde_json::from_str(include_str!("cases/geometry.json")).unwrap();
    let rows = all["shapes"][shape].as_array().unwrap();
    assert!(!rows.is_empty());
    rows.iter()
        .map(|row| (row["in"].clone(), row["out"].clone()))
        .collect()
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap()
}

/// A bowl of one curve, its mouth at z = 0 being crest and seam at once.
fn bowl(radius: f64, curve: Curve<f64>) -> Section<f64> {
    Section::new(radius, vec![curve], 0)
}

/// A spherical bowl of mouth radius a and depth h: the tangent turns to a right angle at the bottom.
fn cap(a: f64, h: f64) -> Curve<f64> {
    let sphere = (a * a + h * h) / (2.0 * h);
    Curve::Arc {
        centre: 0.0,
        rho: -sphere,
        from: ((sphere - h) / sphere).asin(),
        to: FRAC_PI_2,
        z: 0.0,
    }
}

fn read(functional: Functional, section: &Section<f64>) -> f64 {
    let parameters = Parameters {
        across: Some(Across::Crest),
        ..Parameters::default()
    };
    functional.read(&parameters, section).unwrap()
}

fn check_means(section: &Section<f64>, out: &Value, what: &str) {
    near(
        read(Functional::Volume, section),
        number(out, "volume"),
        what,
    );
    near(
        read(Functional::DepthByArea, section),
        number(out, "mean_height_by_area"),
        what,
    );
    near(
        read(Functional::DepthBySection, section),
        number(out, "mean_height_along_diameter"),
        what,
    );
}

#[test]
fn spherical_caps() {
    for (given, out) in cases("spherical_cap") {
        let (a, h) = (number(&given, "a"), number(&given, "h"));
        let section = bowl(a, cap(a, h));
        check_means(&section, &out, "spherical cap");
        near(
            read(Functional::DepthAtCentre, &section),
            h,
            "depth of a cap",
        );
    }
}

#[test]
fn radii_in_a_spherical_bowl() {
    for (given, out) in cases("spherical_cap_radius_at_depth") {
        let (a, h) = (number(&given, "a"), number(&given, "h"));
        let found = bowl(a, cap(a, h)).radius_at(number(&given, "d")).unwrap();
        near(found, number(&out, "radius"), "radius in a bowl");
    }
}

#[test]
fn a_cap_cut_by_its_throat() {
    for (given, out) in cases("cap_cut_by_throat") {
        let (a, h, throat) = (
            number(&given, "a"),
            number(&given, "h"),
            number(&given, "rt"),
        );
        let sphere = (a * a + h * h) / (2.0 * h);
        let Curve::Arc {
            centre,
            rho,
            from,
            z,
            ..
        } = cap(a, h)
        else {
            panic!("a cap is an arc")
        };
        let section = bowl(
            a,
            Curve::Arc {
                centre,
                rho,
                from,
                to: (throat / sphere).acos(),
                z,
            },
        );
        near(
            read(Functional::DepthAtCentre, &section),
            number(&out, "depth_to_throat"),
            "cut cap",
        );
        near(
            read(Functional::Volume, &section),
            number(&out, "volume"),
            "cut cap",
        );
    }
}

#[test]
fn spherical_zones() {
    for (given, out) in cases("spherical_zone") {
        let (a, b, h) = (
            number(&given, "a"),
            number(&given, "b"),
            number(&given, "h"),
        );
        let centre_depth = (h * h + b * b - a * a) / (2.0 * h);
        let sphere = a.hypot(centre_depth);
        let angle = |z: f64| ((z - centre_depth) / sphere).asin();
        let zone = Curve::Arc {
            centre: 0.0,
            rho: -sphere,
            from: angle(0.0),
            to: angle(h),
            z: 0.0,
        };
        near(
            read(Functional::Volume, &bowl(a, zone)),
            number(&out, "volume"),
            "zone",
        );
    }
}

#[test]
fn cones_and_half_ellipsoids() {
    for (given, out) in cases("cone_frustum") {
        let (r1, r2, length) = (
            number(&given, "r1"),
            number(&given, "r2"),
            number(&given, "L"),
        );
        for curve in [
            Curve::Line {
                from: (r1, 0.0),
                to: (r2, length),
            },
            Curve::Cup {
                from: (r1, 0.0),
                to: (r2, length),
                form: 0.0,
            },
        ] {
            near(
                read(Functional::Volume, &bowl(r1, curve)),
                number(&out, "volume"),
                "frustum",
            );
        }
    }
    for (given, out) in cases("half_ellipsoid") {
        let (a, h) = (number(&given, "a"), number(&given, "h"));
        check_means(
            &bowl(
                a,
                Curve::Cup {
                    from: (a, 0.0),
                    to: (0.0, h),
                    form: 1.0,
                },
            ),
            &out,
            "half ellipsoid",
        );
    }
    for (given, out) in cases("cone_bowl") {
        let (a, h) = (number(&given, "a"), number(&given, "h"));
        check_means(
            &bowl(
                a,
                Curve::Cup {
                    from: (a, 0.0),
                    to: (0.0, h),
                    form: 0.0,
                },
            ),
            &out,
            "cone bowl",
        );
    }
}

#[test]
fn a_rounded_entry_and_a_rounded_edge() {
    for (given, out) in cases("bellmouth_entry") {
        let (throat, rho) = (number(&given, "rt"), number(&given, "rho"));
        let entry = Curve::Arc {
            centre: throat + rho,
            rho,
            from: FRAC_PI_2,
            to: 0.0,
            z: 0.0,
        };
        near(
            read(Functional::Volume, &bowl(throat + rho, entry)),
            number(&out, "volume"),
            "rounded entry",
        );
    }
    for (given, out) in cases("rounded_edge_diameter_at_depth") {
        let (inner, rho, depth) = (
            number(&given, "Di"),
            number(&given, "rho"),
            number(&given, "d"),
        );
        let edge = Curve::Arc {
            centre: inner / 2.0 + rho,
            rho,
            from: FRAC_PI_2,
            to: 0.0,
            z: 0.0,
        };
        let section = Section::new(inner / 2.0 + rho, vec![edge], 1);
        near(
            2.0 * section.radius_at(depth).unwrap(),
            number(&out, "diameter"),
            "rounded edge",
        );
    }
}

fn backbore(from: f64, to: f64, length: f64, power: f64) -> Beyond<f64> {
    Beyond {
        backbore: vec![Curve::Power {
            from: (from, 0.0),
            to: (to, length),
            power,
        }],
        ..Beyond::default()
    }
}

#[test]
fn backbores() {
    for (given, out) in cases("cone_frustum") {
        let [r1, r2, length] = ["r1", "r2", "L"].map(|key| number(&given, key));
        let cone = backbore(r2.min(r1), r1.max(r2), length, 1.0);
        let expected = number(&out, "mean_radius_equal_volume");
        near(cone.equivalent_bore().unwrap(), 2.0 * expected, "a cone");
        near(cone.mean_bore().unwrap(), r1 + r2, "a cone's mean");
    }
    for (given, out) in cases("paraboloid") {
        let (a, h) = (number(&given, "a"), number(&given, "h"));
        let bore = backbore(0.0, a, h, 0.5);
        let volume = bore.equivalent_bore().unwrap().powi(2) * PI / 4.0 * h;
        near(volume, number(&out, "volume"), "a paraboloid");
        let mean = number(&out, "mean_height_along_diameter") * a / h * 2.0;
        near(bore.mean_bore().unwrap(), mean, "a paraboloid's mean");
        near(
            bore.plug_depth(a / 2.0).unwrap(),
            0.75 * h,
            "a plug of half the width",
        );
    }
}

#[test]
fn shanks() {
    for (given, out) in cases("taper_position") {
        let [large, small, length, gauge] = ["Dl", "Ds", "L", "dg"].map(|key| number(&given, key));
        let shank = Shank {
            end_radius: small / 2.0,
            growth: (large - small) / length,
            length: Some(length),
        };
        let from_end = length - number(&out, "position");
        near(shank.diameter_at(from_end).unwrap(), gauge, "a taper");
        near(
            shank.insertion(gauge, 1e-3).unwrap(),
            from_end,
            "touching at the mouth",
        );
        near(
            shank.insertion(gauge, 0.2).unwrap(),
            (gauge - small) / 0.2,
            "touching at the shank's end",
        );
        assert_eq!(shank.diameter_at(length * 1.01), None, "past the shank");
        assert_eq!(shank.insertion(small * 0.99, 0.05), None, "does not enter");
        assert_eq!(shank.insertion(large * 1.01, 1e-3), None, "does not hold");
    }
}

const FORM: [f64; 9] = [9.6, 11.4, 1.85, 2.2, 0.9, 1.08, 0.2, 2.4, 0.7];

#[test]
fn a_cushion_is_as_wide_as_its_two_roundings() {
    let mut shape = Shape::rim_and_cup(FORM);
    for (place, value) in [(figure::RIM_OUTER, 13.6), (figure::FLAT, 1.0)] {
        shape.figures[place] = value;
        shape.known = shape.known.with(place);
    }
    let parameters = Parameters {
        at_mm: Some(0.2),
        ..Parameters::default()
    };
    let width = Functional::CushionAtDepth.read(&parameters, &shape.section());
    // Inward the crest's arc of 2.2 mm, outward one of 13.6 − 9.6 − 1.0 = 3.0 mm.
    let chord = |rho: f64| (rho * rho - (rho - 0.2) * (rho - 0.2)).sqrt();
    near(width.unwrap(), 1.0 + chord(2.2) + chord(3.0), "a cushion");
    let width = |sides: u8| {
        let across = Some(Across::Crest);
        let parameters = Parameters {
            across,
            sides,
            ..parameters
        };
        Functional::RimWidth
            .read(&parameters, &shape.section())
            .unwrap()
    };
    near(width(1), 4.0, "one side");
    near(width(2), 8.0, "both sides");
}

fn profile(nine: [f64; 9]) -> Profile {
    let figures =
        std::array::from_fn(|place| Estimate::exact(nine.get(place).copied().unwrap_or_default()));
    Profile::new(figures, true, Known::default()).unwrap()
}

#[test]
fn a_rim_on_another_underpart() {
    let rim = profile(FORM);
    let same = rim.on(&rim).unwrap();
    near(
        same.shape().section().volume(false).unwrap(),
        rim.shape().section().volume(false).unwrap(),
        "on its own",
    );
    let mut other = FORM;
    (other[0], other[1], other[7], other[8]) = (9.9, 12.0, 2.9, 0.3);
    let under = profile(other);
    let whole = rim.on(&under).unwrap();
    let section = whole.shape().section();
    near(section.crest_radius(), 9.6, "the rim's crest");
    near(
        section.throat_depth().unwrap(),
        2.4 + 12.0 - 2.9,
        "seam on seam",
    );
    near(
        section.volume(true).unwrap(),
        under.shape().section().volume(true).unwrap(),
        "the cup",
    );
    let (end, seam) = section.seam().unwrap();
    let mouth = under.shape().section().seam_radius();
    near(end, rim.shape().section().seam_radius(), "the rim's end");
    near(end + whole.shape().figures[figure::STEP], mouth, "the step");
    let narrow = under.on(&rim).unwrap();
    let ledge = narrow.shape().section();
    let (end, seam_of_ledge) = ledge.seam().unwrap();
    assert!(narrow.shape().figures[figure::STEP] < 0.0);
    let between = 0.5 * (end + rim.shape().section().seam_radius());
    near(
        ledge.depth_at_radius(between).unwrap(),
        seam_of_ledge,
        "a disc lies on the ledge",
    );
    assert!(
        section.depth_at_radius(0.5 * (end + mouth)).unwrap() < seam,
        "an undercut catches nothing"
    );
    let mut shallow = rim.shape().figures;
    shallow[figure::DEPTH] = 0.0;
    let rim_only = Profile::new(shallow.map(Estimate::exact), false, Known::default()).unwrap();
    assert_eq!(
        rim.on(&rim_only).unwrap_err().to_string(),
        "the cup of the underpart is not known"
    );
}

fn shape() -> impl Strategy<Value = Shape> {
    let rim = (
        7.0..17.0f64,
        1.0..3.5f64,
        0.4..1.5f64,
        52.0..70.0f64,
        4.0..22.0f64,
    );
    let cup = (0.2..3.0f64, 3.0..20.0f64, 1.5..4.0f64, 0.0..1.0f64);
    (rim, cup).prop_map(
        |((inner, crest, edge, join, wall), (below, depth, throat, form))| {
            let (join, wall) = (join * PI / 180.0, wall * PI / 180.0);
            let end = crest * (1.0 - join.sin()) + edge * (join.sin() - wall.sin());
            let mut figures = [0.0; figure::BEYOND];
            figures[figure::CREST_RADIUS] = inner + crest;
            figures[figure::DEPTH] = end + below + depth;
            figures[figure::THROAT_RADIUS] = throat;
            for (which, value) in
                ContourFigure::ALL
                    .into_iter()
                    .zip([crest, edge, join, wall, end + below, form])
            {
                figures[figure::CONTOUR + which as usize] = value;
            }
            Shape::rim_and_cup(figures)
        },
    )
}

struct Reading(Functional, Parameters);

impl counterbore::profile::Gauge for Reading {
    fn read<D: counterbore::profile::Number>(&self, section: &Section<D>) -> Option<D> {
        self.0.read(&self.1, section)
    }
}

/// The same with every figure beyond rim and cup known.
fn whole() -> impl Strategy<Value = Shape> {
    let bore = (
        -0.2..0.3f64,
        0.0..10.0f64,
        1.1..2.5f64,
        30.0..70.0f64,
        0.4..2.5f64,
    );
    let outside = (
        2.0..6.0f64,
        0.0..1.5f64,
        4.2..6.0f64,
        0.02..0.07f64,
        18.0..30.0f64,
    );
    (shape(), bore, outside).prop_map(
        |(mut shape, (step, throat, exit, length, power), (width, flat, end, growth, shank))| {
            let crest = shape.figures[figure::CREST_RADIUS];
            let exit = shape.figures[figure::THROAT_RADIUS] * exit;
            let beyond = [
                (figure::STEP, step),
                (figure::THROAT_LENGTH, throat),
                (figure::EXIT_RADIUS, exit),
                (figure::BACKBORE_LENGTH, length),
                (figure::BACKBORE_POWER, power),
                (figure::RIM_OUTER, crest + flat + width),
                (figure::FLAT, flat),
                (figure::SHANK_END, exit + end),
                (figure::SHANK_GROWTH, growth),
                (figure::SHANK_LENGTH, shank),
            ];
            shape.known = shape.known.with(figure::THROAT_RADIUS);
            for (place, value) in beyond {
                shape.figures[place] = value;
                shape.known = shape.known.with(place);
            }
            shape
        },
    )
}

/// Every functional with every kind of parameter, as it suits a shape.
fn readings(shape: &Shape) -> Vec<Reading> {
    use counterbore::method::From::{Crest, Seam};
    let section = shape.section();
    let beyond = section.beyond();
    let (throat, exit) = (shape.figures[2], beyond.exit().unwrap());
    let end = 2.0 * shape.figures[figure::SHANK_END];
    let (seam, cup) = section.seam().unwrap();
    let cup_disc = 0.6 * throat + 0.4 * (seam + shape.figures[figure::STEP]);
    let plain = Parameters {
        at_mm: Some(0.3),
        diameter_mm: Some(throat + exit),
        distance_mm: Some(7.0),
        receiver_mm: Some(end + 0.3),
        narrows_mm: Some(0.5),
        sides: 2,
        across: Some(Across::InnerEdge),
        ..Parameters::default()
    };
    let mut all = Vec::new();
    for (functional, _, _) in Functional::ALL {
        let discs = [2.0 * cup_disc, 2.0 * section.radius_at(0.5 * cup).unwrap()];
        let more: Vec<Parameters> = match functional {
            Functional::AsStated => continue,
            Functional::DepthAtDiameter => [Crest, Seam]
                .into_iter()
                .flat_map(|from| {
                    discs.map(|disc| Parameters {
                        diameter_mm: Some(disc),
                        from,
                        ..plain
                    })
                })
                .collect(),
            _ => [Across::Crest, Across::InnerEdge, Across::Seam]
                .into_iter()
                .flat_map(|across| {
                    [Crest, Seam].map(|from| Parameters {
                        across: Some(across),
                        from,
                        ..plain
                    })
                })
                .collect(),
        };
        all.extend(
            more.into_iter()
                .map(|parameters| Reading(functional, parameters)),
        );
    }
    all
}

proptest! {
    #[test]
    fn derivatives_agree_with_differences(shape in whole()) {
        prop_assume!(shape.possible().is_ok());
        for reading in readings(&shape) {
            let (value, slopes) = shape.gradient(&reading).unwrap();
            for (place, slope) in slopes.into_iter().enumerate() {
                let step = 1e-6;
                let moved = |by: f64| {
                    let mut moved = shape;
                    moved.figures[place] += by;
                    moved.read(&reading).unwrap()
                };
                let difference = (moved(step) - moved(-step)) / (2.0 * step);
                let scale = slope.abs().max(value.abs()).max(1.0);
                prop_assert!((difference - slope).abs() < 1e-4 * scale, "{:?} by {place}: {slope} {difference}", reading.0);
            }
        }
    }

    #[test]
    fn depth_and_diameter_are_inverse(shape in whole(), share in 0.02..0.98f64) {
        prop_assume!(shape.possible().is_ok());
        let section = shape.section();
        let z = share * section.throat_depth().unwrap();
        let radius = section.radius_at(z).unwrap();
        let home = section.depth_at_radius(radius).unwrap();
        let (end, seam) = section.seam().unwrap();
        // What stands outside the rim's end below the seam no disc reaches.
        prop_assert!((home - z).abs() < 1e-8 || (z > seam && radius > end), "{z} {home}");
        let backbore = &section.beyond().backbore[0];
        let bore = backbore.radius(share * backbore.bottom());
        let plug = section.beyond().plug_depth(bore).unwrap();
        prop_assert!((plug - (1.0 - share) * backbore.bottom()).abs() < 1e-7);
    }

    #[test]
    fn facts_of_the_trade(shape in shape()) {
        prop_assume!(shape.possible().is_ok());
        let section = shape.section();
        let edge = section.radius_at_tangent(std::f64::consts::FRAC_PI_4).unwrap();
        prop_assert!(section.crest_radius() > edge);
        prop_assert!(edge > section.seam_radius(), "edge figure > seam figure on the same metal");
        let centre = read(Functional::DepthAtCentre, &section);
        prop_assert!(read(Functional::DepthBySection, &section) < centre, "mean depth < centre depth");
        prop_assert!(read(Functional::DepthByArea, &section) < read(Functional::DepthBySection, &section));
    }
}

#[test]
fn impossible_metal_is_refused_with_its_figures() {
    let good = [9.0, 11.0, 1.85, 2.2, 0.9, 1.08, 0.2, 2.4, 0.7];
    let fault = |place: usize, value: f64| {
        let mut figures = good;
        figures[place] = value;
        Shape::rim_and_cup(figures)
            .possible()
            .unwrap_err()
            .to_string()
    };
    assert!(Shape::rim_and_cup(good).possible().is_ok());
    assert_eq!(
        fault(figure::DEPTH, 2.0),
        "the throat at 2.00 mm lies above the seam at 2.40 mm"
    );
    assert!(fault(figure::THROAT_RADIUS, 9.0).starts_with("a throat of 18.00 mm in a cup of"));
    let seam = figure::CONTOUR + ContourFigure::Seam as usize;
    assert!(
        fault(seam, 0.1).starts_with("the seam at 0.10 mm lies above the end of the inner edge")
    );
    assert!(fault(figure::CREST_RADIUS, 0.5).starts_with("the rim closes"));
    assert!(fault(figure::DEPTH, f64::NAN).contains("NaN"));
}
