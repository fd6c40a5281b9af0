//! What a worn or partial stamp, or gauge values, may belong to.
//!
//! The stamp's readings come with probabilities from [`crate::stamp`]; each gauge value then weighs
//! every reading by how likely it is to be shown on that piece. What no scheme here explains
//! keeps its own share, so that nothing is certain only because nothing else was listed.

use std::sync::Arc;

use schemars::JsonSchema;
use serde::Serialize;

use super::decode::{SchemeName, typed};
use super::figure::{Figure, method_text};
use super::gauge::{Gauge, gauge};
use super::limits::Limits;
use super::nearest::spelled;
use crate::language::word;
use crate::method::{Method, no_metal};
use crate::problem::{Kind, Problem};
use crate::route::{Known, Limited, Piece, Stated};
use crate::scheme::{Binding, Scheme};
use crate::snapshot::Snapshot;
use crate::stamp;
use crate::translate::{self, Compared, Difference, LimitedDifference};
use crate::uncertainty::{Estimate, Interval, Side, density_of_nought};
use crate::unit::{Dimension, Span};

/// A character that was taken for another.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TakenAnswer {
    /// Its place in what was typed, from 1.
    pub position: usize,
    /// What was typed; empty where nothing was.
    pub seen: String,
    /// What is meant; empty where it means nothing.
    pub meant: String,
}

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

/// A stamp that says one thing while a gauge says another.
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
    /// How the piece differs.
    pub says: String,
}

/// One piece that it may be.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FoundAnswer {
    /// Canonical stamp.
    pub canonical: String,
    /// Whose.
    pub scheme: SchemeName,
    /// How probable, 0 to 1, among all schemes here and "none of these".
    pub probability: f64,
    /// Which characters were taken for what.
    pub taken: Vec<TakenAnswer>,
    /// Each gauge value held against it.
    pub gauges: Vec<GaugeCheck>,
    /// Each gauge that gives limits only, held against it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub limits: Vec<LimitCheck>,
}

/// What it may be.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FindAnswer {
    /// As typed.
    pub partial: String,
    /// The most probable first.
    pub results: Vec<FoundAnswer>,
    /// Where the stamp by itself is read with more than even probability, and gauges contradict that piece.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub contradiction: Option<ContradictionAnswer>,
    /// Probability of all that is not listed: other readings, and markings of no scheme here.
    pub something_else: f64,
    /// False where a work limit ended the search.
    pub complete: bool,
    /// Names, notes and older words that match as words.
    pub words: Vec<WordAnswer>,
    /// SHA-256 of all tables together.
    pub tables: String,
}

/// A free word that was found.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WordAnswer {
    /// Where it stands.
    pub scheme: SchemeName,
    /// The words.
    pub text: String,
}

/// A candidate before weighing.
struct Candidate<'a> {
    scheme: &'a Scheme,
    stamps: Vec<usize>,
    bindings: Vec<Binding>,
    canonical: String,
    probability: f64,
    taken: Vec<TakenAnswer>,
}

/// Readings that are weighed by gauges. Where more fit the stamp, the answer says that not
/// everything was looked at.
const WEIGHED: usize = 1500;

/// Which question.
#[derive(Clone, Debug)]
pub struct FindAsk<'a> {
    /// What can be seen of the stamp; may be empty where there are gauges.
    pub partial: &'a str,
    /// Gauge values, as `rim inner diameter@inner edge=16.2±0.1mm`.
    pub gauges: &'a [String],
    /// How many to list.
    pub limit: usize,
}

/// A method that two of the gauges have in common.
fn twice(gauges: &[Gauge]) -> Option<&Method> {
    let methods = || gauges.iter().map(Gauge::method);
    methods()
        .enumerate()
        .find_map(|(place, one)| methods().skip(place + 1).find(|other| *other == one))
}

/// Gauge values in one question; a person at a counter has fewer.
const MOST_GAUGES: usize = 12;

/// Finds what a partial stamp and gauge values may belong to. Without a stamp the gauges alone decide.
///
/// # Errors
/// Nothing typed and no gauge, too much typed, or a gauge value that cannot be read.
pub fn find(snapshot: &Snapshot, ask: &FindAsk<'_>) -> Result<FindAnswer, Problem> {
    if ask.gauges.len() > MOST_GAUGES {
        return Err(Problem::new(
            Kind::BadGauge,
            format!("{} gauge values; at most {MOST_GAUGES}", ask.gauges.len()),
        ));
    }
    let read = |(place, text): (usize, &String)| gauge(text, place, &snapshot.tables);
    let gauges: Vec<Gauge> = ask
        .gauges
        .iter()
        .enumerate()
        .map(read)
        .collect::<Result<_, _>>()?;
    if let Some(twice) = twice(&gauges) {
        return Err(Problem::new(
            Kind::BadGauge,
            format!("two gauge values of {} by one method", twice.quantity()),
        )
        .hint("repeats share the gauge's error: give their mean once"));
    }
    let spans: Vec<(&Method, Span)> = gauges
        .iter()
        .map(|one| (one.method(), one.span()))
        .collect();
    if let Some(why) = no_metal(&spans) {
        let says = format!("no metal has both: {why}");
        return Err(Problem::new(Kind::BadGauge, says).hint("measure both again"));
    }
    found(snapshot, ask.partial, &gauges, ask.limit)
}

fn found(
    snapshot: &Snapshot,
    partial: &str,
    gauges: &[Gauge],
    limit: usize,
) -> Result<FindAnswer, Problem> {
    let (candidates, complete) = if partial.trim().is_empty() && !gauges.is_empty() {
        (by_gauge(snapshot, gauges), false)
    } else {
        typed(partial)?;
        by_stamp(
            snapshot,
            partial,
            if gauges.is_empty() {
                limit
            } else {
                WEIGHED.max(limit)
            },
        )?
    };
    let complete = complete && (gauges.is_empty() || candidates.len() < WEIGHED);
    let explained: f64 = candidates.iter().map(|one| one.probability).sum();
    let by_stamp_alone = candidates.iter().position(|one| one.probability > 0.5);
    let mut results: Vec<FoundAnswer> = candidates
        .into_iter()
        .map(|candidate| weighed(snapshot, candidate, gauges))
        .collect();
    let contradiction = by_stamp_alone.and_then(|place| contradicted(results.get(place)?));
    if partial.trim().is_empty() {
        results.retain(|one| one.probability > 0.0);
    }
    let something_else = normalise(&mut results, (1.0 - explained).max(0.0), gauges);
    let listed: f64 = results.iter().skip(limit).map(|one| one.probability).sum();
    results.truncate(limit);
    Ok(FindAnswer {
        partial: partial.trim().to_owned(),
        results,
        contradiction,
        something_else: steady(something_else + listed),
        complete,
        words: words(snapshot, partial),
        tables: snapshot.hash.clone(),
    })
}

/// The gauges that contradict a piece.
fn contradicted(piece: &FoundAnswer) -> Option<ContradictionAnswer> {
    let of_limits = piece
        .limits
        .iter()
        .map(|one| (one.agrees, &one.quantity, &one.says));
    let of_values = piece
        .gauges
        .iter()
        .map(|one| (one.agrees, &one.gauge.quantity, &one.says));
    let gauges: Vec<ContradictingGauge> = of_values
        .chain(of_limits)
        .filter(|(agrees, ..)| *agrees == Some(false))
        .map(|(_, quantity, says)| ContradictingGauge {
            quantity: quantity.clone(),
            says: says.clone(),
        })
        .collect();
    (!gauges.is_empty()).then(|| ContradictionAnswer {
        canonical: piece.canonical.clone(),
        scheme: piece.scheme.clone(),
        gauges,
    })
}

fn words(snapshot: &Snapshot, partial: &str) -> Vec<WordAnswer> {
    let hits = snapshot.words.find(partial);
    let answer = |hit: crate::words::Hit<'_, usize>| WordAnswer {
        scheme: SchemeName::of(snapshot, &snapshot.schemes[*hit.value]),
        text: hit.text.to_owned(),
    };
    hits.into_iter().take(5).map(answer).collect()
}

fn by_stamp<'a>(
    snapshot: &'a Snapshot,
    partial: &str,
    limit: usize,
) -> Result<(Vec<Candidate<'a>>, bool), Problem> {
    let found = snapshot
        .automaton
        .find(partial, limit)
        .map_err(|fault| Problem::new(Kind::BadParameter, fault.to_string()))?;
    let candidate = |one: stamp::FoundReading| {
        let scheme = snapshot.scheme(&one.scheme.id)?;
        let taken = one.taken.iter().map(|taken| TakenAnswer {
            position: taken.position + 1,
            seen: taken.seen.clone(),
            meant: taken.meant.clone(),
        });
        Some(Candidate {
            scheme,
            stamps: one.reading.stamps(),
            bindings: one.bindings.clone(),
            canonical: one.text.clone(),
            probability: one.probability,
            taken: taken.collect(),
        })
    };
    Ok((
        found.readings.into_iter().filter_map(candidate).collect(),
        found.complete,
    ))
}

/// The nearest of every scheme, held to be equally common.
fn by_gauge<'a>(snapshot: &'a Snapshot, gauges: &[Gauge]) -> Vec<Candidate<'a>> {
    let stated: Vec<Stated> = gauges.iter().filter_map(Gauge::value).cloned().collect();
    let limited = gauges.iter().filter_map(Gauge::limits).cloned();
    let nearest = if stated.is_empty() { WITHIN } else { NEAREST };
    let piece = Piece::new(stated, None, &[]).with_limits(limited.collect());
    let each = |target: &'a Arc<translate::Target>| {
        let matches = translate::identify(&piece, target, &snapshot.feel, nearest).matches;
        matches.into_iter().map(|one| {
            let named = &one.named;
            let stamps = named
                .stamps
                .iter()
                .filter_map(|&stamp| spelled(&target.scheme, stamp, &named.bindings));
            let canonical = stamps.collect::<Vec<_>>().join(" + ");
            let scheme: &'a Scheme = &target.scheme;
            Candidate {
                scheme,
                stamps: named.stamps.to_vec(),
                bindings: named.bindings.clone(),
                canonical,
                probability: 0.0,
                taken: Vec::new(),
            }
        })
    };
    let mut candidates: Vec<Candidate<'a>> = snapshot.targets.iter().flat_map(each).collect();
    let count = candidates.len() as f64;
    candidates
        .iter_mut()
        .for_each(|one| one.probability = KNOWN / count);
    candidates
}

/// Pieces of a scheme that are held against gauge values where there is no stamp.
const NEAREST: usize = 5;

/// The same where all gauges give limits only: whatever fits them fits as well as any other.
const WITHIN: usize = 300;

/// How probable it is, before any gauge is put to it, that a piece is of a scheme here. Judged; no source.
const KNOWN: f64 = 0.9;

/// The span over which a gauge value of an unknown piece may lie, mm or mm³: what is not explained is
/// equally likely anywhere in it. Judged; no source.
fn span(method: &Method) -> f64 {
    match method.quantity().dimension() {
        Dimension::Volume => 2000.0,
        _ => 10.0,
    }
}

/// How likely a gauge shows what it does on a piece of which nothing is known: a density for a value,
/// a probability for limits; with one end missing as good as even.
fn anywhere(gauge: &Gauge) -> f64 {
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
fn within(piece: &Piece, limited: &Limited) -> (LimitCheck, Option<f64>) {
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
fn closed(limits: &Interval, open: f64) -> (f64, f64) {
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

fn weighed(snapshot: &Snapshot, candidate: Candidate<'_>, gauges: &[Gauge]) -> FoundAnswer {
    let Candidate {
        scheme,
        stamps,
        bindings,
        canonical,
        probability,
        taken,
    } = candidate;
    let mut answer = FoundAnswer {
        canonical,
        scheme: SchemeName::of(snapshot, scheme),
        probability,
        taken,
        gauges: Vec::new(),
        limits: Vec::new(),
    };
    if gauges.is_empty() {
        return answer;
    }
    let made = scheme.make(&bindings, &stamps);
    let mut differences = Vec::new();
    for gauge in gauges {
        let weight = match gauge {
            Gauge::Value(stated) => {
                let (check, weight) = held(snapshot, &made.piece, stated);
                answer.gauges.push(check);
                weight
            }
            Gauge::Limits(limited) => {
                let (check, fits) = within(&made.piece, limited);
                answer.limits.push(check);
                fits.map(Weight::Alone)
            }
        };
        match weight {
            Some(Weight::Alone(likelihood)) => answer.probability *= likelihood,
            Some(Weight::Together(difference)) => differences.push(difference),
            None => answer.probability *= anywhere(gauge),
        }
    }
    answer.probability *= density_of_nought(&differences, THINNEST);
    answer
}

/// What a gauge says for a piece.
enum Weight {
    /// A likelihood (per mm or mm³) that leans on no other gauge's.
    Alone(f64),
    /// A difference, likely or not together with those of other gauges: they may share a gauge's error, and
    /// they share what is not known of the piece.
    Together(Estimate),
}

/// A gauge value held against a piece, and what it says for it.
fn held(snapshot: &Snapshot, piece: &Piece, stated: &Stated) -> (GaugeCheck, Option<Weight>) {
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

/// Weights become probabilities; the rest is what is not explained.
/// `unlisted` is what the stamp left to all else; a gauge value may lie anywhere on that.
fn normalise(results: &mut [FoundAnswer], unlisted: f64, gauges: &[Gauge]) -> f64 {
    let prior: f64 = results.iter().map(|one| one.probability).sum();
    let unexplained = unlisted * gauges.iter().map(anywhere).product::<f64>();
    let total = prior + unexplained;
    if !(total > 0.0 && total.is_finite()) {
        results.iter_mut().for_each(|one| one.probability = 0.0);
        return 1.0;
    }
    results
        .iter_mut()
        .for_each(|one| one.probability = steady(one.probability / total));
    results.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    unexplained / total
}

/// Six digits: more would claim more than a judged model knows.
fn steady(probability: f64) -> f64 {
    (probability * 1e6).round() / 1e6
}
