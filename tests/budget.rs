//! What an uncertainty adds up from.

use crate::case_file::assert_near;
use counterbore::uncertainty::{Budget, Distribution, Estimate, Source};
use std::sync::Arc;

fn source(key: &str, distribution: Distribution, unit: &'static str) -> Source {
    Source::new(key, format!("the {key}"), distribution).in_unit(unit)
}

fn diameter() -> Estimate {
    let angle = source("wall", Distribution::Rectangular, "rad").with_degrees_of_freedom(8.0);
    let angle = Estimate::rectangular(0.2, 0.03, Arc::new(angle));
    let gauge = source("gauge", Distribution::Normal, "mm");
    let gauge = Estimate::new(16.2, 0.01, Arc::new(gauge));
    Estimate::linear(16.6, &[(1.0, &gauge), (-4.0, &angle)])
}

#[test]
fn lists_every_source_with_its_own_value_and_unit() {
    let budget = Budget::from(&diameter());
    let [wall, gauge] = &budget.lines[..] else {
        panic!("two sources")
    };
    assert_eq!(
        (wall.source.to_string().as_str(), wall.unit),
        ("the wall", "rad")
    );
    assert_eq!(wall.input.unwrap().value, 0.2);
    assert_near(wall.half_width().unwrap(), 0.03, 1e-15);
    assert_near(wall.sensitivity.unwrap(), -4.0, 1e-12);
    assert_near(wall.contribution, -0.12 / 3_f64.sqrt(), 1e-12);
    assert_eq!((gauge.unit, gauge.half_width()), ("mm", None));
    assert_near(gauge.sensitivity.unwrap(), 1.0, 1e-12);
}

#[test]
fn adds_up() {
    let estimate = diameter();
    let budget = Budget::from(&estimate);
    assert_near(budget.lines.iter().map(|line| line.share).sum(), 1.0, 1e-12);
    assert!(budget.lines[0].share > budget.lines[1].share);
    let squares: f64 = budget
        .lines
        .iter()
        .map(|line| line.contribution.powi(2))
        .sum();
    assert_near(squares.sqrt(), budget.total.u, 1e-15);
    assert_eq!(
        budget.effective_degrees_of_freedom,
        estimate.effective_degrees_of_freedom()
    );
}

#[test]
fn a_source_keeps_its_first_words_whatever_it_passes_through() {
    let passed = diameter()
        .scaled(25.4)
        .offset(1.0)
        .minus(&Estimate::exact(3.0));
    let (before, after) = (Budget::from(&diameter()), Budget::from(&passed));
    for (before, after) in before.lines.iter().zip(&after.lines) {
        assert_eq!((before.input, before.unit), (after.input, after.unit));
        assert_near(
            after.sensitivity.unwrap(),
            25.4 * before.sensitivity.unwrap(),
            1e-9,
        );
    }
}

#[test]
fn an_exact_value_has_an_empty_budget() {
    let budget = Budget::from(&Estimate::exact(3.0));
    assert!(budget.lines.is_empty() && budget.total.u == 0.0);
}
