//! A gauge value held against a piece, and how likely it is to be shown there.
//!
//! A value has a density, per mm or mm³; limits have a probability. Limits have no distribution: to weigh
//! pieces against one another all places between them are held to be as likely. What cannot be compared has
//! no likelihood, and is weighed as a piece of which nothing is known ([`anywhere`]).

use schemars::JsonSchema;
use serde::Serialize;

use super::super::figure::{Figure, method_text};
use super::super::gauge::Gauge;
use super::super::limits::Limits;
use crate::language::word;
use crate::method::Method;
use crate::route::{Known, Limited, Piece, Stated};
use crate::snapshot::Snapshot;
use crate::translate::{self, Compared, Difference, LimitedDifference};
use crate::uncertainty::{Estimate, Interval, Side, density_of_nought};
use crate::unit::Dimension;

/// A gauge value held against a piece.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct GaugeCheck {
    /// What the gauge showed.
    pub gauge: Figure,
    /// What the piece measures by that method; none where it cannot be compared.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub piece: Option<Figure>,
    /// |difference| over its expanded uncertainty.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub e_n: Option<f64>,
    /// Whether both agree within their uncertainty; none where they cannot be compared.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub agrees: Option<bool>,
    /// In words.
    pub says: String,
}

/// Limits that a gauge gives, held against a piece.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LimitCheck {
    /// What is meant.
    pub quantity: String,
    /// Where and how the gauge is put.
    pub method: String,
    /// The limits: `low` and `high`.
    #[serde(flatten)]
    pub limits: Limits,
    /// "between 3.66 mm ± … and 3.73 mm ± …", "at least …" or "at most …".
    pub text: String,
    /// What the piece measures by that method; none where it cannot be compared.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub piece: Option<Figure>,
    /// Whether the piece may lie within the limits; none where they cannot be compared.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub agrees: Option<bool>,
    /// In words.
    pub says: String,
}

/// The span over which a gauge value of an unknown piece may lie, mm or mm³: what is not explained is
/// equally likely anywhere in it. Judged; no source.
pub(super) fn span(method: &Method) -> f64 {
    match method.quantity().dimension() {
        Dimension::Volume => 2000.0,
        _ => 10.0,
    }
}

/// How likely a gauge shows what it does on a piece of which nothing is known: a density for a value,
/// a probability for limits; with one end missing as good as even.
pub(super) fn anywhere(gauge: &Gauge) -> f64 {
    let span = span(gauge.method());
    match gauge {
        Gauge::Value(_) => 1.0 / span,
        Gauge::Limits(limited) => match (limited.interval.low(), limited.interval.high()) {
            (Some(low), Some(high)) => ((high.value() - low.value()) / span).clamp(0.0, 1.0),
            _ => 0.5,
        },
    }
}

/// Limits held against a piece, and the probability that it lies within.
pub(super) fn within(piece: &Piece, limited: &Limited) -> (LimitCheck, Option<f64>) {
    let (method, interval) = (&limited.method, &limited.interval);
    let quantity = method.quantity();
    let known = piece.known(method);
    let (side, fits) = match &known {
        Ok(Known::Value(measured)) => (
            interval.minus(&measured.estimate).side(0.0),
            Some(interval.holds(&measured.estimate)),
        ),
        Ok(Known::Limits(within)) => (
            (interval.minus_interval(&within.interval))
                .map_or(Side::CannotTell, |one| one.side(0.0)),
            Some(share(&within.interval, interval, span(method))),
        ),
        Err(_) => (Side::CannotTell, None),
    };
    let (more, less) = quantity.directions();
    let says = match (&known, side) {
        (Err(why), _) => say!("cannot be compared: {why}", why),
        (_, Side::More) => beyond_limits(less),
        (_, Side::Less) => beyond_limits(more),
        _ => say!("agrees with the limits"),
    };
    let limits = Limits::of(quantity, interval);
    let check = LimitCheck {
        quantity: quantity.name().into(),
        method: method_text(method),
        text: limits.text(),
        limits,
        agrees: known
            .is_ok()
            .then_some(!matches!(side, Side::More | Side::Less)),
        piece: known.ok().as_ref().map(Figure::known),
        says,
    };
    (check, fits)
}

/// The share of a piece's limits that lies within those of a gauge. Limits have no distribution; to
/// weigh pieces against one another all places between the ends are held to be as likely, and an open
/// side to be `open` long. Judged; no source.
fn share(piece: &Interval, gauge: &Interval, open: f64) -> f64 {
    let (low, high) = closed(piece, open);
    let (from, to) = gauge.outermost();
    ((high.min(to) - low.max(from)) / (high - low)).clamp(0.0, 1.0)
}

/// The outermost of limits, an open side taken to be so long. Never of no length.
pub(super) fn closed(limits: &Interval, open: f64) -> (f64, f64) {
    let (low, high) = limits.outermost();
    match (low.is_finite(), high.is_finite()) {
        (true, true) => (low, high.max(low + THINNEST)),
        (true, false) => (low, low + open),
        _ => (high - open, high),
    }
}

/// Limits nearer to one another than this, mm or mm³, are weighed as if they were so far apart. Judged;
/// no source.
const THINNEST: f64 = 0.001;

/// What a gauge says for a piece.
pub(super) enum Weight {
    /// A likelihood (per mm or mm³) that leans on no other gauge's.
    Alone(f64),
    /// A difference, likely or not together with those of other gauges: they may share a gauge's error, and
    /// they share what is not known of the piece.
    Together(Estimate),
}

/// A gauge value held against a piece, and what it says for it.
pub(super) fn held(
    snapshot: &Snapshot,
    piece: &Piece,
    stated: &Stated,
) -> (GaugeCheck, Option<Weight>) {
    let alone = Piece::new(vec![stated.clone()], None, &[]);
    let method = &stated.method;
    let shown = match Figure::read(&alone, method) {
        Ok(shown) => shown,
        Err(_) => unreachable!("a figure is stated by its own method"),
    };
    let (piece, e_n, says, weight) = match translate::compare(&alone, piece, method, &snapshot.feel)
    {
        Ok(Compared::Value(one)) => (
            Some(Figure::of(&one.theirs, &[])),
            one.e_n,
            against_value(&one),
            Some(Weight::Together(one.difference.clone())),
        ),
        Ok(Compared::Limits(one)) => (
            Some(Figure::known(&one.theirs)),
            None,
            against_limits(&one),
            density_within(&one, stated, span(method)).map(Weight::Alone),
        ),
        Err(why) => (None, None, say!("cannot be compared: {why}", why), None),
    };
    let check = GaugeCheck {
        gauge: shown,
        agrees: piece.is_some().then_some(says == word(AGREES)),
        piece,
        e_n,
        says,
    };
    (check, weight)
}

/// How likely all these differences are nothing at once.
pub(super) fn together(differences: &[Estimate]) -> f64 {
    density_of_nought(differences, THINNEST)
}

fn against_value(one: &Difference) -> String {
    match one.e_n {
        Some(e_n) if e_n <= 1.0 => word(AGREES),
        _ => {
            let (more, less) = one.method.quantity().directions();
            let more_so = one.difference.value() > 0.0;
            beyond(if more_so { more } else { less })
        }
    }
}

fn against_limits(one: &LimitedDifference) -> String {
    let (more, less) = one.method.quantity().directions();
    match one
        .difference
        .as_ref()
        .map(|difference| difference.side(0.0))
    {
        Some(Side::More) => beyond(more),
        Some(Side::Less) => beyond(less),
        _ => word(AGREES),
    }
}

const AGREES: &str = word!("agrees within the uncertainty");

fn beyond_limits(direction: &str) -> String {
    let direction = word(direction);
    say!(
        "the piece is {direction} than the limits, beyond the uncertainty",
        direction
    )
}

fn beyond(direction: &str) -> String {
    let direction = word(direction);
    say!(
        "the piece is {direction} than the gauge shows, beyond the uncertainty",
        direction
    )
}

/// The gauge's value anywhere within the piece's limits is as likely, see [`share`].
fn density_within(one: &LimitedDifference, stated: &Stated, open: f64) -> Option<f64> {
    let Known::Limits(within) = &one.theirs else {
        return None;
    };
    let (low, high) = closed(&within.interval, open);
    Some(within.interval.holds(&stated.estimate) / (high - low))
}
