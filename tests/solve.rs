//! The solver, where a piece states just enough and where it states more.
//!
//! Proves:
//! 1. more consistent figures change no value and shrink the doubt;
//! 2. contradicting figures are refused, and the odd one is named where that can be told;
//! 3. the order of the figures does not matter, nor their unit; A to B to A comes home;
//! 4. larger in, larger out, also where there are too many figures; whatever metal gives is
//!    solved for, and whatever is stated is given back or refused with a reason;
//! 5. the covariance of inputs counts: a shared gauge does not make two figures surer of each
//!    other;
//! 6. numbers and estimates go the same way, and sensitivities are those of the numbers;
//! 7. the tail of chi-square is that of published tables;
//! 8. backbore and shank are pinned by what pins them, and by nothing less;
//! 9. what cannot be is refused with the figure and the limit that it broke.

use std::sync::Arc;

use counterbore::method::{
    AtTheCounter, Functional, Method, MethodRow, Methods, Parameters, Quantity,
};
use counterbore::profile::{Contour, ContourFigure, Shape};
use counterbore::route::{Piece, Reading, Solved, Stated, pin, upper_tail};
use counterbore::uncertainty::{Distribution, Estimate, Source};
use proptest::prelude::*;

use crate::case_file::assert_near;

fn methods() -> Methods {
    let rows = Functional::ALL
        .iter()
        .flat_map(|(functional, name, quantities)| {
            quantities.iter().map(|&quantity| MethodRow {
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
        });
    Methods::new(rows.collect())
}

fn by(quantity: Quantity, text: &str) -> Method {
    methods().parse(quantity, text).unwrap()
}

fn of(key: &str, value: f64, u: f64) -> Estimate {
    let source = Source::new(key, key, Distribution::Normal);
    Estimate::new(value, u, Arc::new(source))
}

/// Invented: crest, edge, join, wall, seam, form, each with u.
const FORM: [(f64, f64); 6] = [
    (2.2, 0.12),
    (0.9, 0.06),
    (1.08, 0.03),
    (0.2, 0.02),
    (2.4, 0.06),
    (0.7, 0.05),
];

fn contour() -> Contour {
    let figures = ContourFigure::ALL.map(|which| {
        let (value, u) = FORM[which as usize];
        of(which.name(), value, u)
    });
    Contour::new(figures, Some(of("lent throat", 3.7, 0.1)))
}

/// The metal from which the tests take their figures.
fn metal() -> Shape {
    let [crest, edge, join, wall, seam, form] = FORM.map(|(value, _)| value);
    Shape::rim_and_cup([9.6, 11.4, 1.85, crest, edge, join, wall, seam, form])
}

fn read(quantity: Quantity, text: &str) -> (Method, f64) {
    let method = by(quantity, text);
    let value = metal().read(&method).unwrap();
    (method, value)
}

fn rims() -> [(Method, f64); 4] {
    [
        read(Quantity::RimInnerDiameter, "rim at a tangent"),
        read(Quantity::RimInnerDiameter, "rim at the seam"),
        read(Quantity::RimInnerDiameter, "rim at a depth at 1.5 mm"),
        read(Quantity::DiscDepth, "depth at a diameter diameter 16.6 mm"),
    ]
}

fn cups() -> [(Method, f64); 4] {
    [
        read(Quantity::CupDepth, "depth at the centre"),
        read(Quantity::CupVolume, "volume from seam"),
        read(Quantity::CupDepth, "depth by the section across seam"),
        read(Quantity::CupDepth, "depth at a diameter diameter 10 mm"),
    ]
}

/// Figures with a doubt each of its own; volumes doubt in proportion.
fn doubted(figures: &[(Method, f64)]) -> Vec<(Method, Estimate)> {
    let u = |value: f64| 0.02 * (value / 20.0).max(1.0);
    figures
        .iter()
        .map(|(method, value)| {
            let key = format!("{} {method}", method.quantity());
            (method.clone(), of(&key, *value, u(*value)))
        })
        .collect()
}

fn readings(figures: &[(Method, Estimate)]) -> Vec<Reading<'_>> {
    figures
        .iter()
        .map(|(method, value)| (method, value))
        .collect()
}

fn solved(figures: &[(Method, Estimate)]) -> Solved {
    pin(&readings(figures), &contour()).unwrap()
}

fn asked() -> Vec<Method> {
    rims()
        .into_iter()
        .chain(cups())
        .map(|(method, _)| method)
        .collect()
}

#[test]
fn more_figures_change_no_value_and_shrink_the_doubt() {
    let all = doubted(&[rims().to_vec(), cups().to_vec()].concat());
    let few = solved(&doubted(&[rims()[0].clone(), cups()[0].clone()]));
    assert!(few.consistency.is_none());
    let many = solved(&all);
    let consistency = many.consistency.as_ref().unwrap();
    assert_eq!(consistency.degrees_of_freedom, 6);
    assert!(consistency.chi_square < 1e-12 && consistency.agrees());
    for method in asked() {
        let (few, many) = (
            few.profile.read(&method).unwrap(),
            many.profile.read(&method).unwrap(),
        );
        assert_near(many.value(), few.value(), 1e-7);
        assert!(many.u() < few.u() + 1e-12, "{method}");
    }
}

#[test]
fn a_contradiction_is_refused_and_the_odd_one_named() {
    let mut figures = doubted(&[rims().to_vec(), cups().to_vec()].concat());
    figures[6].1 = figures[6].1.offset(0.6);
    let found = solved(&figures).consistency.unwrap();
    assert!(!found.agrees(), "{found:?}");
    assert_eq!(found.odd, [6], "{found:?}");
    let stated = |(method, estimate): &(Method, Estimate)| Stated {
        method: method.clone(),
        estimate: estimate.clone(),
        given: format!("{:.2} mm", estimate.value()).into(),
        source: "test".into(),
    };
    let piece = Piece::new(figures.iter().map(stated).collect(), Some(contour()), &[]);
    let why = piece.unsolved().unwrap().to_string();
    assert!(
        why.starts_with("its figures contradict one another (chi-square ")
            && why.contains("with 6 to spare, p = ")
            && why.contains("): the odd one is cup depth by depth by the section across seam, "),
        "{why}"
    );
    assert!(piece.profile().is_none());
}

#[test]
fn the_unit_of_a_figure_does_not_matter() {
    let method = rims()[0].0.clone();
    let in_unit = |text: &str| {
        let value = counterbore::unit::Amount::parse(text).unwrap().value;
        solved(&[(method.clone(), of("rim", value, 0.05))])
            .profile
            .shape()
            .figures
    };
    assert_eq!(in_unit("0.64 in"), in_unit("16.256 mm"));
    assert_eq!(in_unit("640 thou"), in_unit("16.256 mm"));
}

#[test]
fn with_one_figure_too_many_nobody_can_tell_which_is_wrong() {
    let [one, other, ..] = rims();
    let mut figures = doubted(&[one, other, cups()[0].clone()]);
    figures[1].1 = figures[1].1.offset(1.5);
    let found = solved(&figures).consistency.unwrap();
    assert!(!found.agrees());
    assert_eq!(found.odd, [0, 1], "the cup has no part in it");
}

#[test]
fn a_shared_gauge_does_not_make_figures_surer_of_each_other() {
    let (method, value) = rims()[0].clone();
    let twice = |first: &str, second: &str| {
        let figures = [
            (method.clone(), of(first, value, 0.05)),
            (method.clone(), of(second, value, 0.05)),
        ];
        solved(&figures).profile.read(&method).unwrap().u()
    };
    assert_near(twice("one", "another"), 0.05 / 2f64.sqrt(), 1e-6);
    assert_near(twice("caliper", "caliper"), 0.05, 1e-6);
}

/// Each figure and each figure of the contour moved by a hundredth of its u, and solved anew.
#[test]
fn doubt_is_what_moved_inputs_make() {
    let mut figures = doubted(&[rims().to_vec(), cups().to_vec()].concat());
    for (place, shift) in [0.01, -0.02, 0.015, -0.01, 0.02, 1.0, -0.01, 0.02]
        .iter()
        .enumerate()
    {
        figures[place].1 = figures[place].1.offset(*shift);
    }
    for count in [1, 4] {
        let figures = [&figures[..count], &figures[4..4 + count]].concat();
        let profile = pin(&readings(&figures), &contour()).unwrap().profile;
        for method in asked() {
            let at = |figures: &[_], contour: &Contour| {
                let solved = pin(&readings(figures), contour).unwrap().profile;
                solved.read(&method).unwrap().value()
            };
            let mut variance: f64 = 0.0;
            for place in 0..figures.len() {
                let by = |share: f64| {
                    let mut moved = figures.clone();
                    moved[place].1 = moved[place].1.offset(share * moved[place].1.u());
                    at(&moved, &contour())
                };
                variance += ((by(0.01) - by(-0.01)) / 0.02).powi(2);
            }
            for which in ContourFigure::ALL {
                let by = |share: f64| {
                    let figure = contour().figure(which).clone();
                    let moved = figure.offset(share * figure.u());
                    at(&figures, &contour().with(which, moved))
                };
                variance += ((by(0.01) - by(-0.01)) / 0.02).powi(2);
            }
            let throat = |share: f64| {
                let mut moved = contour();
                moved.throat = moved.throat.map(|one| one.offset(share * one.u()));
                at(&figures, &moved)
            };
            variance += ((throat(0.01) - throat(-0.01)) / 0.02).powi(2);
            // Exact where nothing is left over; where something is, its curvature is left out.
            let tolerance = if count == 1 { 1e-5 } else { 0.03 };
            let u = profile.read(&method).unwrap().u();
            assert_near(variance.sqrt() / u, 1.0, tolerance);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn order_does_not_matter(shifts in prop::array::uniform8(-1.0..1.0f64), turn in 0..8usize) {
        let mut figures = doubted(&[rims().to_vec(), cups().to_vec()].concat());
        for (figure, shift) in figures.iter_mut().zip(shifts) {
            figure.1 = figure.1.offset(shift * figure.1.u());
        }
        let one = solved(&figures);
        figures.rotate_left(turn);
        figures.swap(0, 5);
        let other = solved(&figures);
        for method in asked() {
            let (one, other) = (one.profile.read(&method).unwrap(), other.profile.read(&method).unwrap());
            prop_assert!((one.value() - other.value()).abs() < 1e-8 * one.value());
            prop_assert!((one.u() - other.u()).abs() < 1e-7 * one.u());
        }
        let chi_square = |solved: &Solved| solved.consistency.as_ref().unwrap().chi_square;
        prop_assert!((chi_square(&one) - chi_square(&other)).abs() < 1e-6 * (1.0 + chi_square(&one)));
    }

    #[test]
    fn gross_contradictions_are_never_agreed_with(by in 1.0..3.0f64, place in 0..8usize, up in any::<bool>()) {
        let mut figures = doubted(&[rims().to_vec(), cups().to_vec()].concat());
        // A volume leans on the form, which has room of its own: it must be off by more.
        let shift = by * (figures[place].1.value() / 5.0).max(1.0) * if up { 1.0 } else { -1.0 };
        prop_assume!(figures[place].1.value() + shift > 0.0);
        figures[place].1 = figures[place].1.offset(shift);
        match pin(&readings(&figures), &contour()) {
            Ok(found) => prop_assert!(!found.consistency.unwrap().agrees(), "{place} by {shift}"),
            Err(why) => prop_assert!(why.to_string().len() > 20),
        }
    }

    #[test]
    fn larger_in_larger_out(more in 0.001..0.05f64, place in 0..4usize) {
        let figures = doubted(&[rims()[..3].to_vec(), cups()[..1].to_vec()].concat());
        let mut larger = figures.clone();
        larger[place].1 = larger[place].1.offset(more);
        let (one, other) = (solved(&figures), solved(&larger));
        let method = &figures[place].0;
        prop_assert!(other.profile.read(method).unwrap().value() > one.profile.read(method).unwrap().value());
    }

    #[test]
    fn there_and_home_by_every_pair(size in -1.5..4.0f64, deep in -2.0..6.0f64) {
        let mut start = metal();
        start.figures[0] += size;
        start.figures[1] += deep;
        let disc = format!("depth at a diameter diameter {:.3} mm", 2.0 * (start.figures[0] - 1.4));
        let disc = by(Quantity::DiscDepth, &disc);
        for rim in rims().into_iter().map(|(method, _)| method).take(3).chain([disc]) {
            for (cup, _) in cups() {
                let stated = |method: &Method| {
                    let value = start.read(method).unwrap();
                    (method.clone(), of("x", value, 0.01))
                };
                let found = solved(&[stated(&rim), stated(&cup)]);
                prop_assert!((found.profile.shape().figures[0] - start.figures[0]).abs() < 1e-7, "{rim}");
                prop_assert!((found.profile.shape().figures[1] - start.figures[1]).abs() < 1e-7, "{cup}");
            }
        }
    }
}

/// Form and size of a random rim and cup that can be.
fn any_metal() -> impl Strategy<Value = Shape> {
    let form = (
        1.0..3.5f64,
        0.4..1.5f64,
        0.9..1.25f64,
        0.07..0.4f64,
        0.2..3.0f64,
        0.0..1.0f64,
    );
    let size = (7.0..17.0f64, 3.0..25.0f64, 1.2..4.0f64);
    (form, size).prop_map(
        |((crest, edge, join, wall, below, form), (inner, depth, throat))| {
            let end = crest * (1.0 - join.sin()) + edge * (join.sin() - wall.sin());
            let seam = end + below;
            Shape::rim_and_cup([
                inner + crest,
                seam + depth,
                throat,
                crest,
                edge,
                join,
                wall,
                seam,
                form,
            ])
        },
    )
}

fn contour_of(shape: &Shape) -> Contour {
    let figure = |which: ContourFigure| of(which.name(), shape.figures[3 + which as usize], 0.01);
    let throat = of("lent throat", 2.0 * shape.figures[2], 0.1);
    Contour::new(ContourFigure::ALL.map(figure), Some(throat))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn what_metal_gives_is_solved_for(metal in any_metal(), share in 0.05..0.95f64) {
        prop_assume!(metal.possible().is_ok());
        let section = metal.section();
        let (seam, throat) = (section.seam_depth(), section.throat_depth().unwrap());
        let disc = |z: f64| format!("depth at a diameter diameter {:.4} mm", 2.0 * section.radius_at(z).unwrap());
        let rims = [
            by(Quantity::RimInnerDiameter, "rim at a tangent"),
            by(Quantity::RimInnerDiameter, "rim at the seam"),
            by(Quantity::DiscDepth, &disc(share * seam)),
        ];
        let cups = [
            by(Quantity::CupDepth, "depth at the centre from seam"),
            by(Quantity::CupDepth, "depth by the section across inner edge"),
            by(Quantity::CupDepth, "depth by the area from seam across seam"),
            by(Quantity::CupVolume, "volume"),
            by(Quantity::CupDepth, &disc(seam + share * (throat - seam))),
        ];
        for rim in &rims {
            for cup in &cups {
                let (Some(one), Some(other)) = (metal.read(rim), metal.read(cup)) else { continue };
                let (one, other) = (of("rim", one, 0.01), of("cup", other, 0.01));
                let found = pin(&[(rim, &one), (cup, &other)], &contour_of(&metal));
                let found = found.map_err(|why| TestCaseError::fail(format!("{rim} {cup}: {why}")))?;
                for place in 0..2 {
                    let apart = found.profile.shape().figures[place] - metal.figures[place];
                    prop_assert!(apart.abs() < 1e-6, "{rim} {cup}: {apart}");
                }
            }
        }
    }

    #[test]
    fn whatever_is_stated_is_given_back_or_refused(metal in any_metal(), values in prop::array::uniform3(0.01..60.0f64)) {
        prop_assume!(metal.possible().is_ok());
        let rim = by(Quantity::RimInnerDiameter, "rim at the seam");
        let cup = by(Quantity::CupVolume, "volume");
        let throat = by(Quantity::ThroatDiameter, "throat");
        let figures = [(rim, values[0]), (cup, values[1] * 100.0), (throat, values[2] * 0.2)];
        let figures = figures.map(|(method, value)| { let key = method.to_string(); (method, of(&key, value, 0.01)) });
        match pin(&readings(&figures), &contour_of(&metal)) {
            Ok(found) => for (method, value) in &figures {
                let read = found.profile.read(method).unwrap().value();
                prop_assert!((read - value.value()).abs() < 1e-8 * value.value().max(1.0));
            },
            Err(why) => prop_assert!(why.to_string().len() > 20),
        }
    }
}

/// Upper critical values: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4.
#[test]
fn the_tail_of_chi_square_is_that_of_the_tables() {
    let table = [
        (1, [2.706, 3.841, 5.024, 6.635, 10.828]),
        (2, [4.605, 5.991, 7.378, 9.210, 13.816]),
        (3, [6.251, 7.815, 9.348, 11.345, 16.266]),
        (5, [9.236, 11.070, 12.833, 15.086, 20.515]),
        (10, [15.987, 18.307, 20.483, 23.209, 29.588]),
        (30, [40.256, 43.773, 46.979, 50.892, 59.703]),
    ];
    for (freedom, critical) in table {
        for (value, p) in critical.into_iter().zip([0.10, 0.05, 0.025, 0.01, 0.001]) {
            assert_near(upper_tail(value, freedom) / p, 1.0, 6e-4);
        }
    }
    assert_eq!(upper_tail(0.0, 3), 1.0);
    assert_eq!(upper_tail(f64::INFINITY, 3), 0.0);
    // Two degrees of freedom: exp(−χ²/2).
    assert_near(upper_tail(50.0, 2) / (-25.0f64).exp(), 1.0, 1e-12);
}

fn with(more: &[(Quantity, &str, f64)]) -> Vec<(Method, Estimate)> {
    let mut figures = doubted(&[rims()[0].clone(), cups()[0].clone()]);
    figures.extend(more.iter().map(|(quantity, text, value)| {
        let method = by(*quantity, text);
        (method, of(text, *value, 0.01))
    }));
    figures
}

#[test]
fn backbore_and_shank_are_pinned_by_what_pins_them() {
    use Quantity::*;
    let bore = [
        (ThroatDiameter, "throat", 3.66),
        (ExitDiameter, "exit", 8.4),
        (BackboreLength, "length of the backbore", 55.0),
        (BackboreBore, "mean bore", 5.9),
    ];
    let whole = solved(&with(&bore)).profile;
    for (quantity, text, value) in bore {
        assert_near(
            whole.read(&by(quantity, text)).unwrap().value(),
            value,
            1e-9,
        );
    }
    let equivalent = by(BackboreBore, "bore by volume");
    assert!(
        whole.read(&equivalent).unwrap().value() > 5.9,
        "a root mean square is above the mean"
    );
    let few = solved(&with(&bore[1..])).profile;
    assert!(
        few.read(&equivalent).is_none(),
        "without its throat a backbore is not known"
    );
    assert!(
        few.read(&by(ThroatDiameter, "throat")).is_none(),
        "a lent throat is no figure"
    );

    let apart = [
        (ShankDiameter, "shank at a distance distance 2 mm", 9.6),
        (ShankDiameter, "shank at a distance distance 22 mm", 10.6),
    ];
    let shank = solved(&with(&apart)).profile;
    assert_near(
        shank
            .read(&by(ShankTaper, "taper of the shank over 20 mm"))
            .unwrap()
            .value(),
        1.0,
        1e-9,
    );
    let alone = solved(&with(&apart[..1])).profile;
    assert!(alone.read(&by(ShankTaper, "taper of the shank")).is_none());
    let seated = [
        apart[0],
        apart[1],
        (ShankLength, "length of the shank", 26.0),
    ];
    let into = by(
        InsertionDepth,
        "insertion receiver 10.5 mm narrows 0.5 mm over 10 mm",
    );
    assert_near(
        solved(&with(&seated)).profile.read(&into).unwrap().value(),
        20.0,
        1e-9,
    );
}

#[test]
fn what_cannot_be_is_refused_with_its_figures() {
    use Quantity::*;
    let fault = |more: &[(Quantity, &str, f64)]| {
        let figures = with(more);
        pin(&readings(&figures), &contour())
            .unwrap_err()
            .to_string()
    };
    assert!(
        fault(&[(ThroatDiameter, "throat", 18.0)]).starts_with("a throat of 18.00 mm in a cup of")
    );
    assert!(
        fault(&[(RimOuterDiameter, "outside of the rim", 17.0)])
            .starts_with("a rim outer diameter of 17.00 mm outside a cushion that reaches 19.2")
    );
    assert!(
        fault(&[
            (ThroatDiameter, "throat", 3.66),
            (ExitDiameter, "exit", 3.0)
        ])
        .starts_with("an exit of 3.00 mm behind a throat of 3.66 mm")
    );
    let past = fault(&[
        (ShankDiameter, "shank at a distance distance 2 mm", 9.6),
        (ShankDiameter, "shank at a distance distance 22 mm", 10.6),
        (ShankLength, "length of the shank", 15.0),
    ]);
    assert!(
        past.contains("shank diameter at 22 mm from the end of a shank of 15.00 mm"),
        "{past}"
    );
    let nan = fault(&[(ThroatDiameter, "throat", f64::NAN)]);
    assert!(nan.contains("throat diameter by throat is NaN"), "{nan}");
    let deep = fault(&[(ThroatLength, "length of the throat", -1.0)]);
    assert!(
        deep.starts_with("a throat length of -1.000, below zero"),
        "{deep}"
    );
}
