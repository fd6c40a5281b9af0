//! What a worn or partial stamp, or gauge values, may belong to.
//!
//! The stamp's readings come with probabilities from [`crate::stamp`]; each gauge value then weighs
//! every reading by how likely it is to be shown on that piece. What no scheme here explains
//! keeps its own share, so that nothing is certain only because nothing else was listed.
//!
//! * [`worded`]: what was meant if words were typed, and not what is struck
//! * [`held`]: a gauge value on a piece, and how likely
//! * [`contradiction`]: a stamp that says one thing while a gauge says another, or a gauge another than a gauge
//! * [`open`]: pieces that differ only in figures of which nothing tells, as one line
//! * [`certain`]: of which segments the candidates agree
//! * [`next`]: the one look or reading that would tell the first of them apart

mod certain;
mod contradiction;
mod held;
mod next;
mod open;
mod worded;

use std::sync::Arc;

use schemars::JsonSchema;
use serde::Serialize;

use self::certain::Agreed;
pub use self::certain::FoundSegment;
pub use self::contradiction::{ContradictingGauge, ContradictionAnswer};
use self::contradiction::{against_each_other, contradicted, for_any_candidate, untold};
pub use self::held::{GaugeCheck, LimitCheck};
use self::held::{Weight, anywhere, held, together, within};
use self::next::next;
pub use self::next::{GaugedPiece, LookAnswered, NextAnswer, NextGauge, NextLook, ReadingOf};
use self::open::{gathered, spills};
pub use self::worded::WordAnswer;
use self::worded::with_words;
use super::decode::{SchemeName, typed};
use super::gauge::{Gauge, gauge};
use super::nearest::spelled;
use crate::problem::{Kind, Problem};
use crate::route::{Piece, Stated};
use crate::scheme::{Binding, Scheme};
use crate::snapshot::Snapshot;
use crate::stamp::{self, Reading, Struck};
use crate::translate;

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

/// One piece that it may be.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FoundAnswer {
    /// Canonical stamp; of a series its word, of a scheme its title, where it was found by words. Of many pieces that
    /// fit equally one name, with `?` where they differ.
    pub canonical: String,
    /// How many pieces it stands for, if it is many and all of them were seen.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pieces: Option<usize>,
    /// When it was made, where another piece of its maker bears the same.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub made: Option<String>,
    /// The words by which it was found, if it was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub words: Option<WordAnswer>,
    /// Whose.
    pub scheme: SchemeName,
    /// How probable, 0 to 1, among all schemes here and "none of these".
    pub probability: f64,
    /// Where it stands before one that reads as well or better and is less usual: which, and who counted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub more_usual: Option<String>,
    /// Which characters were taken for what.
    pub taken: Vec<TakenAnswer>,
    /// The canonical stamp segment by segment, and how sure each is.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub segments: Vec<FoundSegment>,
    /// Each gauge value held against it.
    pub gauges: Vec<GaugeCheck>,
    /// Each gauge that gives limits only, held against it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub limits: Vec<LimitCheck>,
}

impl FoundAnswer {
    /// "until 1988", "160 pieces that fit equally", after the maker's name; empty where there is nothing of it.
    pub fn remarks(&self) -> String {
        let pieces = self
            .pieces
            .map(|pieces| say!("{pieces} pieces that fit equally", pieces));
        let remarks = [self.made.clone(), pieces].into_iter().flatten();
        remarks.collect::<Vec<_>>().join(", ")
    }

    /// The segments that are certain, where it is probable and others are not: else there is no telling by them.
    pub fn certain_in_part(&self) -> Vec<&str> {
        let certain = self.segments.iter().filter(|one| one.certain);
        let texts: Vec<&str> = certain.map(|one| one.segment.text.as_str()).collect();
        match self.probability >= certain::PROBABLE && texts.len() < self.segments.len() {
            true => texts,
            false => Vec::new(),
        }
    }
}

/// What it may be.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FindAnswer {
    /// As typed.
    pub partial: String,
    /// The most probable first. What is less probable than 0.001 is left out, unless there is nothing else: then the
    /// first three are here.
    pub results: Vec<FoundAnswer>,
    /// Where the stamp by itself is read with more than even probability, and gauges contradict that piece.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub contradiction: Option<ContradictionAnswer>,
    /// Where two gauges are met together by no piece that comes near, though each is by some: a sentence.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gauges_contradict: Option<String>,
    /// Where gauges can be compared with no piece that comes near: a sentence.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gauges_untold: Option<String>,
    /// Probability of all that is not listed: other readings, and markings of no scheme here.
    pub something_else: f64,
    /// False where a work limit ended the search.
    pub complete: bool,
    /// The one look or gauge reading that would best tell the first results apart; none where nothing would.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub next: Option<NextAnswer>,
    /// Where no gauge can tell any of the first probable results apart: a sentence.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub alike: Option<String>,
    /// SHA-256 of all tables together.
    pub tables: String,
}

/// A candidate: what it is, and how probable so far.
struct Candidate<'a> {
    scheme: &'a Scheme,
    stamps: Vec<usize>,
    bindings: Vec<Binding>,
    canonical: String,
    probability: f64,
    /// How usual it is: the logarithm of its share over that of mean values.
    usual: f64,
    taken: Vec<TakenAnswer>,
    struck: Vec<Struck>,
    readings: Vec<Reading>,
    words: Option<WordAnswer>,
    gauges: Vec<GaugeCheck>,
    limits: Vec<LimitCheck>,
    /// How many pieces it stands for, if that is known and more than one.
    pieces: Option<usize>,
    /// Those of them that were seen, if it is more than one.
    members: Vec<Self>,
}

impl Candidate<'_> {
    /// How probable each of its pieces is.
    fn each(&self) -> f64 {
        self.members.first().unwrap_or(self).probability
    }

    /// When it was made; none where it says nothing of that.
    fn years(&self) -> Option<String> {
        let made = self.scheme.make(&self.bindings, &self.stamps);
        made.years.text()
    }

    /// Whether another piece of its maker bears the same.
    fn shares_its_name(&self, among: &[Self]) -> bool {
        let same = |one: &&Self| {
            one.scheme.id == self.scheme.id
                && one.canonical == self.canonical
                && one.bindings != self.bindings
        };
        among.iter().any(|one| same(&one)) || self.has_a_namesake()
    }

    /// Whether its maker's list has another entry of that name, whose metal may be another.
    fn has_a_namesake(&self) -> bool {
        let entries = &self.scheme.entries;
        let of_same_name = |own: usize| {
            let others = entries.iter().enumerate();
            let mut others = others.filter(|(place, _)| *place != own);
            others.any(|(_, other)| other.name == entries[own].name)
        };
        self.bindings
            .iter()
            .any(|one| matches!(one, Binding::Entry(own) if of_same_name(*own)))
    }
}

/// Less than this is no answer but noise of the model. Judged; no source.
const SHOWN: f64 = 0.001;

/// Results that are listed where none is as probable as [`SHOWN`].
const OF_NOTHING: usize = 3;

/// Readings that are weighed by gauges. Where more fit the stamp, the answer says that not
/// everything was looked at.
const WEIGHED: usize = 1500;

/// Readings among which equal ones are looked for, where the first few are not all.
const ALIKE: usize = 500;

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
            sentence!(
                "{gauges} gauge values; at most {most_gauges}",
                gauges = ask.gauges.len(),
                most_gauges = MOST_GAUGES
            ),
        ));
    }
    let read = |(place, text): (usize, &String)| gauge(text, place, &snapshot.tables);
    let gauges: Vec<Gauge> = ask
        .gauges
        .iter()
        .enumerate()
        .map(read)
        .collect::<Result<_, _>>()?;
    if let Some(problem) = against_each_other(&gauges) {
        return Err(problem);
    }
    found(snapshot, ask.partial, &gauges, ask.limit)
}

fn found(
    snapshot: &Snapshot,
    partial: &str,
    gauges: &[Gauge],
    limit: usize,
) -> Result<FindAnswer, Problem> {
    let (mut candidates, complete, asked) = candidates(snapshot, partial, gauges, limit)?;
    let complete = complete && (gauges.is_empty() || candidates.len() < WEIGHED);
    let explained: f64 = candidates.iter().map(|one| one.probability).sum();
    let by_stamp_alone = candidates.iter().position(|one| one.probability > 0.5);
    candidates
        .iter_mut()
        .for_each(|one| weigh(one, snapshot, gauges));
    let contradiction =
        by_stamp_alone.and_then(|place| contradicted(snapshot, candidates.get(place)?));
    let gauges_contradict = for_any_candidate(&candidates, gauges);
    let gauges_untold = untold(&candidates, gauges);
    if partial.trim().is_empty() {
        candidates.retain(|one| one.probability > 0.0);
    }
    let all = complete && candidates.len() < asked;
    let something_else = normalise(&mut candidates, (1.0 - explained).max(0.0), gauges);
    let last = candidates.last().map_or(0.0, |last| last.probability);
    let candidates = gathered(partial, candidates, all);
    let shown = shown(&candidates, limit);
    let hidden: f64 = candidates[shown..].iter().map(|one| one.probability).sum();
    let agreed = Agreed::among(partial, &candidates, all || last < certain::PROBABLE);
    let told = next(snapshot, partial, &candidates, gauges);
    let results = (0..shown).map(|place| found_answer(snapshot, &candidates, place, &agreed));
    Ok(FindAnswer {
        partial: partial.trim().to_owned(),
        results: results.collect(),
        contradiction,
        gauges_contradict,
        gauges_untold,
        something_else: steady(something_else + hidden),
        complete,
        next: told.next,
        alike: told.alike,
        tables: snapshot.hash.clone(),
    })
}

/// What it may be before any gauge is put to it, whether that was all, and how many were asked for.
fn candidates<'a>(
    snapshot: &'a Snapshot,
    partial: &str,
    gauges: &[Gauge],
    limit: usize,
) -> Result<(Vec<Candidate<'a>>, bool, usize), Problem> {
    if partial.trim().is_empty() && !gauges.is_empty() {
        return Ok((by_gauge(snapshot, gauges), false, WEIGHED.max(limit)));
    }
    typed(partial)?;
    let few = LOOKED_AT.max(limit);
    if gauges.is_empty() {
        let (candidates, complete) = by_stamp(snapshot, partial, few)?;
        if !spills(&candidates) {
            return Ok((candidates, complete, few));
        }
    }
    let many = if gauges.is_empty() { ALIKE } else { WEIGHED };
    let many = many.max(limit);
    let (candidates, complete) = by_stamp(snapshot, partial, many)?;
    Ok((candidates, complete, many))
}

/// How many of the first are listed.
fn shown(candidates: &[Candidate<'_>], limit: usize) -> usize {
    let worth = candidates.iter().filter(|one| one.probability >= SHOWN);
    match worth.count() {
        0 => candidates.len().min(limit).min(OF_NOTHING),
        worth => worth.min(limit),
    }
}

fn found_answer(
    snapshot: &Snapshot,
    candidates: &[Candidate<'_>],
    place: usize,
    agreed: &Agreed<'_>,
) -> FoundAnswer {
    let one = &candidates[place];
    FoundAnswer {
        canonical: one.canonical.clone(),
        pieces: one.pieces,
        made: one.years().filter(|_| one.shares_its_name(candidates)),
        words: one.words.clone(),
        scheme: SchemeName::of(snapshot, one.scheme),
        probability: steady(one.probability),
        more_usual: more_usual(candidates, place),
        taken: one.taken.clone(),
        segments: agreed.segments(one),
        gauges: one.gauges.clone(),
        limits: one.limits.clone(),
    }
}

/// Readings that are looked at to say what is certain and what to look at next, however few are listed.
const LOOKED_AT: usize = 16;

/// Why a candidate stands where it does, if how usual it is put it before another that reads as well or better.
fn more_usual(candidates: &[Candidate<'_>], place: usize) -> Option<String> {
    let one = candidates.get(place)?;
    let equal = |one: &Candidate<'_>| one.each().ln() - one.usual;
    let less_usual = |other: &&Candidate<'_>| other.usual < one.usual - NOISE;
    let reads_as_well = |other: &&Candidate<'_>| equal(other) >= equal(one) - NOISE;
    let mut behind = candidates[place + 1..].iter().filter(less_usual);
    let passed = behind.find(reads_as_well)?.canonical.clone();
    let source = &one.scheme.usual.source;
    Some(match source.is_empty() {
        true => say!("more usual than {passed}, which reads as well", passed),
        false => say!(
            "more usual than {passed}, which reads as well ({source})",
            passed,
            source
        ),
    })
}

/// Float noise between two ways of adding up the same logarithms.
const NOISE: f64 = 1e-6;

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
            usual: one.usual,
            taken: taken.collect(),
            struck: one.struck,
            readings: vec![one.reading],
            words: None,
            gauges: Vec::new(),
            limits: Vec::new(),
            pieces: None,
            members: Vec::new(),
        })
    };
    let candidates = found.readings.into_iter().filter_map(candidate).collect();
    let candidates = with_words(snapshot, partial, candidates, found.evidence);
    Ok((candidates, found.complete))
}

/// The nearest of every scheme, as common as their schemes say.
fn by_gauge<'a>(snapshot: &'a Snapshot, gauges: &[Gauge]) -> Vec<Candidate<'a>> {
    let stated: Vec<Stated> = gauges.iter().filter_map(Gauge::value).cloned().collect();
    let limited = gauges.iter().filter_map(Gauge::limits).cloned();
    let nearest = if stated.is_empty() { WITHIN } else { NEAREST };
    let piece = Piece::new(stated, None, &[]).with_limits(limited.collect());
    let each = |target: &'a Arc<translate::Target>| {
        let matches = translate::identify(&piece, target, &snapshot.feel, nearest).matches;
        matches.into_iter().map(|one| {
            let named = &one.named;
            let stamps = || named.stamps.iter();
            let canonical =
                stamps().filter_map(|&stamp| spelled(&target.scheme, stamp, &named.bindings));
            let canonical = canonical.collect::<Vec<_>>().join(" + ");
            let readings = stamps()
                .filter_map(|&stamp| stamp::spelled(&target.scheme, stamp, &named.bindings));
            let scheme: &'a Scheme = &target.scheme;
            Candidate {
                scheme,
                stamps: named.stamps.to_vec(),
                bindings: named.bindings.clone(),
                canonical,
                probability: 0.0,
                usual: named
                    .bindings
                    .iter()
                    .map(|one| scheme.usual.weight(one).ln())
                    .sum(),
                taken: Vec::new(),
                struck: Vec::new(),
                readings: readings.map(|(_, reading)| reading).collect(),
                words: None,
                gauges: Vec::new(),
                limits: Vec::new(),
                pieces: None,
                members: Vec::new(),
            }
        })
    };
    let mut candidates: Vec<Candidate<'a>> = snapshot.targets.iter().flat_map(each).collect();
    let all: f64 = candidates.iter().map(|one| one.usual.exp()).sum();
    let prior = |one: &mut Candidate<'_>| one.probability = KNOWN * one.usual.exp() / all;
    candidates.iter_mut().for_each(prior);
    candidates
}

/// Pieces of a scheme that are held against gauge values where there is no stamp.
const NEAREST: usize = 5;

/// The same where all gauges give limits only: whatever fits them fits as well as any other.
const WITHIN: usize = 300;

/// How probable it is, before any gauge is put to it, that a piece is of a scheme here. Judged; no source.
const KNOWN: f64 = 0.9;

fn weigh(candidate: &mut Candidate<'_>, snapshot: &Snapshot, gauges: &[Gauge]) {
    if gauges.is_empty() {
        return;
    }
    let made = (candidate.scheme).make(&candidate.bindings, &candidate.stamps);
    let mut differences = Vec::new();
    for gauge in gauges {
        let weight = match gauge {
            Gauge::Value(stated) => {
                let (check, weight) = held(snapshot, &made.piece, stated);
                candidate.gauges.push(check);
                weight
            }
            Gauge::Limits(limited) => {
                let (check, fits) = within(&made.piece, limited);
                candidate.limits.push(check);
                fits.map(Weight::Alone)
            }
        };
        match weight {
            Some(Weight::Alone(likelihood)) => candidate.probability *= likelihood,
            Some(Weight::Together(difference)) => differences.push(difference),
            None => candidate.probability *= anywhere(gauge),
        }
    }
    candidate.probability *= together(&differences);
}

/// Weights become probabilities; the rest is what is not explained.
/// `unlisted` is what the stamp left to all else; a gauge value may lie anywhere on that.
fn normalise(results: &mut [Candidate<'_>], unlisted: f64, gauges: &[Gauge]) -> f64 {
    let prior: f64 = results.iter().map(|one| one.probability).sum();
    let unexplained = unlisted * gauges.iter().map(anywhere).product::<f64>();
    let total = prior + unexplained;
    if !(total > 0.0 && total.is_finite()) {
        results.iter_mut().for_each(|one| one.probability = 0.0);
        return 1.0;
    }
    results.iter_mut().for_each(|one| one.probability /= total);
    results.sort_by(|a, b| steady(b.probability).total_cmp(&steady(a.probability)));
    unexplained / total
}

/// Six digits: more would claim more than a judged model knows.
fn steady(probability: f64) -> f64 {
    (probability * 1e6).round() / 1e6
}
