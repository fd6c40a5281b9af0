//! What can be wrong with a trace.
//!
//! Beyond k of their doubt two points contradict each other: at one depth by their
//! diameters, above the throat by a bore that grows downward. Of two points k is 3; of many it is as much larger as
//! keeps the chance of any false alarm the same. The gauge's own doubt is common
//! to both and explains nothing. Across a seam the bore may step outward, a little. Within its marks a throat is a
//! cylinder, nearly. What is larger than any
//! mouthpiece is a slip of the unit.

use crate::language::{Digits, Sentence, Word};
use std::fmt;

use super::trace::{Mark, SAME_DEPTH_MM, TraceFigures, TracePoint};
use crate::uncertainty::student_point;
use crate::unit::Spread;

/// Fewer points make no curve.
pub const FEWEST_POINTS: usize = 2;

/// No optical trace of a mouthpiece has use for more.
pub const MOST_POINTS: usize = 20_000;

/// Doubts beyond this many standard uncertainties are no doubts.
pub(super) const COVERAGE: f64 = 3.0;

/// Arithmetic on stated figures is this sure, mm.
pub(super) const ROUNDING_MM: f64 = 1e-9;

/// No mouthpiece reaches so far down, mm (common practice, no source).
const MOST_DEPTH_MM: f64 = 150.0;

/// No bore of a mouthpiece is so wide, mm (common practice, no source).
const MOST_DIAMETER_MM: f64 = 60.0;

/// By how much a cup may be wider than the rim at the seam, mm (judged by this project, no source).
const MOST_STEP_MM: f64 = 1.0;

/// By how much a throat may widen between its marks, mm: what is drilled and reamed is rounded at both ends (judged by this
/// project, no source).
const MOST_FLARE_MM: f64 = 0.3;

/// Something that cannot be, with its figures; points by their place in the list, from 0.
#[derive(Clone, Debug, PartialEq)]
pub enum TraceFault {
    /// Too few or too many points.
    Count(usize),
    /// A point whose depth, diameter or doubt cannot be.
    Point {
        /// Its place.
        point: usize,
        /// What is wrong.
        says: Sentence,
    },
    /// Two points that contradict each other.
    Contradiction {
        /// The place of the one above, or the first.
        first: usize,
        /// The place of the other.
        second: usize,
        /// Both points.
        points: [TracePoint; 2],
        /// The largest difference that their doubt allows, mm.
        allowed: f64,
        /// In how many standard uncertainties.
        k: f64,
    },
    /// A doubt of the gauge that cannot be.
    Gauge {
        /// As it is stated, mm.
        u: f64,
        /// The narrowest diameter, mm.
        narrowest: f64,
    },
    /// A doubt of the depths that cannot be.
    Depths {
        /// As it is stated, mm.
        u: f64,
        /// How far the points reach, mm.
        reach: f64,
    },
    /// A mark that cannot stand where it does.
    Mark {
        /// Which.
        mark: Mark,
        /// What is wrong.
        says: Sentence,
    },
}

impl fmt::Display for TraceFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.sentence().fmt(f)
    }
}

impl TraceFault {
    /// What is wrong.
    pub fn sentence(&self) -> Sentence {
        match self {
            Self::Count(found) => sentence!(
                "{found} points; a trace has {fewest} to {most}",
                found,
                fewest = FEWEST_POINTS,
                most = MOST_POINTS
            ),
            Self::Point { says, .. } | Self::Mark { says, .. } => says.clone(),
            Self::Gauge { u, narrowest } => sentence!(
                "a standard uncertainty of {u} mm; expected zero or more, and less than the narrowest diameter, {narrowest} mm",
                u = Digits(u.to_string()),
                narrowest = Digits(narrowest.to_string())
            ),
            Self::Depths { u, reach } => sentence!(
                "a standard uncertainty of {u} mm; expected zero or more, and less than the points reach, {reach} mm",
                u = Digits(u.to_string()),
                reach = Digits(reach.to_string())
            ),
            Self::Contradiction {
                points: [one, other],
                allowed,
                k,
                ..
            } => sentence!(
                "{one} mm across at {one_depth} mm and {other} mm across at {other_depth} mm: they may differ by {allowed} mm (k = {k})",
                one = Digits(one.diameter.to_string()),
                one_depth = Digits(one.depth.to_string()),
                other = Digits(other.diameter.to_string()),
                other_depth = Digits(other.depth.to_string()),
                allowed = Digits(format!("{allowed:.3}")),
                k = Digits(format!("{k:.1}"))
            ),
        }
    }
}

impl std::error::Error for TraceFault {}

/// What cannot be of each figure by itself, and of how many there are. Doubts as they are stated.
pub(super) fn impossible(written: &TraceFigures) -> Vec<TraceFault> {
    let points = &written.points;
    if !(FEWEST_POINTS..=MOST_POINTS).contains(&points.len()) {
        return vec![TraceFault::Count(points.len())];
    }
    let of_points = points.iter().enumerate().filter_map(|(point, one)| {
        let says = wrong(one)?;
        Some(TraceFault::Point { point, says })
    });
    let mut faults: Vec<TraceFault> = of_points.collect();
    if !faults.is_empty() {
        return faults;
    }
    let diameters = points.iter().map(|point| point.diameter);
    let (narrowest, reach) = (diameters.fold(f64::INFINITY, f64::min), reach(points));
    let is_doubt = |u: f64, less_than: f64| (0.0..less_than).contains(&u);
    if !is_doubt(written.gauge_u, narrowest) {
        let u = written.gauge_u;
        faults.push(TraceFault::Gauge { u, narrowest });
    }
    if written.depth_u != 0.0 && !is_doubt(written.depth_u, reach) {
        let u = written.depth_u;
        faults.push(TraceFault::Depths { u, reach });
    }
    faults
}

/// From the highest to the lowest point, mm.
fn reach(points: &[TracePoint]) -> f64 {
    let depths = || points.iter().map(|point| point.depth);
    depths().fold(f64::NEG_INFINITY, f64::max) - depths().fold(f64::INFINITY, f64::min)
}

/// What cannot be of figures together that each can be.
pub(super) fn contradictions(written: &TraceFigures) -> Vec<TraceFault> {
    let points = &written.points;
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_by(|&one, &other| points[one].depth.total_cmp(&points[other].depth));
    let (first, last) = (points[order[0]], points[order[order.len() - 1]]);
    let mut faults = marks(written, first, last);
    faults.extend(at_one_depth(points, &order));
    faults.extend(growing(written, &order));
    faults.extend(flaring(written));
    if same(first, last) {
        faults.push(TraceFault::Count(1));
    }
    faults
}

fn wrong(point: &TracePoint) -> Option<Sentence> {
    let TracePoint { depth, diameter, u } = *point;
    if !(depth.is_finite() && diameter.is_finite() && u.is_finite()) {
        return Some(sentence!(
            "a point of {depth} mm, {diameter} mm, u {u} mm; expected finite numbers",
            depth,
            diameter,
            u
        ));
    }
    if depth < 0.0 {
        return Some(sentence!(
            "a depth of {depth} mm; the crest plane is at 0 mm and depths go down",
            depth
        ));
    }
    if diameter <= 0.0 {
        return Some(sentence!(
            "a diameter of {diameter} mm; expected more than zero",
            diameter
        ));
    }
    if depth > MOST_DEPTH_MM || diameter > MOST_DIAMETER_MM {
        return Some(sentence!(
            "a point of {depth} mm depth and {diameter} mm diameter; no mouthpiece reaches {most_depth_mm} mm or {most_diameter_mm} mm: look at the unit",
            depth,
            diameter,
            most_depth_mm = MOST_DEPTH_MM,
            most_diameter_mm = MOST_DIAMETER_MM
        ));
    }
    let is_doubt = u > 0.0 && u < diameter;
    (!is_doubt).then(|| sentence!("a standard uncertainty of {u} mm; expected more than zero, and less than the diameter, {diameter} mm", u, diameter))
}

fn marks(written: &TraceFigures, first: TracePoint, last: TracePoint) -> Vec<TraceFault> {
    let mut faults = Vec::new();
    let mut above: Option<(Mark, f64)> = None;
    for (mark, depth) in Mark::ALL.into_iter().zip(written.marks) {
        let Some((depth, spread)) = depth else {
            continue;
        };
        let (name, u) = (Word(mark.name()), spread.standard_uncertainty());
        let says = if !(depth.is_finite() && u.is_finite() && u >= 0.0) {
            Some(sentence!(
                "a {name} at {depth} mm, u {u} mm; expected finite numbers, u zero or more",
                name = name.clone(),
                depth,
                u
            ))
        } else if depth < first.depth
            || (depth == first.depth && mark != Mark::Seam)
            || depth > last.depth
        {
            let (top, bottom) = (first.depth, last.depth);
            Some(sentence!(
                "a {name} at {depth} mm; the points reach from {top} mm to {bottom} mm",
                name = name.clone(),
                depth,
                top,
                bottom
            ))
        } else if u >= last.depth - first.depth {
            let reach = last.depth - first.depth;
            Some(sentence!(
                "a {name} at {depth} mm, u {u} mm; expected u less than the points reach, {reach} mm",
                name = name.clone(),
                depth,
                u = Digits(format!("{u:.3}")),
                reach
            ))
        } else {
            above.filter(|(_, top)| depth <= *top).map(|(other, top)| {
                sentence!(
                    "a {name} at {depth} mm, not below the {other} at {top} mm",
                    name = name.clone(),
                    depth,
                    other = Word(other.name()),
                    top
                )
            })
        };
        faults.extend(says.map(|says| TraceFault::Mark { mark, says }));
        above = Some((mark, depth));
    }
    faults
}

/// k at which chance makes one of so many comparisons fail as seldom as one alone at [`COVERAGE`].
fn coverage_of(points: usize) -> f64 {
    let comparisons = points.saturating_sub(1).max(1) as f64;
    student_point(1.0 - FALSE_ALARM / comparisons, f64::INFINITY)
}

/// The chance of more than [`COVERAGE`] standard uncertainties, by the normal distribution.
const FALSE_ALARM: f64 = 0.002_699_796;

fn allowed(k: f64, one: TracePoint, other: TracePoint) -> f64 {
    k * one.u.hypot(other.u) + ROUNDING_MM
}

fn same(one: TracePoint, other: TracePoint) -> bool {
    (other.depth - one.depth).abs() < SAME_DEPTH_MM
}

fn contradiction(points: &[TracePoint], first: usize, second: usize) -> TraceFault {
    TraceFault::Contradiction {
        first,
        second,
        points: [points[first], points[second]],
        allowed: allowed(coverage_of(points.len()), points[first], points[second]),
        k: coverage_of(points.len()),
    }
}

fn at_one_depth(points: &[TracePoint], order: &[usize]) -> Vec<TraceFault> {
    let k = coverage_of(points.len());
    let pairs = order.windows(2).map(|pair| (pair[0], pair[1]));
    pairs
        .filter(|&(one, other)| {
            let (one, other) = (points[one], points[other]);
            let apart = (one.diameter - other.diameter).abs();
            same(one, other) && apart > allowed(k, one, other)
        })
        .map(|(one, other)| contradiction(points, one, other))
        .collect()
}

/// The widest point surely between the marks of the throat against the narrowest.
fn flaring(written: &TraceFigures) -> Option<TraceFault> {
    let [_, Some((top, above)), Some((end, below)), _] = written.marks else {
        return None;
    };
    let doubt = |spread: Spread| COVERAGE * spread.standard_uncertainty();
    let (top, end) = (top + doubt(above), end - doubt(below));
    let within = |point: &&TracePoint| (top..=end).contains(&point.depth);
    let by_diameter =
        |one: &&TracePoint, other: &&TracePoint| one.diameter.total_cmp(&other.diameter);
    let points = || written.points.iter().filter(within);
    let (narrow, wide) = points()
        .min_by(by_diameter)
        .zip(points().max_by(by_diameter))?;
    let k = coverage_of(written.points.len());
    let flares = wide.diameter - narrow.diameter > MOST_FLARE_MM + allowed(k, *narrow, *wide);
    flares.then(|| TraceFault::Mark {
        mark: Mark::ThroatEnd,
        says: sentence!(
            "a throat that is {narrow} mm across at {above} mm and {wide} mm across at {below} mm; a throat is a cylinder, and the backbore begins where it widens",
            narrow = narrow.diameter,
            above = narrow.depth,
            wide = wide.diameter,
            below = wide.depth
        ),
    })
}

/// Each point down to the throat against the narrowest above it, rim and cup apart.
fn growing(written: &TraceFigures, order: &[usize]) -> Vec<TraceFault> {
    let points = &written.points;
    let [seam, throat, ..] = written.marks.map(|mark| mark.map(|(depth, _)| depth));
    let below_seam = |place: usize| seam.is_some_and(|seam| points[place].depth > seam);
    let k = coverage_of(points.len());
    let mut faults = Vec::new();
    let mut narrowest: Option<usize> = None;
    for &place in order {
        if throat.is_some_and(|throat| points[place].depth > throat) {
            break;
        }
        let step = |above: usize| {
            let across = below_seam(above) != below_seam(place);
            if across { MOST_STEP_MM } else { 0.0 }
        };
        let above = narrowest;
        let grown =
            above.map(|above| points[place].diameter - points[above].diameter - step(above));
        let excluded = above.zip(grown).filter(|&(above, grown)| {
            !same(points[above], points[place]) && grown > allowed(k, points[above], points[place])
        });
        faults.extend(excluded.map(|(above, _)| contradiction(points, above, place)));
        let crosses = above.is_some_and(|above| step(above) > 0.0);
        if crosses || grown.is_none_or(|grown| grown <= 0.0) {
            narrowest = Some(place);
        }
    }
    faults
}
