//! From what a stamp says to a piece.

use counterbore::method::Quantity;
use counterbore::profile::{ContourFigure, is_generic};
use counterbore::scheme::{Binding, Given, Made, Reason, Scheme};

use super::plugin;

/// What a stamp says, as `series=Lyre rim=1600 edge_code=R`.
fn bindings(scheme: &Scheme, says: &str) -> Vec<Binding> {
    let binding = |(field, value): (&str, &str)| {
        if field == "series" {
            let word = |one: &counterbore::scheme::Series| {
                one.words.iter().position(|(word, _)| word == value)
            };
            let found = scheme
                .series
                .iter()
                .enumerate()
                .find_map(|(place, one)| Some((place, word(one)?)));
            let (series, word) = found.unwrap();
            return Binding::Series { series, word };
        }
        if field == "entry" {
            return Binding::Entry(value.parse().unwrap());
        }
        if let Some(figure) = scheme.figure(field) {
            let sign = scheme.figures[figure]
                .signs
                .read(value, scheme.case_matters)
                .unwrap();
            return Binding::Figure(figure, sign);
        }
        let mark = scheme
            .marks
            .iter()
            .position(|mark| mark.name == field)
            .unwrap();
        let code = scheme.marks[mark]
            .codes
            .iter()
            .position(|code| code.code == value)
            .unwrap();
        Binding::Mark { mark, code }
    };
    says.split_whitespace()
        .map(|one| binding(one.split_once('=').unwrap()))
        .collect()
}

fn made(scheme: &Scheme, says: &str) -> Made {
    let stamps: Vec<usize> = (0..scheme.stamps.len()).collect();
    scheme.make(&bindings(scheme, says), &stamps)
}

fn given<'a>(scheme: &Scheme, made: &'a Made, figure: &str) -> &'a Given {
    let place = scheme.figure(figure).unwrap();
    made.figures
        .iter()
        .find(|given| given.figure == place)
        .unwrap()
}

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-9
}

#[test]
fn what_is_stamped_stands_over_the_series_and_that_over_unmarked() {
    let scheme = plugin("ostmere.yml");
    let throat = |says| {
        let made = made(&scheme, says);
        let given = given(&scheme, &made, "throat");
        (given.sign.text.clone(), given.reason.clone())
    };
    assert_eq!(throat("rim=1600 cup=110"), ("27".into(), Reason::Unmarked));
    assert_eq!(
        throat("series=Lyra rim=1600 cup=110"),
        ("25".into(), Reason::Series("lyra".into()))
    );
    assert_eq!(
        throat("series=Nimbe rim=1600 cup=110"),
        ("27".into(), Reason::Unmarked)
    );
    assert_eq!(
        throat("series=Lyra rim=1600 cup=110 throat=24"),
        ("24".into(), Reason::Stamped)
    );
}

#[test]
fn an_entry_stands_over_its_series() {
    let scheme = plugin("quillow.yml");
    let made = made(&scheme, "entry=2");
    let depth = given(&scheme, &made, "depth");
    assert_eq!(
        (depth.sign.text.as_str(), &depth.reason),
        ("25.5 mm", &Reason::Entry("h1".into()))
    );
    let throat = given(&scheme, &made, "throat");
    assert_eq!(throat.reason, Reason::Series("old".into()));
    assert!(near(throat.states.size().unwrap().value(), 4.8));
    let made = self::made(&scheme, "entry=0");
    assert_eq!(given(&scheme, &made, "throat").reason, Reason::Unmarked);
    assert_eq!(made.years.until, Some(1969));
}

#[test]
fn a_figure_carries_its_digits_and_its_tolerance() {
    let scheme = plugin("ostmere.yml");
    let made = made(&scheme, "rim=1600 cup=110");
    let rim = given(&scheme, &made, "rim");
    assert!(near(rim.states.size().unwrap().value(), 16.0));
    // A grid point with a tolerance of ± 0.03 mm, rectangular: JCGM 100, 4.3.7.
    assert!(near(
        rim.states.size().unwrap().variance(),
        0.03_f64.powi(2) / 3.0
    ));
}

#[test]
fn a_catalogue_figure_carries_its_digits_and_its_tolerance() {
    let scheme = plugin("osmark.yml");
    let made = made(&scheme, "entry=2");
    // Digits ± 0.005 mm and tolerance ± 0.02 mm, both rectangular: JCGM 100, 4.3.7.
    let rim = given(&scheme, &made, "rim");
    assert!(near(
        rim.states.size().unwrap().variance(),
        (0.005_f64.powi(2) + 0.02_f64.powi(2)) / 3.0
    ));
}

#[test]
fn a_mark_multiplies_a_contour_figure() {
    let scheme = plugin("ostmere.yml");
    let edge = |says| {
        let made = made(&scheme, says);
        made.piece
            .profile()
            .unwrap()
            .figure(3 + ContourFigure::Edge as usize)
            .clone()
    };
    let (plain, rounder) = (
        edge("series=Lyra rim=1600 cup=110"),
        edge("series=Lyra rim=1600 cup=110 edge_code=R"),
    );
    assert!(near(plain.value(), 1.1));
    assert!(near(rounder.value(), 1.1 * 1.35));
    // (1.35 × 0.1)² + (1.1 × 0.1)² over three.
    assert!(near(
        rounder.variance(),
        ((1.35_f64 * 0.1).powi(2) + (1.1_f64 * 0.1).powi(2)) / 3.0
    ));
    assert!(
        rounder.covariance(&plain) > 0.0,
        "the doubt of the series is shared"
    );
}

#[test]
fn a_mark_adds_to_a_figure_and_sets_an_angle_in_radians() {
    let scheme = plugin("ostmere.yml");
    let made = made(&scheme, "rim=1600 cup=110 edge_code=W");
    let rim = given(&scheme, &made, "rim");
    assert!(near(rim.states.size().unwrap().value(), 16.1));
    assert_eq!(rim.altered_by, ["W"]);
    let wall = made
        .piece
        .profile()
        .unwrap()
        .figure(3 + ContourFigure::Wall as usize);
    assert!(near(wall.value(), 20_f64.to_radians()));
    assert!(near(wall.u(), 2_f64.to_radians() / 3_f64.sqrt()));
}

#[test]
fn a_mark_sets_a_figure() {
    let scheme = plugin("ostmere.yml");
    let made = made(&scheme, "series=Lyra rim=1600 cup=110 edge_code=O");
    let throat = given(&scheme, &made, "throat");
    assert_eq!(throat.sign.text, "22");
    assert_eq!(throat.altered_by, ["O"]);
}

#[test]
fn what_a_series_leaves_out_comes_from_the_scheme_and_then_from_the_class() {
    let scheme = plugin("ostmere.yml");
    let source = |series: usize, which| {
        let contour = scheme.series[series].contour.as_ref().unwrap();
        let part = &contour.figure(which).parts()[0];
        (part.source.key().to_owned(), is_generic(&part.source))
    };
    assert_eq!(
        source(0, ContourFigure::Edge),
        ("ostmere/lyra/contour/edge".into(), false)
    );
    assert_eq!(
        source(1, ContourFigure::Edge),
        ("ostmere/-/contour/edge".into(), false)
    );
    assert_eq!(
        source(0, ContourFigure::Crest),
        ("generic/ostmere/lyra/crest".into(), true)
    );
    assert_eq!(
        source(1, ContourFigure::Crest),
        ("generic/ostmere/nimbe/crest".into(), true)
    );
    let wall = scheme.series[0]
        .contour
        .as_ref()
        .unwrap()
        .figure(ContourFigure::Wall);
    assert!(near(wall.u(), 1_f64.to_radians()));
}

#[test]
fn an_older_word_dates_a_piece_and_marks_say_what_they_mean() {
    let scheme = plugin("ostmere.yml");
    let made = made(&scheme, "series=Lyre rim=1600 cup=110 finish=G");
    assert_eq!(made.years.until, Some(2009));
    let says: Vec<(&str, String)> = made
        .says
        .iter()
        .map(|(what, why)| (what.as_str(), why.to_string()))
        .collect();
    let says: Vec<(&str, &str)> = says.iter().map(|(a, b)| (*a, b.as_str())).collect();
    assert_eq!(
        says,
        [
            ("gold-washed inside", "series lyra"),
            ("gold wash", "finish G"),
            ("the usual edge", "no edge marked"),
        ]
    );
}

#[test]
fn the_stated_figures_are_what_the_profile_reads() {
    let scheme = plugin("ostmere.yml");
    let made = made(&scheme, "series=Nimbe rim=1600 cup=110");
    let profile = made.piece.profile().unwrap();
    for stated in made.piece.stated() {
        if stated.method.quantity() != Quantity::ThroatDiameter {
            let read = profile.read(&stated.method).unwrap();
            assert!((read.value() - stated.estimate.value()).abs() < 1e-6, "mm");
        }
    }
}
