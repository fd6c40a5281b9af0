//! A stamp that says one thing while a gauge says another, and gauges that contradict each other.
//!
//! Two gauges contradict each other for any metal ([`against_each_other`]), which is refused, or for all pieces
//! that come near ([`for_any_candidate`]), which is told with the answer.

use schemars::JsonSchema;
use serde::Serialize;

use super::super::decode::SchemeName;
use super::super::figure::{Figure, Shown, method_text};
use super::super::gauge::Gauge;
use super::super::limits::Limits;
use super::Candidate;
use crate::language::word;
use crate::method::{Method, no_metal, said};
use crate::problem::{Kind, Problem};
use crate::snapshot::Snapshot;
use crate::uncertainty::{Estimate, Expanded, Interval, Side};
use crate::unit::Span;

/// The piece that a stamp says, and the gauges that say otherwise.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ContradictionAnswer {
    /// The piece that the stamp alone says it is.
    pub canonical: String,
    /// Whose.
    pub scheme: SchemeName,
    /// Each gauge that says otherwise.
    pub gauges: Vec<ContradictingGauge>,
}

/// A gauge that says otherwise than the stamp.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ContradictingGauge {
    /// What it was put to.
    pub quantity: String,
    /// What the piece measures, with its uncertainty.
    pub piece: String,
    /// What the gauge showed, with its uncertainty.
    pub gauge: String,
    /// How the piece differs.
    pub says: String,
}

impl ContradictingGauge {
    /// Both figures and how they differ.
    pub fn text(&self) -> String {
        say!(
            "the piece {piece}, the gauge {gauge}: {says}",
            piece = self.piece,
            gauge = self.gauge,
            says = self.says
        )
    }
}

/// The gauges that contradict a piece; none where none does.
pub(super) fn contradicted(
    snapshot: &Snapshot,
    piece: &Candidate<'_>,
) -> Option<ContradictionAnswer> {
    let of_limits = piece.limits.iter().map(|one| {
        let (piece, gauge) = (one.piece.as_ref(), one.text.clone());
        (one.agrees, &one.quantity, piece, gauge, &one.says)
    });
    let of_values = piece.gauges.iter().map(|one| {
        let (piece, gauge) = (one.piece.as_ref(), one.gauge.text());
        (one.agrees, &one.gauge.quantity, piece, gauge, &one.says)
    });
    let gauges: Vec<ContradictingGauge> = of_values
        .chain(of_limits)
        .filter(|(agrees, ..)| *agrees == Some(false))
        .map(|(_, quantity, piece, gauge, says)| ContradictingGauge {
            quantity: quantity.clone(),
            piece: piece.map(Figure::text).unwrap_or_default(),
            gauge,
            says: says.clone(),
        })
        .collect();
    (!gauges.is_empty()).then(|| ContradictionAnswer {
        canonical: piece.canonical.clone(),
        scheme: SchemeName::of(snapshot, piece.scheme),
        gauges,
    })
}

/// Why gauges cannot be of one piece, whatever it is, or say one thing twice.
pub(super) fn against_each_other(gauges: &[Gauge]) -> Option<Problem> {
    let of_one_method = pairs(gauges)
        .find(|(one, other)| one.method().is_near(other.method()))
        .map(|(one, other)| twice(one, other));
    of_one_method.or_else(|| {
        let spans: Vec<(&Method, Span)> = gauges
            .iter()
            .map(|one| (one.method(), one.span()))
            .collect();
        let why = no_metal(&spans)?;
        let says = sentence!(
            "the gauges contradict each other, no metal has both: {why}",
            why
        );
        Some(Problem::new(Kind::BadGauge, says).hint(sentence!("measure both again")))
    })
}

fn pairs(gauges: &[Gauge]) -> impl Iterator<Item = (&Gauge, &Gauge)> {
    let placed = gauges.iter().enumerate();
    placed.flat_map(|(place, one)| gauges[place + 1..].iter().map(move |other| (one, other)))
}

/// Two gauges by one method: repeats if they agree.
fn twice(one: &Gauge, other: &Gauge) -> Problem {
    let quantity = one.method().quantity().in_words();
    let (first, second) = (shown(one), shown(other));
    if !agree(one, other) {
        let says = sentence!(
            "the gauges contradict each other: {quantity} {first}, and {second}",
            quantity,
            first,
            second
        );
        let hint = sentence!("measure again, and give one of them");
        return Problem::new(Kind::BadGauge, says).hint(hint);
    }
    let says = match one.method() == other.method() {
        true => sentence!(
            "two gauge values of {quantity} by one method, which agree: {first}, and {second}",
            quantity,
            first,
            second
        ),
        false => sentence!(
            "two gauge values of {quantity} in one place, as finely as a gauge can be put, which agree: {first}, and {second}",
            quantity,
            first,
            second
        ),
    };
    Problem::new(Kind::BadGauge, says).hint(match one.value().and(other.value()) {
        Some(_) => sentence!("repeats share the gauge's error: give their mean once"),
        None => {
            sentence!("give them once, with the narrowest limits: `passes drill 27, not drill 26`")
        }
    })
}

/// Whether two gauges by one method can show the same.
fn agree(one: &Gauge, other: &Gauge) -> bool {
    let beside = |limits: &Interval, value: &Estimate| limits.minus(value).side(0.0);
    let side = match (one, other) {
        (Gauge::Value(one), Gauge::Value(other)) => {
            let difference = Expanded::from(&one.estimate.minus(&other.estimate));
            return difference.value.abs() <= difference.expanded;
        }
        (Gauge::Limits(limits), Gauge::Value(value))
        | (Gauge::Value(value), Gauge::Limits(limits)) => beside(&limits.interval, &value.estimate),
        (Gauge::Limits(one), Gauge::Limits(other)) => {
            let difference = one.interval.minus_interval(&other.interval);
            difference.map_or(Side::CannotTell, |difference| difference.side(0.0))
        }
    };
    !matches!(side, Side::More | Side::Less)
}

fn shown(gauge: &Gauge) -> String {
    let quantity = gauge.method().quantity();
    match gauge {
        Gauge::Value(stated) => Shown::of(quantity, &stated.estimate).plain(),
        Gauge::Limits(limited) => Limits::of(quantity, &limited.interval).plain(),
    }
}

/// A sentence where two gauges are met by no candidate together, though each is by some.
pub(super) fn for_any_candidate(candidates: &[Candidate<'_>], gauges: &[Gauge]) -> Option<String> {
    let agreements: Vec<Vec<Option<bool>>> = candidates
        .iter()
        .map(|one| agreements(one, gauges))
        .collect();
    let places = 0..gauges.len();
    let mut pairs = places.flat_map(|one| (one + 1..gauges.len()).map(move |other| (one, other)));
    let (one, other) = pairs.find(|&(one, other)| {
        let both = |row: &&Vec<Option<bool>>| row[one].is_some() && row[other].is_some();
        let stated = || agreements.iter().filter(both);
        let some = |gauge: usize| stated().any(|row| row[gauge] == Some(true));
        let no_both = !stated().any(|row| row[one] == Some(true) && row[other] == Some(true));
        no_both && some(one) && some(other)
    })?;
    let told = |gauge: &Gauge| {
        let (quantity, method) = (gauge.method().quantity(), method_text(gauge.method()));
        let (quantity, method) = (word(quantity.name()), said(&method));
        format!("{quantity}, {method}: {}", shown(gauge))
    };
    Some(say!(
        "The gauges contradict each other on every piece here that comes near: {one}; {other}. Measure both again.",
        one = told(&gauges[one]),
        other = told(&gauges[other])
    ))
}

/// A sentence where gauges are compared with no candidate, so that they weigh nothing.
pub(super) fn untold(candidates: &[Candidate<'_>], gauges: &[Gauge]) -> Option<String> {
    let rows: Vec<Vec<Option<bool>>> = candidates
        .iter()
        .map(|one| agreements(one, gauges))
        .collect();
    let untold = |place: &usize| rows.iter().all(|row| row[*place].is_none());
    let names = (0..gauges.len()).filter(untold).map(|place| {
        let method = gauges[place].method();
        format!(
            "{}, {}",
            word(method.quantity().name()),
            said(&method_text(method))
        )
    });
    let names: Vec<String> = names.collect();
    (!names.is_empty()).then(|| {
        say!(
            "No piece here that comes near tells this, so that the gauge weighs nothing: {gauges}.",
            gauges = names.join("; ")
        )
    })
}

/// Whether a candidate agrees with each gauge, in the order of the gauges.
fn agreements(candidate: &Candidate<'_>, gauges: &[Gauge]) -> Vec<Option<bool>> {
    let mut values = candidate.gauges.iter().map(|one| one.agrees);
    let mut limits = candidate.limits.iter().map(|one| one.agrees);
    let next = |gauge: &Gauge| match gauge {
        Gauge::Value(_) => values.next().flatten(),
        Gauge::Limits(_) => limits.next().flatten(),
    };
    gauges.iter().map(next).collect()
}
