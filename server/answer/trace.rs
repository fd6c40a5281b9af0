//! A piece of which points were measured, and no stamp need be known.
//!
//! What the neutral methods read on the trace, and the nearest that the schemes can name. A measure
//! for which the trace has no points or no mark is said to be missing; nothing is supposed in its place.
//! The text of the file is [`crate::profile::lines_of`]'s.

use std::sync::Arc;

use schemars::JsonSchema;
use serde::Serialize;

use super::decode::{NeutralAnswer, in_the_frame};
use super::figure::Figure;
use super::measures::Measures;
use super::nearest::{TranslationAnswer, nearest, translation_answer};
use super::translate::{limits, targets};
use crate::diagnostic::{Diagnostic, Place};
use crate::language::{Digits, Sentence};
use crate::method::Quantity;
use crate::problem::{Kind, Problem};
use crate::profile::{FileFault, FilePoint, Mark, Trace, TraceFault, TraceFigures, lines_of};
use crate::route::Piece;
use crate::snapshot::Snapshot;
use crate::translate::{AtHand, RULE};
use crate::unit::{AmountWithSpread, Spread, Unit};

/// What is read on a trace.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TraceAnswer {
    /// The file.
    pub file: String,
    /// How many points it has.
    pub points: usize,
    /// Every quantity of the neutral frame: its value, or why the trace does not tell it.
    pub neutral: Vec<NeutralAnswer>,
    /// The piece by every method in which it is compared below, each once.
    pub ours: Vec<Figure>,
    /// The nearest, scheme by scheme.
    pub into: Vec<TranslationAnswer>,
    /// The rule behind the verdicts.
    pub rule: String,
    /// The feel limits and where they come from.
    pub feel_source: String,
    /// SHA-256 of all tables together.
    pub tables: String,
}

/// Which question. Lengths are written as `2.4` (mm), `2.4 mm ± 0.05 mm` or `0.095 in`.
#[derive(Clone, Debug)]
pub struct TraceAsk<'a> {
    /// The name of the file, for people.
    pub file: &'a str,
    /// Its text.
    pub text: &'a str,
    /// Depths of [`Mark::ALL`], where they are known.
    pub marks: [Option<&'a str>; 4],
    /// Standard uncertainty of diameters of which the file states none.
    pub u: Option<&'a str>,
    /// Standard uncertainty that the gauge gives all diameters alike; nothing if left out.
    pub gauge_u: Option<&'a str>,
    /// Standard uncertainty of each depth by itself; nothing if left out.
    pub depth_u: Option<&'a str>,
    /// Schemes by id, or `all`; none means all.
    pub into: Vec<&'a str>,
    /// Matches a scheme.
    pub limit: usize,
}

/// Why a trace is not read.
#[derive(Debug)]
pub enum TraceRefused {
    /// What was asked for cannot be.
    Asked(Problem),
    /// What is wrong in the file.
    File(Vec<Diagnostic>),
}

impl From<Problem> for TraceRefused {
    fn from(problem: Problem) -> Self {
        Self::Asked(problem)
    }
}

/// Reads a trace by every neutral method and finds what comes near.
///
/// # Errors
/// A scheme that is not there, an amount that is no length, or all faults of the file, each with its line.
pub fn trace(snapshot: &Snapshot, ask: &TraceAsk<'_>) -> Result<TraceAnswer, TraceRefused> {
    let targets = targets(snapshot, &ask.into)?;
    let (trace, points) = read(snapshot, ask)?;
    let piece = Piece::new(Vec::new(), None, &[]).with_trace(Arc::new(trace));
    let mut measures = Measures::default();
    let at_hand = AtHand::new(&piece);
    let into = targets.iter().map(|target| {
        let found = nearest(ask.limit, |limit| {
            at_hand.rims(target, &snapshot.feel, limit)
        });
        translation_answer(snapshot, &found, &mut measures)
    });
    Ok(TraceAnswer {
        file: ask.file.to_owned(),
        points,
        neutral: Quantity::ALL
            .into_iter()
            .filter_map(|quantity| in_the_frame(snapshot, &piece, quantity))
            .collect(),
        into: into.collect(),
        ours: measures.into_figures(),
        rule: crate::language::word(RULE),
        feel_source: limits(snapshot),
        tables: snapshot.hash.clone(),
    })
}

/// The trace and the number of its points.
fn read(snapshot: &Snapshot, ask: &TraceAsk<'_>) -> Result<(Trace, usize), TraceRefused> {
    let usual_u = amount("u", ask.u)?.map(|(u, _)| u);
    let gauge_u = amount("gauge-u", ask.gauge_u)?.map_or(0.0, |(u, _)| u);
    let depth_u = amount("depth-u", ask.depth_u)?.map_or(0.0, |(u, _)| u);
    let mut marks = [None; 4];
    let off = off_of_depths(snapshot);
    for (place, mark) in Mark::ALL.into_iter().enumerate() {
        let mark = amount(&option(mark), ask.marks[place])?;
        marks[place] = mark.map(|(depth, spread)| (depth, no_surer(spread, off)));
    }
    let place = |fault: &FileFault| at(ask, fault.line, fault.column);
    let mut points = lines_of(ask.text, f64::NAN).map_err(|faults| {
        let fault = |one: &FileFault| Diagnostic {
            hint: one.hint.clone(),
            ..Diagnostic::error("bad-trace", place(one), one.says.clone())
        };
        TraceRefused::File(faults.iter().map(fault).collect())
    })?;
    usual(&mut points, usual_u)?;
    if let Some(last) = points.last() {
        marks
            .iter_mut()
            .flatten()
            .for_each(|mark| up_to(mark, last.point.depth));
    }
    let figures = TraceFigures {
        key: "trace".into(),
        points: points.iter().map(|one| one.point).collect(),
        gauge_u,
        depth_u,
        marks,
        source: ask.file.to_owned(),
    };
    let trace = Trace::new(figures).map_err(|faults| refused(ask, &faults, &points))?;
    Ok((trace, points.len()))
}

/// What a gauge at the counter is off at depths, mm.
fn off_of_depths(snapshot: &Snapshot) -> f64 {
    let depth = snapshot.tables.methods.neutral(Quantity::CupDepth);
    depth.map_or(0.0, |depth| depth.row.at_the_counter.off)
}

/// No mark is surer than the gauge that found it.
fn no_surer(spread: Spread, off: f64) -> Spread {
    let floor = Spread::Limits { half_width: off };
    match spread.standard_uncertainty() < floor.standard_uncertainty() {
        true => floor,
        false => spread,
    }
}

/// A mark that lies beyond the last point by no more than its own doubt lies at that point: both were typed, each rounded.
fn up_to((depth, spread): &mut (f64, Spread), last: f64) {
    if *depth > last && *depth - last <= spread.standard_uncertainty() {
        *depth = last;
    }
}

/// Puts the uncertainty that is given in its place: it is the file's or the question's, not both.
fn usual(points: &mut [FilePoint], usual_u: Option<f64>) -> Result<(), Problem> {
    let stated = points.iter().all(|one| !one.point.u.is_nan());
    let bad = |says: Sentence| Problem::new(Kind::BadParameter, says);
    match usual_u {
        Some(u) if u <= 0.0 => {
            let u = Digits(u.to_string());
            let says = sentence!(
                "`--u`: a standard uncertainty of {u} mm; expected more than zero",
                u
            );
            Err(bad(says).hint(sentence!(
                "no gauge reads without error: give what it scatters by"
            )))
        }
        Some(_) if stated && !points.is_empty() => {
            let says = sentence!(
                "`--u`, and the file states the uncertainty of each diameter in its column `u`"
            );
            Err(bad(says).hint(sentence!("leave `--u` out, or take the column away")))
        }
        None if !stated => {
            let says = sentence!("the file states no uncertainty of its diameters");
            Err(bad(says).hint(sentence!(
                "give `--u`, as `--u \"0.01 mm\"`, or a column `u [mm]`"
            )))
        }
        _ => {
            let unstated = points.iter_mut().filter(|one| one.point.u.is_nan());
            unstated.for_each(|one| one.point.u = usual_u.unwrap_or_default());
            Ok(())
        }
    }
}

/// The option that says where a mark is.
fn option(mark: Mark) -> String {
    mark.name().replace('_', "-")
}

/// A length, mm, with how sure it is; where no limits are written the digits given are.
fn amount(name: &str, text: Option<&str>) -> Result<Option<(f64, Spread)>, Problem> {
    let Some(text) = text.map(str::trim) else {
        return Ok(None);
    };
    let bad = |why: Sentence| {
        Problem::new(
            Kind::BadParameter,
            sentence!("`--{name} {text}`: {why}", name, text, why = why),
        )
        .hint(sentence!(
            "write a length, as `2.4`, `2.4 mm ± 0.05 mm` or `0.095 in`"
        ))
    };
    let read = AmountWithSpread::parse_in(text, Unit::MILLIMETRE);
    let read = read.map_err(|fault| bad(Sentence::showing(fault)))?;
    let half_width = read.amount.resolution / 2.0;
    let spread = read.spread.unwrap_or(Spread::Limits { half_width });
    Ok(Some((read.amount.value, spread)))
}

fn at(ask: &TraceAsk<'_>, line: usize, column: usize) -> Place {
    Place {
        line,
        column,
        length: 1,
        ..Place::whole(ask.file)
    }
}

/// Faults of points are the file's; those of marks and gauge are the question's.
fn refused(ask: &TraceAsk<'_>, faults: &[TraceFault], points: &[FilePoint]) -> TraceRefused {
    let line = |point: usize| at(ask, points[point].line, 1);
    let asked = |name: String, fault: &TraceFault| {
        let problem = Problem::new(Kind::BadParameter, format!("`--{name}`: {fault}"));
        TraceRefused::Asked(problem)
    };
    let mut found = Vec::new();
    for fault in faults {
        let says = fault.to_string();
        found.push(match *fault {
            TraceFault::Mark { mark, .. } => return asked(option(mark), fault),
            TraceFault::Gauge { .. } => return asked("gauge-u".into(), fault),
            TraceFault::Depths { .. } => return asked("depth-u".into(), fault),
            TraceFault::Count(_) => Diagnostic::error("bad-trace", Place::whole(ask.file), says),
            TraceFault::Point { point, .. } => Diagnostic::error("bad-trace", line(point), says),
            TraceFault::Contradiction { first, second, .. } => {
                Diagnostic::error("points-contradict", line(second), says)
                    .also(line(first), "against this point")
                    .hint(sentence!("measure both again, state their doubt as it is, or say with `--throat` and `--seam` where the bore may widen"))
            }
        });
    }
    TraceRefused::File(found)
}
