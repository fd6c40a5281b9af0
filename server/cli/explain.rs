//! Explained values as text for people at a terminal.

use std::fmt::Write;

use super::say::named;
use crate::answer::{ExplainedAnswer, LineAnswer, MonteCarloAnswer};
use crate::language::{number, word};

/// Adds a line; writing to a string cannot fail.
macro_rules! line {
    ($out:expr, $($words:tt)*) => {
        let _ = writeln!($out, $($words)*);
    };
}

/// Budgets, routes and trials, one value after the other.
pub(super) fn explained(out: &mut String, values: &[ExplainedAnswer]) {
    for one in values {
        let (value, expanded) = one.amount.shown();
        let unit = one.amount.unit();
        line!(out, "");
        line!(
            out,
            "{}: {}: {value} {unit} ± {expanded} {unit}",
            one.of,
            named(&one.quantity, &one.method)
        );
        if let Some(says) = &one.of_limits {
            line!(out, "  {says}");
        }
        for route in &one.routes {
            line!(out, "  {route}");
        }
        if let Some(budget) = &one.budget {
            line!(
                out,
                "  {:>7}  {:>12}  {:>14}  {}",
                say!("Share"),
                say!("In {unit}", unit = budget.unit),
                say!("Sensitivity"),
                say!("Source")
            );
            budget.lines.iter().for_each(|one| share(out, one));
            if let Some(freedom) = budget.effective_degrees_of_freedom {
                let freedom = number(format!("{freedom:.1}"));
                line!(
                    out,
                    "  {}",
                    say!("effective degrees of freedom {freedom}", freedom)
                );
            }
        }
        if let Some(run) = &one.monte_carlo {
            trials(out, run);
        }
    }
}

fn share(out: &mut String, one: &LineAnswer) {
    let digits =
        |value: Option<f64>| value.map_or("-".into(), |value| number(format!("{value:.4}")));
    let own = match (one.value, one.half_width, one.u) {
        (Some(value), Some(half_width), _) => {
            number(format!(": {value} ± {half_width} {}", one.unit))
        }
        (Some(value), None, Some(u)) => {
            number(format!(": {value} {unit} u {u} {unit}", unit = one.unit))
        }
        _ => String::new(),
    };
    let freedom = one.degrees_of_freedom.map_or(String::new(), |freedom| {
        let degrees = number(freedom.to_string());
        format!(", {}", say!("{degrees} degrees of freedom", degrees))
    });
    line!(
        out,
        "  {} %  {:>12}  {:>14}  {}{}, {}{freedom}",
        number(format!("{:>5.1}", 100.0 * one.share)),
        digits(Some(one.contribution)),
        digits(one.sensitivity),
        one.source,
        own.trim_end(),
        word(&one.distribution)
    );
}

fn trials(out: &mut String, run: &MonteCarloAnswer) {
    let unit = &run.unit;
    let digits = |value: f64| number(format!("{value:.4}"));
    let fine = |value: f64| number(format!("{value:.6}"));
    let says = say!(
        "{trials} trials, seed {seed}: mean {mean} {unit}, u {u} {unit}, 95 % from {low} to {high} {unit}, shortest from {shortest_low} to {shortest_high} {unit}",
        trials = run.trials,
        seed = run.seed,
        mean = digits(run.mean),
        u = digits(run.u),
        low = digits(run.symmetric[0]),
        high = digits(run.symmetric[1]),
        shortest_low = digits(run.shortest[0]),
        shortest_high = digits(run.shortest[1]),
        unit
    );
    line!(out, "  {says}");
    if run.impossible > 0 {
        let trials = run.impossible;
        let says = say!("{trials} further trials drew metal that cannot be", trials);
        line!(out, "  {says}");
    }
    let verdict = match run.agrees {
        Some(true) => say!("first order is as good"),
        Some(false) => say!("first order is not as good"),
        None => say!("too few trials to say whether first order is as good"),
    };
    let says = say!(
        "{verdict}: its ends are off by {low} and {high} {unit}, and may be by {tolerance} {unit} (JCGM 101, clause 8)",
        verdict,
        low = fine(run.off[0]),
        high = fine(run.off[1]),
        tolerance = fine(run.tolerance),
        unit
    );
    line!(out, "  {says}");
}
