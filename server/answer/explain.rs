//! Why a value is as uncertain as it is said to be: its budget, its other routes, a run of trials.
//!
//! Asked for and not given unasked: the measures of the piece in the neutral frame and, in a
//! translation, each difference from the best match of each scheme. One run of trials draws
//! every piece once a trial, so that what values share stays shared.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use schemars::JsonSchema;
use serde::Serialize;

use super::figure::{Amount, method_text, with_unit};
use crate::language::word;
use crate::method::{Method, Quantity};
use crate::problem::{Kind, Problem};
use crate::route::{Measured, Piece};
use crate::uncertainty::budget::Line;
use crate::uncertainty::coverage::LEVEL;
use crate::uncertainty::monte_carlo::{FEWEST_TRIALS, MOST_TRIALS, Outcome};
use crate::uncertainty::{Budget, Distribution, Draw, Estimate, Expanded, Interval};
use crate::unit::{Dimension, Unit};

/// What is to be explained.
#[derive(Clone, Debug, Default)]
pub struct Wish {
    /// Budgets and the routes that were not taken.
    pub budget: bool,
    /// A run of trials.
    pub run: Option<Run>,
    /// The piece at hand only, and not its differences from others.
    pub piece_only: bool,
}

impl Wish {
    /// Whether anything is to be explained.
    pub(super) fn is_any(&self) -> bool {
        self.budget || self.run.is_some()
    }
}

/// Whether whoever asked has left, told from another thread: the answer would be nobody's.
#[derive(Clone, Debug, Default)]
pub struct Left(Arc<AtomicBool>);

impl Left {
    /// Nobody waits any more.
    pub fn leave(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// Whether nobody waits any more.
    pub fn has_left(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// A run of trials as it is asked for.
#[derive(Clone, Debug)]
pub struct Run {
    /// How many.
    pub trials: usize,
    /// The same seed gives the same answer.
    pub seed: u64,
    /// Ends the run early, without an outcome.
    pub left: Left,
}

impl Run {
    /// A run of at most `most` trials; the name is that by which they are asked for.
    ///
    /// # Errors
    /// Fewer trials than say anything, or more than are run.
    pub fn new(name: &str, trials: usize, seed: u64, most: usize) -> Result<Self, Problem> {
        let most = most.min(MOST_TRIALS);
        if (FEWEST_TRIALS..=most).contains(&trials) {
            let left = Left::default();
            return Ok(Self { trials, seed, left });
        }
        let says = sentence!(
            "`{name}` is a number of trials from {fewest_trials} to {most}, and {trials} is not",
            name,
            fewest_trials = FEWEST_TRIALS,
            most,
            trials
        );
        Err(Problem::new(Kind::BadParameter, says).hint(sentence!(
            "{min} are good for two digits",
            min = most.min(20_000).to_string()
        )))
    }
}

/// A value explained.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ExplainedAnswer {
    /// Of which piece, or of which difference.
    pub of: String,
    /// What is meant.
    pub quantity: String,
    /// By which method.
    pub method: String,
    /// The value.
    #[serde(flatten)]
    pub amount: Amount,
    /// Every route with the value it gives, the surest first; of a difference none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub routes: Vec<String>,
    /// What the uncertainty adds up from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub budget: Option<BudgetAnswer>,
    /// The same value by trials.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub monte_carlo: Option<MonteCarloAnswer>,
    /// Where it is one end of limits: what that means for budget and trials.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub of_limits: Option<String>,
}

/// Said of each end of limits.
const NO_DISTRIBUTION: &str = word!(
    "limits have no distribution: nothing is said of where between them it lies, so no trials \
are run; each end has its own budget"
);

/// What an uncertainty adds up from.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BudgetAnswer {
    /// The unit of all contributions.
    pub unit: String,
    /// Effective degrees of freedom (JCGM 100, G.4.1); none if infinite.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub effective_degrees_of_freedom: Option<f64>,
    /// Source by source, the largest share first.
    pub lines: Vec<LineAnswer>,
}

/// One source of uncertainty.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LineAnswer {
    /// What it is.
    pub source: String,
    /// The unit of its own value; empty where that has none or is not known.
    pub unit: String,
    /// Its own value.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value: Option<f64>,
    /// Its own standard uncertainty.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub u: Option<f64>,
    /// Half of the width of its limits.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub half_width: Option<f64>,
    /// normal, rectangular, triangular or arcsine; t where it has degrees of freedom.
    pub distribution: String,
    /// None if infinite.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub degrees_of_freedom: Option<f64>,
    /// By how much the value changes with it, in the budget's unit for each of its own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sensitivity: Option<f64>,
    /// Sensitivity times u, in the budget's unit.
    pub contribution: f64,
    /// Share of the variance, 0 to 1.
    pub share: f64,
}

/// A value by trials (JCGM 101).
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MonteCarloAnswer {
    /// Trials that gave a value.
    pub trials: usize,
    /// Trials that drew metal that cannot be.
    pub impossible: usize,
    /// The seed.
    pub seed: u64,
    /// The unit of all that follows.
    pub unit: String,
    /// Mean.
    pub mean: f64,
    /// Standard uncertainty.
    pub u: f64,
    /// 95 %, 2.5 % beyond each end.
    pub symmetric: [f64; 2],
    /// The shortest 95 %.
    pub shortest: [f64; 2],
    /// How far the ends of value ± U may be from the symmetric ones (JCGM 101, 8.1.2).
    pub tolerance: f64,
    /// How far they are.
    pub off: [f64; 2],
    /// Whether value ± U is as good; none where so few trials cannot tell.
    pub agrees: Option<bool>,
}

/// A value that can be explained: a measure of one piece, or a difference of two.
pub(super) struct Explained<'a> {
    /// Of which piece, or of which difference.
    pub of: String,
    /// The value.
    pub estimate: &'a Estimate,
    /// What it is made of, with signs; the first is by the method of the value.
    pub terms: Vec<(f64, &'a Piece, &'a Measured)>,
    /// All routes to it.
    pub routes: Vec<Measured>,
}

/// All of them, as `wish` says.
pub(super) fn explain(values: &[Explained<'_>], wish: &Wish) -> Vec<ExplainedAnswer> {
    let run = wish.run.as_ref();
    let outcomes = run.map(|run| outcomes(values, run));
    let explained = |(place, one): (usize, &Explained<'_>)| {
        let (_, _, measured) = one.terms.first()?;
        let quantity = measured.method.quantity();
        let by_trials = outcomes.as_ref().zip(run).and_then(|(outcomes, run)| {
            let outcome = outcomes.get(place)?.as_ref()?;
            Some(MonteCarloAnswer::of(quantity, outcome, one.estimate, run))
        });
        Some(ExplainedAnswer {
            of: one.of.clone(),
            quantity: quantity.name().into(),
            method: method_text(&measured.method),
            amount: Amount::of(quantity, one.estimate),
            routes: one
                .routes
                .iter()
                .filter(|_| wish.budget)
                .map(route)
                .collect(),
            budget: wish
                .budget
                .then(|| BudgetAnswer::of(quantity, one.estimate)),
            monte_carlo: by_trials,
            of_limits: None,
        })
    };
    values.iter().enumerate().filter_map(explained).collect()
}

/// Each end of limits with its budget.
pub(super) fn explain_limits(
    of: &str,
    method: &Method,
    interval: &Interval,
    wish: &Wish,
) -> Vec<ExplainedAnswer> {
    let quantity = method.quantity();
    let ends = [
        (say!("{of}, lower end", of), interval.low()),
        (say!("{of}, upper end", of), interval.high()),
    ];
    let explained = |(of, end): (String, Option<&Estimate>)| {
        let end = end.filter(|_| wish.is_any())?;
        Some(ExplainedAnswer {
            of,
            quantity: quantity.name().into(),
            method: method_text(method),
            amount: Amount::of(quantity, end),
            routes: Vec::new(),
            budget: wish.budget.then(|| BudgetAnswer::of(quantity, end)),
            monte_carlo: None,
            of_limits: Some(word(NO_DISTRIBUTION)),
        })
    };
    ends.into_iter().filter_map(explained).collect()
}

/// "by contour 16.52 mm ± 0.11 mm (k 1.96)".
fn route(measured: &Measured) -> String {
    let amount = Amount::of(measured.method.quantity(), &measured.estimate);
    let (value, expanded) = amount.shown();
    let text = with_unit(&value, &expanded, amount.unit(), amount.k());
    say!(
        "by {kind} {value}: {route}",
        kind = word(measured.route.kind.name()),
        value = text,
        route = measured.route
    )
}

/// One outcome a value; none where too few trials gave one, or the run ended early.
fn outcomes(values: &[Explained<'_>], run: &Run) -> Vec<Option<Outcome>> {
    let mut pieces: Vec<&Piece> = Vec::new();
    for (_, piece, _) in values.iter().flat_map(|one| &one.terms) {
        if !pieces.iter().any(|known| std::ptr::eq(*known, *piece)) {
            pieces.push(piece);
        }
    }
    let mut found: Vec<Vec<f64>> = vec![Vec::new(); values.len()];
    for trial in 0..run.trials as u64 {
        if run.left.has_left() {
            return vec![None; values.len()];
        }
        let draw = Draw::new(run.seed, trial);
        let drawn: Vec<Piece> = pieces.iter().map(|piece| piece.drawn(&draw)).collect();
        for (one, values) in values.iter().zip(&mut found) {
            let term = |(sign, piece, measured): &(f64, &Piece, &Measured)| {
                let place = pieces
                    .iter()
                    .position(|known| std::ptr::eq(*known, *piece))?;
                Some(sign * drawn[place].along(measured)?.estimate.value())
            };
            values.extend(one.terms.iter().map(term).sum::<Option<f64>>());
        }
    }
    let outcome = |values| Outcome::of(values, run.trials, LEVEL);
    found.into_iter().map(outcome).collect()
}

/// The unit in which a quantity is shown, and how many base units it is.
fn shown_in(quantity: Quantity) -> (String, f64) {
    let unit = quantity.dimension().shown_unit();
    let factor = match quantity.dimension() {
        Dimension::Volume => 1000.0,
        _ => 1.0,
    };
    (unit.symbol.into(), factor)
}

/// The unit in which a source's own quantity is shown, and how much of the unit of the computation it is:
/// nobody reads an angle in radians off a protractor.
fn own_unit(unit: &'static str) -> (&'static str, f64) {
    match unit {
        "rad" => (Unit::DEGREE.symbol, 1_f64.to_radians()),
        other => (other, 1.0),
    }
}

/// So many digits are enough for anything that is drawn or estimated.
fn six(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let place = 10_f64.powi(5 - value.abs().log10().floor() as i32);
    (value * place).round() / place
}

impl BudgetAnswer {
    fn of(quantity: Quantity, estimate: &Estimate) -> Self {
        let budget = Budget::from(estimate);
        let (unit, factor) = shown_in(quantity);
        Self {
            unit,
            effective_degrees_of_freedom: budget.effective_degrees_of_freedom.map(six),
            lines: budget
                .lines
                .iter()
                .map(|line| LineAnswer::of(line, factor))
                .collect(),
        }
    }
}

impl LineAnswer {
    fn of(line: &Line, factor: f64) -> Self {
        let spread = match (line.degrees_of_freedom, line.distribution) {
            (Some(_), _) => "t",
            (None, Distribution::Normal) => word!("normal"),
            (None, Distribution::Rectangular) => word!("rectangular"),
            (None, Distribution::Triangular) => word!("triangular"),
            (None, Distribution::Arcsine) => word!("arcsine"),
        };
        let (unit, per) = own_unit(line.unit);
        let own = |value: f64| six(value / per);
        Self {
            source: line.source.to_string(),
            unit: unit.into(),
            value: line.input.map(|input| own(input.value)),
            u: line.input.map(|input| own(input.u)),
            half_width: line.half_width().map(own),
            distribution: spread.into(),
            degrees_of_freedom: line.degrees_of_freedom.map(six),
            sensitivity: line.sensitivity.map(|one| six(one / factor * per)),
            contribution: six(line.contribution / factor),
            share: six(line.share),
        }
    }
}

impl MonteCarloAnswer {
    fn of(quantity: Quantity, outcome: &Outcome, estimate: &Estimate, run: &Run) -> Self {
        let (unit, factor) = shown_in(quantity);
        let compared = outcome.against(&Expanded::from(estimate));
        let shown = |value: f64| six(value / factor);
        Self {
            trials: outcome.trials,
            impossible: outcome.impossible,
            seed: run.seed,
            unit,
            mean: shown(outcome.mean),
            u: shown(outcome.u),
            symmetric: [shown(outcome.symmetric.0), shown(outcome.symmetric.1)],
            shortest: [shown(outcome.shortest.0), shown(outcome.shortest.1)],
            tolerance: shown(compared.tolerance),
            off: [shown(compared.off_low), shown(compared.off_high)],
            agrees: compared.agrees,
        }
    }
}
