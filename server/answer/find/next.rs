//! The one look or gauge reading that would best tell the first candidates apart.
//!
//! Each look at a sign ([`crate::stamp::Glyphs::looks`]) and each gauge reading that candidates can state is
//! worth what it is expected to tell of which of them it is, in bits ([`crate::uncertainty::information`]).
//! A figure's own doubt, errors shared by a series among it, and that of the reading widen what would be
//! shown; all is taken as normal, and limits as anywhere between their ends. What is none of the candidates,
//! and a candidate of which the look is not known, is held to be told nothing of. The look comes before the
//! gauge where both tell as much: it takes no tool. What was gauged is gauged again only by a surer reading.
//!
//! A line that stands for many pieces takes part by a few of them, evenly picked, which share its probability.

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
    /// How far the two pieces that it tells apart best lie from each other, or limits of that.
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

/// Candidates that are told apart: more would be work that changes nothing. As many stand for a line of many pieces.
const FIRST: usize = 8;

/// A reading is proposed for what was gauged already only if its u is less than this share of what it was. Judged;
/// no source.
const SURER: f64 = 0.75;

/// A candidate among the first, with its probability or its share in that of its line.
#[derive(Clone, Copy)]
struct Suspected<'a> {
    one: &'a Candidate<'a>,
    probability: f64,
}

/// The first candidates; of a line of many pieces some, evenly picked.
fn first<'a>(candidates: &'a [Candidate<'a>]) -> Vec<Suspected<'a>> {
    candidates.iter().take(FIRST).flat_map(suspected).collect()
}

fn suspected<'a>(line: &'a Candidate<'a>) -> Vec<Suspected<'a>> {
    let last = line.members.len().saturating_sub(1);
    if last == 0 {
        let probability = line.probability;
        return vec![Suspected {
            one: line,
            probability,
        }];
    }
    let picked = (0..FIRST).map(|one| &line.members[one * last / (FIRST - 1)]);
    let probability = line.probability / FIRST as f64;
    picked.map(|one| Suspected { one, probability }).collect()
}

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
    let first = &first(candidates)[..];
    let weights: Vec<f64> = first.iter().map(|one| one.probability).collect();
    let mass: f64 = weights.iter().sum();
    let open = doubt(&weights);
    if !(mass > 0.0 && mass * open >= LEAST) {
        return Told::default();
    }
    let bench = Bench::of(snapshot, first);
    let readings = bench.readings();
    let gauge = readings
        .iter()
        .filter(|one| one.is_surer_than(gauges))
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

/// A sentence where no gauge, put to it already or not, tells any two of the probable first apart, and all can be
/// compared.
fn alike(first: &[Suspected<'_>], readings: &[Reading]) -> Option<String> {
    let probable = |place: &usize| first[*place].probability >= super::certain::PROBABLE;
    let places: Vec<usize> = (0..first.len()).filter(probable).collect();
    let [one, other, rest @ ..] = places.as_slice() else {
        return None;
    };
    let pairs = places.iter().enumerate();
    let mut pairs =
        pairs.flat_map(|(next, one)| places[next + 1..].iter().map(move |other| (*one, *other)));
    let same = pairs.all(|(one, other)| {
        let mut told = readings
            .iter()
            .filter_map(|reading| reading.of_pair(one, other))
            .peekable();
        told.peek().is_some() && told.all(|bits| bits < LEAST)
    });
    let (one, other) = (named(&first[*one], first), named(&first[*other], first));
    same.then(|| match rest.len() {
        0 => say!(
            "{one} and {other} measure alike: no gauge at a counter tells them apart",
            one,
            other
        ),
        more => say!(
            "{one}, {other} and {more} more measure alike: no gauge at a counter tells them apart",
            one,
            other,
            more
        ),
    })
}

/// A candidate by its stamp, with its maker where another's bears the same, and its years where another of its maker
/// does.
fn named(candidate: &Suspected<'_>, among: &[Suspected<'_>]) -> String {
    let candidate = candidate.one;
    let same = || {
        let others = among.iter().map(|one| one.one);
        others.filter(|one| one.canonical == candidate.canonical)
    };
    let of_another = same().any(|one| one.scheme.id != candidate.scheme.id);
    let maker = of_another.then(|| candidate.scheme.title.clone());
    let again = same()
        .any(|one| one.scheme.id == candidate.scheme.id && one.bindings != candidate.bindings);
    let years = candidate
        .years()
        .filter(|_| again || candidate.has_a_namesake());
    match [maker, years].into_iter().flatten().collect::<Vec<_>>() {
        none if none.is_empty() => candidate.canonical.clone(),
        some => format!("{} ({})", candidate.canonical, some.join(", ")),
    }
}

/// The best look; candidates whose signs are not known are told nothing of.
fn look(snapshot: &Snapshot, partial: &str, first: &[Suspected<'_>], mass: f64) -> Option<Look> {
    let known = || {
        first
            .iter()
            .enumerate()
            .filter(|(_, one)| !one.one.struck.is_empty())
    };
    let suspects: Vec<Suspect<'_>> = known()
        .map(|(_, one)| Suspect {
            weight: one.probability,
            struck: &one.one.struck,
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

fn look_answer(partial: &str, first: &[Suspected<'_>], look: &Look, open: f64) -> NextAnswer {
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
            .map(|&one| first[one].one.canonical.clone())
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

/// Bits of two that are as likely: half of what there is to tell.
const MOSTLY_TOLD: f64 = 0.5;

/// The first candidates as metal.
struct Bench<'a> {
    snapshot: &'a Snapshot,
    first: &'a [Suspected<'a>],
    pieces: Vec<Piece>,
}

/// A gauge reading that may be taken.
struct Reading {
    method: Method,
    /// Standard uncertainty of the reading.
    u: f64,
    /// By place of the candidate, what it measures.
    known: Vec<(usize, Known)>,
    /// What each would show, as `known`.
    shows: Vec<Shows>,
    bits: f64,
}

impl Reading {
    /// Whether it was not taken yet, or only by readings that were less sure.
    fn is_surer_than(&self, taken: &[Gauge]) -> bool {
        let mut same = taken.iter().filter(|one| *one.method() == self.method);
        same.all(|one| self.u < SURER * one.u())
    }

    /// What it tells of two candidates alone, held to be as likely; none where it is not known of both.
    fn of_pair(&self, one: usize, other: usize) -> Option<f64> {
        let show = |place: usize| {
            let at = self.known.iter().position(|(known, _)| *known == place)?;
            Some(self.shows[at])
        };
        Some(of_reading(&[1.0, 1.0], &[show(one)?, show(other)?]))
    }

    /// The two of `known` of which it takes most doubt away, as probable as they are, of those that it mostly tells apart, if
    /// there are any: first the likelier.
    fn apart_most(&self, weights: &[f64]) -> (usize, usize) {
        let all = 0..self.known.len();
        let pairs = all.flat_map(|one| (one + 1..self.known.len()).map(move |other| (one, other)));
        let pairs: Vec<(usize, usize)> = pairs.collect();
        let is_told = |&(one, other): &(usize, usize)| {
            of_reading(&[1.0, 1.0], &[self.shows[one], self.shows[other]]) >= MOSTLY_TOLD
        };
        let are_told = pairs.iter().any(is_told);
        let pairs = pairs.into_iter().filter(|pair| !are_told || is_told(pair));
        let told = |&(one, other): &(usize, usize)| {
            let both = [weights[one], weights[other]];
            (both[0] + both[1]) * of_reading(&both, &[self.shows[one], self.shows[other]])
        };
        let best = pairs.max_by(|one, other| {
            let order = super::steady(told(one)).total_cmp(&super::steady(told(other)));
            order.then_with(|| other.cmp(one))
        });
        best.unwrap_or((0, 0))
    }
}

impl<'a> Bench<'a> {
    fn of(snapshot: &'a Snapshot, first: &'a [Suspected<'a>]) -> Self {
        let pieces = first.iter().map(|first| {
            let one = first.one;
            one.scheme.make(&one.bindings, &one.stamps).piece
        });
        Self {
            snapshot,
            first,
            pieces: pieces.collect(),
        }
    }

    /// All readings that a counter can take.
    fn readings(&self) -> Vec<Reading> {
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
            let new = !methods.contains(&method);
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
        (known.len() > 1).then(|| Reading {
            method,
            u,
            bits: share * of_reading(&weights, &shows),
            known,
            shows,
        })
    }

    fn answer(&self, reading: &Reading, open: f64) -> NextAnswer {
        let quantity = reading.method.quantity();
        let weight = |(place, _): &(usize, Known)| self.first[*place].probability;
        let weights: Vec<f64> = reading.known.iter().map(weight).collect();
        let (one, other) = reading.apart_most(&weights);
        let apart = apart(quantity, &reading.known[one].1, &reading.known[other].1);
        let name = |place: usize| named(&self.first[reading.known[place].0], self.first);
        let pieces = reading.known.iter().map(|(place, known)| GaugedPiece {
            canonical: self.first[*place].one.canonical.clone(),
            scheme: self.first[*place].one.scheme.id.clone(),
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
