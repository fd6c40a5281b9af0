//! Explained values as text for people at a terminal.

use std::fmt::Write;

use crate::answer::{ExplainedAnswer, LineAnswer, MonteCarloAnswer};

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
            "{}: {}, {}: {value} {unit} ± {expanded} {unit}",
            one.of,
            one.quantity,
            one.method
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
                "  {:>7}  {:>12}  {:>12}  source",
                "share",
                format!("in {}", budget.unit),
                "sensitivity"
            );
            budget.lines.iter().for_each(|one| share(out, one));
            if let Some(freedom) = budget.effective_degrees_of_freedom {
                line!(out, "  effective degrees of freedom {freedom:.1}");
            }
        }
        if let Some(run) = &one.monte_carlo {
            trials(out, run);
        }
    }
}

fn share(out: &mut String, one: &LineAnswer) {
    let number = |value: Option<f64>| value.map_or("-".into(), |value| format!("{value:.4}"));
    let own = match (one.value, one.half_width, one.u) {
        (Some(value), Some(half_width), _) => format!(": {value} ± {half_width} {}", one.unit),
        (Some(value), None, Some(u)) => format!(": {value} {unit} u {u} {unit}", unit = one.unit),
        _ => String::new(),
    };
    let freedom = one.degrees_of_freedom.map_or(String::new(), |freedom| {
        format!(", {freedom} degrees of freedom")
    });
    line!(
        out,
        "  {:>5.1} %  {:>12}  {:>12}  {}{}, {}{freedom}",
        100.0 * one.share,
        number(Some(one.contribution)),
        number(one.sensitivity),
        one.source,
        own.trim_end(),
        one.distribution
    );
}

fn trials(out: &mut String, run: &MonteCarloAnswer) {
    let unit = &run.unit;
    line!(
        out,
        "  {} trials, seed {}: mean {:.4} {unit}, u {:.4} {unit}, 95 % from {:.4} to {:.4} {unit}, shortest from {:.4} to {:.4} {unit}",
        run.trials,
        run.seed,
        run.mean,
        run.u,
        run.symmetric[0],
        run.symmetric[1],
        run.shortest[0],
        run.shortest[1]
    );
    if run.impossible > 0 {
        line!(
            out,
            "  {} further trials drew metal that cannot be",
            run.impossible
        );
    }
    let verdict = match run.agrees {
        Some(true) => "first order is as good",
        Some(false) => "first order is not as good",
        None => "too few trials to say whether first order is as good",
    };
    line!(
        out,
        "  {verdict}: its ends are off by {:.6} and {:.6} {unit}, and may be by {:.6} {unit} (JCGM 101, clause 8)",
        run.off[0],
        run.off[1],
        run.tolerance
    );
}
