//! The one look or gauge reading that would best tell the first candidates apart.
//!
//! Each look at a sign ([`crate::stamp::Glyphs::looks`]) and each gauge reading that candidates can state is
//! worth what it is expected to tell of which of them it is, in bits ([`crate::uncertainty::information`]).
//! A figure's own doubt, errors shared by a series among it, and that of the reading widen what would be
//! shown; all is taken as normal, and limits as anywhere between their ends. What is none of the candidates,
//! and a candidate of which the look is not known, is held to be told nothing of. The look comes before the
//! gauge where both tell as much: it takes no tool.

use schemars::JsonSchema;
use serde::Serialize;

use super::super::figure::{Amount, Figure, Reads, Shown, method_text};
use super::super::gauge::Gauge;
use super::super::limits::Limits;
use super::Candidate;
use super::held::{closed, span};
use crate::language::{number, word};
use crate::method::{Method, MethodRow, Quantity, said};
use crate::route::{Known, Piece};
use crate::snapshot::Snapshot;
use crate::stamp::{Look, Spot, Suspect};
use crate::uncertainty::information::{Shows, doubt, of_reading};
use crate::uncertainty::{Estimate, Interval};
use crate::unit::Dimension;

/// What to look at or to gauge next.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NextAnswer {
    /// One sentence.
    pub says: String,
    /// What it is expected to tell of which of the first results it is, bit.
    pub bits: f64,
    /// The doubt between the first results, bit: no look can tell more.
    pub open_bits: f64,
    /// The look at a sign, if it is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub look: Option<NextLook>,
    /// The gauge reading, if it is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gauge: Option<NextGauge>,
}

/// A look at a sign.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NextLook {
    /// Which of the characters typed, from 1; or before which the gap is.
    pub position: usize,
    /// Whether it is the gap before that character.
    pub gap: bool,
    /// What may be seen there, the likeliest first.
    pub answers: Vec<LookAnswered>,
}

/// One thing that may be seen.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LookAnswered {
    /// The glyphs; empty where there are none.
    pub seen: String,
    /// How probable it is that it is seen, if anything can be read there.
    pub probability: f64,
    /// The canonical stamps that have it.
    pub of: Vec<String>,
    /// What is typed then.
    pub then: String,
}

/// A gauge reading.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NextGauge {
    /// What is measured.
    pub quantity: String,
    /// Where and how the gauge is put.
    pub method: String,
    /// As a gauge value is written, up to the `=`.
    pub by: String,
    /// How far the second of the pieces lies from the first, or limits of that.
    pub apart: Reads,
    /// How sure one reading is.
    pub reading: ReadingOf,
    /// What each of the first results measures by it.
    pub pieces: Vec<GaugedPiece>,
}

/// The expanded uncertainty of one reading, judged in `tables/methods.yml`.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum ReadingOf {
    /// Of a length.
    Length {
        /// Expanded uncertainty, mm.
        expanded_mm: f64,
        /// Its coverage factor.
        k: f64,
    },
    /// Of a volume.
    Volume {
        /// Expanded uncertainty, ml.
        expanded_ml: f64,
        /// Its coverage factor.
        k: f64,
    },
}

/// One of the first results by the method.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct GaugedPiece {
    /// Its canonical stamp.
    pub canonical: String,
    /// The scheme's id.
    pub scheme: String,
    /// What it measures.
    pub measured: Figure,
}

/// What is said of telling candidates apart.
#[derive(Default)]
pub(super) struct Told {
    pub next: Option<NextAnswer>,
    pub alike: Option<String>,
}

/// Candidates that are told apart: more would be work that changes nothing.
const FIRST: usize = 8;

/// What tells less, bit, all that is not among the first counted as told nothing of, is not worth the while.
/// Judged; no source.
const LEAST: f64 = 0.05;

const K: f64 = MethodRow::READING_K;

/// What to do next about candidates in their order.
pub(super) fn next(
    snapshot: &Snapshot,
    partial: &str,
    candidates: &[Candidate<'_>],
    gauges: &[Gauge],
) -> Told {
    let first = &candidates[..candidates.len().min(FIRST)];
    let weights: Vec<f64> = first.iter().map(|one| one.probability).collect();
    let mass: f64 = weights.iter().sum();
    let open = doubt(&weights);
    if !(mass > 0.0 && mass * open >= LEAST) {
        return Told::default();
    }
    let bench = Bench::of(snapshot, first);
    let readings = bench.readings(gauges);
    let gauge = readings
        .iter()
        .max_by(|one, other| one.bits.total_cmp(&other.bits));
    let look = look(snapshot, partial, first, mass);
    let by_gauge = gauge.map_or(0.0, |one| one.bits);
    let by_look = look.as_ref().map_or(0.0, |one| one.bits);
    let worth = |bits: f64| mass * bits >= LEAST;
    let next = match (look, gauge) {
        (Some(look), _) if by_look >= by_gauge && worth(by_look) => {
            Some(look_answer(partial, first, &look, open))
        }
        (_, Some(gauge)) if worth(by_gauge) => Some(bench.answer(gauge, open)),
        _ => None,
    };
    Told {
        next,
        alike: alike(first, &readings),
    }
}

/// A sentence where no gauge tells the first two apart, and they can be compared.
fn alike(first: &[Candidate<'_>], readings: &[Reading]) -> Option<String> {
    let [one, other] = first.get(..2)? else {
        return None;
    };
    let pair: Vec<f64> = readings
        .iter()
        .filter_map(|reading| reading.of_pair)
        .collect();
    let open = other.probability >= super::certain::PROBABLE;
    let same = open && !pair.is_empty() && pair.iter().all(|bits| *bits < LEAST);
    same.then(|| {
        say!(
            "{one} and {other} measure alike: no gauge at a counter tells them apart",
            one = named(one, first),
            other = named(other, first)
        )
    })
}

/// A candidate by its stamp, and its maker where another bears the same.
fn named(candidate: &Candidate<'_>, among: &[Candidate<'_>]) -> String {
    let mut same = among
        .iter()
        .filter(|one| one.canonical == candidate.canonical);
    match same.any(|one| one.scheme.id != candidate.scheme.id) {
        true => format!("{} ({})", candidate.canonical, candidate.scheme.title),
        false => candidate.canonical.clone(),
    }
}

/// The best look; candidates whose signs are not known are told nothing of.
fn look(snapshot: &Snapshot, partial: &str, first: &[Candidate<'_>], mass: f64) -> Option<Look> {
    let known = || {
        first
            .iter()
            .enumerate()
            .filter(|(_, one)| !one.struck.is_empty())
    };
    let suspects: Vec<Suspect<'_>> = known()
        .map(|(_, one)| Suspect {
            weight: one.probability,
            struck: &one.struck,
        })
        .collect();
    let places: Vec<usize> = known().map(|(place, _)| place).collect();
    let share = suspects.iter().map(|one| one.weight).sum::<f64>() / mass;
    let mut look = snapshot
        .automaton
        .glyphs()
        .looks(partial, &suspects)
        .into_iter()
        .next()?;
    look.bits *= share;
    for of in look.answers.iter_mut().flat_map(|answer| &mut answer.of) {
        *of = places[*of];
    }
    Some(look)
}

fn look_answer(partial: &str, first: &[Candidate<'_>], look: &Look, open: f64) -> NextAnswer {
    let typed: Vec<char> = partial.chars().collect();
    let (place, gap) = match look.spot {
        Spot::At(place) => (place, false),
        Spot::Before(place) => (place, true),
    };
    let answers = look.answers.iter().map(|answer| LookAnswered {
        seen: answer.seen.clone(),
        probability: super::steady(answer.chance),
        of: answer
            .of
            .iter()
            .map(|&one| first[one].canonical.clone())
            .collect(),
        then: then(&typed, place, gap, &answer.seen),
    });
    NextAnswer {
        says: look_says(&typed, look),
        bits: super::steady(look.bits),
        open_bits: super::steady(open),
        look: Some(NextLook {
            position: place + 1,
            gap,
            answers: answers.collect(),
        }),
        gauge: None,
    }
}

/// What is typed once this was seen.
fn then(typed: &[char], place: usize, gap: bool, seen: &str) -> String {
    let (before, from) = typed.split_at(place.min(typed.len()));
    let after = &from[usize::from(!gap).min(from.len())..];
    let before: String = before.iter().collect();
    format!("{before}{seen}{}", after.iter().collect::<String>())
}

/// Answers that are named; beyond them a person looks anyway.
const NAMED: usize = 4;

fn look_says(typed: &[char], look: &Look) -> String {
    let at = |place: usize| typed.get(place).copied();
    let seen = or(look);
    match look.spot {
        Spot::At(place) if at(place) == Some('*') => {
            say!("look at the stretch typed *: {seen}", seen)
        }
        Spot::At(place) => match at(place).filter(|typed| *typed != '?') {
            Some(typed) => say!(
                "look at sign {number}, typed {typed}: {seen}",
                number = place + 1,
                typed,
                seen
            ),
            None => say!("look at sign {number}: {seen}", number = place + 1, seen),
        },
        Spot::Before(0) => say!("look before the first sign: {seen}", seen),
        Spot::Before(place) if place >= typed.len() => {
            say!("look after the last sign: {seen}", seen)
        }
        Spot::Before(place) => say!(
            "look between the signs {before} and {after}: {seen}",
            before = place,
            after = place + 1,
            seen
        ),
    }
}

/// What may be seen, the likeliest first: `6` or `8`?
fn or(look: &Look) -> String {
    let named = look.answers.iter().take(NAMED);
    let named = named.map(|one| match one.seen.as_str() {
        "" => say!("nothing"),
        seen => format!("`{seen}`"),
    });
    let mut named: Vec<String> = named.collect();
    if look.answers.len() > NAMED {
        named.push(say!("another"));
    }
    let last = named.pop().unwrap_or_default();
    say!("{others} or {last}?", others = named.join(", "), last)
}

/// The first candidates as metal.
struct Bench<'a> {
    snapshot: &'a Snapshot,
    first: &'a [Candidate<'a>],
    pieces: Vec<Piece>,
}

/// A gauge reading that may be taken.
struct Reading {
    method: Method,
    /// Standard uncertainty of the reading.
    u: f64,
    /// By place of the candidate, what it measures.
    known: Vec<(usize, Known)>,
    bits: f64,
    /// The same for the first two candidates alone, held to be as likely; none where it is not known of both.
    of_pair: Option<f64>,
}

impl<'a> Bench<'a> {
    fn of(snapshot: &'a Snapshot, first: &'a [Candidate<'a>]) -> Self {
        let pieces = first
            .iter()
            .map(|one| one.scheme.make(&one.bindings, &one.stamps).piece);
        Self {
            snapshot,
            first,
            pieces: pieces.collect(),
        }
    }

    /// All readings that a counter can take and have not been taken.
    fn readings(&self, taken: &[Gauge]) -> Vec<Reading> {
        let rows = self
            .snapshot
            .tables
            .methods
            .rows()
            .iter()
            .map(|row| Method {
                row: row.clone(),
                parameters: row.defaults,
            });
        let stated = self
            .pieces
            .iter()
            .flat_map(|piece| piece.stated())
            .map(|one| one.method.clone());
        let mut methods: Vec<Method> = Vec::new();
        for method in rows.chain(stated) {
            let new = !methods.contains(&method) && taken.iter().all(|one| *one.method() != method);
            if new && method.row.reading.is_some() && method.missing().is_none() {
                methods.push(method);
            }
        }
        methods
            .into_iter()
            .filter_map(|method| self.reading(method))
            .collect()
    }

    fn reading(&self, method: Method) -> Option<Reading> {
        let u = method.row.standard_reading()?;
        let pieces = self.pieces.iter().enumerate();
        let known: Vec<(usize, Known)> = pieces
            .filter_map(|(place, piece)| Some((place, piece.known(&method).ok()?)))
            .collect();
        let weight = |place: usize| self.first[place].probability;
        let weights: Vec<f64> = known.iter().map(|(place, _)| weight(*place)).collect();
        let shows: Vec<Shows> = known.iter().map(|(_, known)| shows(known, u)).collect();
        let all: f64 = (0..self.first.len()).map(weight).sum();
        let share = weights.iter().sum::<f64>() / all;
        let pair = known.len() > 1 && (known[0].0, known[1].0) == (0, 1);
        let of_pair = pair.then(|| of_reading(&[1.0, 1.0], &shows[..2]));
        (known.len() > 1).then(|| Reading {
            method,
            u,
            bits: share * of_reading(&weights, &shows),
            known,
            of_pair,
        })
    }

    fn answer(&self, reading: &Reading, open: f64) -> NextAnswer {
        let quantity = reading.method.quantity();
        let (one, other) = apart_most(&reading.known);
        let apart = apart(quantity, &reading.known[one].1, &reading.known[other].1);
        let name = |place: usize| named(&self.first[reading.known[place].0], self.first);
        let pieces = reading.known.iter().map(|(place, known)| GaugedPiece {
            canonical: self.first[*place].canonical.clone(),
            scheme: self.first[*place].scheme.id.clone(),
            measured: Figure::known(known),
        });
        NextAnswer {
            says: say!(
                "gauge the {quantity}, {method}: {apart} between {one} and {other}, U of a reading {reading}",
                quantity = word(quantity.name()),
                method = said(&method_text(&reading.method)),
                apart = apart_text(&apart),
                one = name(one),
                other = name(other),
                reading = reading_text(quantity, reading.u)
            ),
            bits: super::steady(reading.bits),
            open_bits: super::steady(open),
            look: None,
            gauge: Some(NextGauge {
                quantity: quantity.name().into(),
                method: method_text(&reading.method),
                by: format!("{quantity}@{}", reading.method),
                apart,
                reading: reading_of(quantity, reading.u),
                pieces: pieces.collect(),
            }),
        }
    }
}

/// What the gauge would show, the doubt of the figure and of the reading together.
fn shows(known: &Known, u: f64) -> Shows {
    match known {
        Known::Value(measured) => Shows::About {
            value: measured.estimate.value(),
            u: measured.estimate.u().hypot(u),
        },
        Known::Limits(within) => {
            let (low, high) = closed(&within.interval, span(&within.method));
            Shows::Between { low, high, u }
        }
    }
}

/// The first, and of the others the first that is not the same, as far as sizes are shown.
fn apart_most(known: &[(usize, Known)]) -> (usize, usize) {
    let far = |one: &Known, other: &Known| match (one, other) {
        (Known::Value(one), Known::Value(other)) => {
            let difference = other.estimate.minus(&one.estimate);
            difference.value().abs() >= difference.u()
        }
        _ => true,
    };
    let other = (1..known.len()).find(|&other| far(&known[0].1, &known[other].1));
    (0, other.unwrap_or(1))
}

/// How far the second lies from the first; shared errors have cancelled.
fn apart(quantity: Quantity, one: &Known, other: &Known) -> Reads {
    let value = |known: &Known| match known {
        Known::Value(measured) => Some(measured.estimate.clone()),
        Known::Limits(_) => None,
    };
    let limits = match (value(one), value(other)) {
        (Some(one), Some(other)) => {
            return Reads::Value(Shown::of(quantity, &magnitude(&other.minus(&one))));
        }
        (Some(one), None) => interval(other).map(|other| other.minus(&one)),
        (None, Some(other)) => interval(one).map(|one| one.taken_from(&other)),
        (None, None) => interval(one)
            .zip(interval(other))
            .and_then(|(one, other)| other.minus_interval(one)),
    };
    Reads::Limits(limits.map_or_else(Limits::open, |limits| Limits::of(quantity, &limits)))
}

fn interval(known: &Known) -> Option<&Interval> {
    match known {
        Known::Limits(within) => Some(&within.interval),
        Known::Value(_) => None,
    }
}

fn magnitude(difference: &Estimate) -> Estimate {
    match difference.value() < 0.0 {
        true => Estimate::exact(0.0).minus(difference),
        false => difference.clone(),
    }
}

fn apart_text(apart: &Reads) -> String {
    match apart {
        Reads::Value(shown) => shown.text(),
        Reads::Limits(limits) => limits.signed(),
    }
}

fn reading_of(quantity: Quantity, u: f64) -> ReadingOf {
    let expanded = Amount::of(quantity, &Estimate::exact(K * u)).parts().0;
    match quantity.dimension() {
        Dimension::Volume => ReadingOf::Volume {
            expanded_ml: expanded,
            k: K,
        },
        _ => ReadingOf::Length {
            expanded_mm: expanded,
            k: K,
        },
    }
}

fn reading_text(quantity: Quantity, u: f64) -> String {
    match reading_of(quantity, u) {
        ReadingOf::Length { expanded_mm, .. } => number(format!("{expanded_mm} mm (k {K:.2})")),
        ReadingOf::Volume { expanded_ml, .. } => number(format!("{expanded_ml} ml (k {K:.2})")),
    }
}
