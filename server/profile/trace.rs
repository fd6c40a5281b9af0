//! A piece's own measured points, and the metal that they make.
//!
//! Points of depth and diameter, from discs, plugs or an optical trace, joined by the
//! monotone cubic of [`super::pchip`] through the radii. A trace may say where the seam,
//! the throat and the exit are; what needs a place that it does not say, or metal
//! above its first point, cannot be read. A throat is as wide as it is where it is narrowest between its marks, which is
//! what a plug passes. Each diameter has a random doubt of its own, and all
//! share that of the gauge.
//!
//! What lies between the points nobody has measured: how far that may put a reading off is
//! [`super::between`]'s to say, and where it cannot be said there is no reading.
//!
//! Points that contradict one another are refused by name ([`TraceFault`]); nothing is
//! smoothed. Of an optical trace with more than [`MOST_KEPT`] points as many are kept, evenly along the metal, and stand
//! for themselves: an average would round the edges off, and what is left out is doubted as what lies between points is.

use std::sync::Arc;

use num_dual::Dual64;

use super::between::Measured;
use super::curve::{Curve, Number};
use super::pchip;
use super::section::{Beyond, Section};
use super::shape::Gauge;
use super::trace_fault::{COVERAGE, ROUNDING_MM, TraceFault, contradictions, impossible};
use crate::language::{Digits, Sentence};
use crate::uncertainty::{Distribution, Draw, Estimate, Source};
use crate::unit::Spread;

/// One measured point, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TracePoint {
    /// Below the crest plane.
    pub depth: f64,
    /// Of the bore there.
    pub diameter: f64,
    /// Standard uncertainty of the diameter, by itself: repeats, reading.
    pub u: f64,
}

/// A place on the axis that a trace can say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Where rim and cup part.
    Seam,
    /// Upper end of the throat.
    Throat,
    /// Lower end of the throat, where the backbore begins.
    ThroatEnd,
    /// End of the shank.
    Exit,
}

impl Mark {
    /// All, from the crest down.
    pub const ALL: [Self; 4] = [Self::Seam, Self::Throat, Self::ThroatEnd, Self::Exit];

    /// The word for it in plug-ins.
    pub fn name(self) -> &'static str {
        match self {
            Self::Seam => "seam",
            Self::Throat => "throat",
            Self::ThroatEnd => "throat_end",
            Self::Exit => "exit",
        }
    }
}

/// What a trace is made of.
#[derive(Clone, Debug)]
pub struct TraceFigures {
    /// Names the piece among all: begins the keys of the sources of doubt.
    pub key: String,
    /// The points in any order.
    pub points: Vec<TracePoint>,
    /// Standard uncertainty that the gauge gives all diameters alike, mm.
    pub gauge_u: f64,
    /// Standard uncertainty of each depth by itself, mm. It moves a diameter by the slope of the metal there.
    pub depth_u: f64,
    /// Depth of each of [`Mark::ALL`], mm, and how sure that is, where it is known.
    pub marks: [Option<(f64, Spread)>; 4],
    /// Who says so.
    pub source: String,
}

/// A checked trace.
#[derive(Clone, Debug)]
pub struct Trace {
    /// Source of what lies between the points.
    between: Arc<Source>,
    /// The trial whose errors it has, if any.
    errors: Option<Errors>,
    depths: Vec<f64>,
    /// Diameters by depth, then the depths of the marks that are known.
    figures: Vec<Estimate>,
    marks: [bool; 4],
    /// Who says so.
    pub source: String,
    /// Whether it was taken from another piece of the same name.
    pub of_a_specimen: bool,
}

/// The errors of a trial.
#[derive(Clone, Debug)]
struct Errors {
    draw: Draw,
    /// The figures without them: how far the metal between the points may be off is known from these, once.
    measured: Arc<[f64]>,
}

/// Points at depths nearer than this are at one depth, mm.
pub(super) const SAME_DEPTH_MM: f64 = 1e-6;

impl Trace {
    /// A trace through these points.
    ///
    /// # Errors
    /// Everything in it that cannot be, with its figures.
    pub fn new(written: TraceFigures) -> Result<Self, Vec<TraceFault>> {
        let faults = impossible(&written);
        if !faults.is_empty() {
            return Err(faults);
        }
        let written = TraceFigures {
            points: doubted(&written),
            ..written
        };
        let faults = contradictions(&written);
        if !faults.is_empty() {
            return Err(faults);
        }
        let mut points: Vec<(usize, TracePoint)> =
            written.points.iter().copied().enumerate().collect();
        points.sort_by(|one, other| one.1.depth.total_cmp(&other.1.depth));
        let gauge = normal(
            format!("{}/gauge", written.key),
            sentence!("gauge of the trace"),
        );
        let gauge = Estimate::new(0.0, written.gauge_u, gauge);
        let mut trace = Self {
            between: Arc::new(Source::new(
                format!("{}/between", written.key),
                sentence!("metal between the points of the trace"),
                Distribution::Rectangular,
            )),
            errors: None,
            depths: Vec::new(),
            figures: Vec::new(),
            marks: written.marks.map(|mark| mark.is_some()),
            source: written.source,
            of_a_specimen: false,
        };
        let groups: Vec<&[(usize, TracePoint)]> = points
            .chunk_by(|one, other| same_depth(one.1, other.1))
            .collect();
        for group in kept(groups) {
            let read = group.iter().map(|(place, point)| {
                let key = format!("{}/point {place}", written.key);
                let depth = Digits(point.depth.to_string());
                let label = sentence!("diameter at {depth} mm of the trace", depth = depth);
                (
                    point.u,
                    Estimate::new(point.diameter, point.u, normal(key, label)),
                )
            });
            trace.depths.push(group[0].1.depth);
            trace
                .figures
                .push(weighted_mean(read.collect()).plus(&gauge));
        }
        for (mark, depth) in Mark::ALL.into_iter().zip(written.marks) {
            let key = format!("{}/{}", written.key, mark.name());
            let estimate = depth.map(|(depth, spread)| {
                let distribution = match spread {
                    Spread::Limits { .. } => Distribution::Rectangular,
                    Spread::Standard { .. } => Distribution::Normal,
                };
                let label = format!("depth of the {} of the trace", mark.name());
                let source = Source::new(key, label, distribution).in_unit("mm");
                Estimate::new(depth, spread.standard_uncertainty(), Arc::new(source))
            });
            trace.figures.extend(estimate);
        }
        Ok(trace)
    }

    /// The trace as it stands for another piece of the same name: one whose diameters are all
    /// `wider`, and whose cup is `deeper`, both about zero. Below the seam the metal stretches, so
    /// that a point's diameter moves by its slope and its share of the cup.
    #[must_use]
    pub fn for_another(&self, wider: &Estimate, deeper: &Estimate) -> Self {
        let points = self.depths.len();
        let diameters: Vec<f64> = self.points().map(|(_, one)| one.value()).collect();
        let slopes = pchip::slopes(&self.depths, &diameters);
        let mut marks = self.figures[points..].iter().map(Estimate::value);
        let [seam, throat, ..] = self
            .marks
            .map(|known| known.then(|| marks.next()).flatten());
        let top = seam.unwrap_or(self.depths[0]);
        let bottom = throat.unwrap_or(self.depths[points - 1]);
        let share = |depth: f64| ((depth - top) / (bottom - top)).clamp(0.0, 1.0);
        let moved = |(place, figure): (usize, &Estimate)| {
            let terms = match self.depths.get(place) {
                Some(depth) => [(1.0, wider), (-slopes[place] * share(*depth), deeper)],
                None => [(0.0, wider), (share(figure.value()), deeper)],
            };
            let terms = [(1.0, figure), terms[0], terms[1]];
            Estimate::linear(figure.value(), &terms)
        };
        Self {
            figures: self.figures.iter().enumerate().map(moved).collect(),
            of_a_specimen: true,
            ..self.clone()
        }
    }

    /// What a gauge reads on the metal of this trace, with every source of doubt. None where it
    /// needs metal, or a mark, that is not known, or points that stand closer. Of a trial it is a number.
    pub fn read(&self, gauge: &impl Gauge) -> Option<Estimate> {
        let numbers: Vec<f64> = self.figures.iter().map(Estimate::value).collect();
        let reading = gauge.read(&self.section(&numbers))?;
        if let Some(Errors { draw, measured }) = &self.errors {
            let off = self.between_points(gauge, measured, gauge.read(&self.section(measured))?)?;
            let between = Estimate::rectangular(0.0, off, self.between.clone());
            return Some(Estimate::exact(reading + between.drawn(draw)));
        }
        let mut figures: Vec<Dual64> = numbers.iter().copied().map(Dual64::from).collect();
        let mut terms = Vec::new();
        let mut leans_on_points = false;
        for (place, estimate) in self.figures.iter().enumerate() {
            figures[place].eps = 1.0;
            let slope = gauge.read(&self.section(&figures))?.eps;
            figures[place].eps = 0.0;
            if slope != 0.0 {
                terms.push((slope, estimate));
                leans_on_points |= place < self.depths.len();
            }
        }
        let off = if leans_on_points {
            self.between_points(gauge, &numbers, reading)?
        } else {
            0.0
        };
        let between = Estimate::rectangular(0.0, off, self.between.clone());
        terms.push((1.0, &between));
        Some(Estimate::linear(reading, &terms))
    }

    /// How far the metal between the points may put a reading off.
    fn between_points(&self, gauge: &impl Gauge, figures: &[f64], reading: f64) -> Option<f64> {
        let measured = Measured {
            depths: &self.depths,
            marks: self.marks,
            figures,
        };
        measured.off(gauge, reading)
    }

    /// What a gauge reads here, and how far it may be from a value that is stated of the same
    /// metal, if it is further: k = 3 of both doubts.
    pub fn contradicts(&self, gauge: &impl Gauge, value: f64, u: f64) -> Option<(f64, f64)> {
        let read = self.read(gauge)?;
        let allowed = COVERAGE * u.hypot(read.u()) + ROUNDING_MM;
        let apart = (read.value() - value).abs();
        (apart > allowed).then(|| (read.value(), allowed))
    }

    /// The same trace with the errors of one trial; what it reads is a number of that trial.
    #[must_use]
    pub fn moved(&self, draw: &Draw) -> Self {
        Self {
            figures: self.figures.iter().map(|one| one.moved(draw)).collect(),
            errors: Some(Errors {
                draw: *draw,
                measured: self.figures.iter().map(Estimate::value).collect(),
            }),
            ..self.clone()
        }
    }

    /// The metal with every diameter and mark as `number` says of its estimate: the best
    /// one, or one that is drawn.
    pub fn numbers(&self, number: impl FnMut(&Estimate) -> f64) -> Section<f64> {
        let numbers: Vec<f64> = self.figures.iter().map(number).collect();
        self.section(&numbers)
    }

    /// Whether it says where the throat is, and so has a cup.
    pub fn reaches_throat(&self) -> bool {
        self.marks[Mark::Throat as usize]
    }

    /// The points as depth and diameter, mm, from the crest down.
    pub fn points(&self) -> impl Iterator<Item = (f64, &Estimate)> {
        self.depths.iter().copied().zip(&self.figures)
    }

    fn section<D: Number>(&self, figures: &[D]) -> Section<D> {
        section(&self.depths, self.marks, figures)
    }
}

/// The metal through diameters at these depths; behind them stand the depths of the marks that are
/// known.
pub(super) fn section<D: Number>(depths: &[f64], known: [bool; 4], figures: &[D]) -> Section<D> {
    let (diameters, marks) = figures.split_at(depths.len());
    let mut marks = marks.iter().copied();
    let [seam, throat, throat_end, exit] = known.map(|known| known.then(|| marks.next()).flatten());
    let radii: Vec<D> = diameters.iter().map(|diameter| *diameter * 0.5).collect();
    let joined = Joined {
        slopes: pchip::slopes(depths, &radii),
        depths,
        radii,
    };
    let (top, bottom) = (joined.top(), throat.unwrap_or_else(|| joined.bottom()));
    let mut curves = joined.between(top, seam.unwrap_or(bottom));
    let rim = seam.map(|seam| {
        let rim = curves.len();
        curves.extend(joined.between(seam, bottom));
        rim
    });
    let from_crest = depths[0].abs() < SAME_DEPTH_MM;
    let backbore = throat_end.zip(exit);
    Section::partial(curves, from_crest, rim, throat.is_some()).with(Beyond {
        throat_radius: throat.map(|throat| joined.narrowest(throat, throat_end)),
        throat_length: throat.zip(throat_end).map(|(top, end)| end - top),
        backbore: backbore.map_or_else(Vec::new, |(top, end)| joined.between(top, end)),
        exit_radius: exit.map(|exit| joined.radius(exit)),
        ..Beyond::default()
    })
}

fn same_depth(one: TracePoint, other: TracePoint) -> bool {
    other.depth - one.depth < SAME_DEPTH_MM
}

fn normal(key: impl Into<String>, label: impl Into<Sentence>) -> Arc<Source> {
    Arc::new(Source::new(key, label, Distribution::Normal).in_unit("mm"))
}

/// Points kept of a trace with more: reading one takes time with their square.
pub const MOST_KEPT: usize = 400;

/// Groups at even distances along the metal, both ends among them: where the bore narrows fast, at an edge,
/// points stand close in depth and far apart along the metal.
fn kept(groups: Vec<&[(usize, TracePoint)]>) -> Vec<&[(usize, TracePoint)]> {
    let Some(last) = groups
        .len()
        .checked_sub(1)
        .filter(|_| groups.len() > MOST_KEPT)
    else {
        return groups;
    };
    let mut along: Vec<f64> = vec![0.0];
    for pair in groups.windows(2) {
        let (one, other) = (pair[0][0].1, pair[1][0].1);
        let narrows = 0.5 * (other.diameter - one.diameter);
        along.push(along[along.len() - 1] + (other.depth - one.depth).hypot(narrows));
    }
    let step = along[last] / (MOST_KEPT - 1) as f64;
    let mut steps_done = -1.0;
    let mut keep = Vec::with_capacity(MOST_KEPT + 1);
    for (place, group) in groups.into_iter().enumerate() {
        let steps: f64 = (along[place] / step).floor();
        if steps > steps_done || place == last {
            steps_done = steps;
            keep.push(group);
        }
    }
    keep
}

/// The points with what the doubt of their depths does to their diameters: by the slope from the point above to
/// the point below.
fn doubted(written: &TraceFigures) -> Vec<TracePoint> {
    let mut points = written.points.clone();
    if written.depth_u == 0.0 {
        return points;
    }
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_by(|&one, &other| points[one].depth.total_cmp(&points[other].depth));
    for (rank, &place) in order.iter().enumerate() {
        let at = |rank: usize| written.points[order[rank]];
        let own = at(rank);
        let above = (0..rank).rev().map(at).find(|one| !same_depth(*one, own));
        let below = (rank + 1..order.len())
            .map(at)
            .find(|one| !same_depth(own, *one));
        let (above, below) = (above.unwrap_or(own), below.unwrap_or(own));
        let slope = (below.diameter - above.diameter) / (below.depth - above.depth);
        if slope.is_finite() {
            points[place].u = own.u.hypot(slope * written.depth_u);
        }
    }
    points
}

/// Points at one depth that agree: each weighs by its u; all alike where one is exact.
fn weighted_mean(read: Vec<(f64, Estimate)>) -> Estimate {
    let exact = read.iter().any(|(u, _)| *u == 0.0);
    let weight = |u: f64| if exact { 1.0 } else { 1.0 / (u * u) };
    let whole: f64 = read.iter().map(|(u, _)| weight(*u)).sum();
    let terms: Vec<(f64, &Estimate)> = read
        .iter()
        .map(|(u, estimate)| (weight(*u) / whole, estimate))
        .collect();
    let value = terms
        .iter()
        .map(|(share, estimate)| share * estimate.value());
    Estimate::linear(value.sum(), &terms)
}

/// The monotone cubic through the radii.
struct Joined<'a, D> {
    depths: &'a [f64],
    radii: Vec<D>,
    slopes: Vec<D>,
}

impl<D: Number> Joined<'_, D> {
    fn top(&self) -> D {
        D::from(self.depths[0])
    }

    fn bottom(&self) -> D {
        D::from(self.depths[self.depths.len() - 1])
    }

    /// The cubic from one point to the next.
    fn piece(&self, place: usize) -> Curve<D> {
        let end = |place: usize| (self.radii[place], D::from(self.depths[place]));
        Curve::Cubic {
            from: end(place),
            to: end(place + 1),
            slopes: (self.slopes[place], self.slopes[place + 1]),
        }
    }

    /// The curves between two depths, the first and the last cut there.
    fn between(&self, top: D, bottom: D) -> Vec<Curve<D>> {
        let pieces = 0..self.depths.len() - 1;
        pieces
            .filter(|&place| self.depths[place + 1] > top.re() && self.depths[place] < bottom.re())
            .map(|place| {
                let (above, below) = (self.depths[place], self.depths[place + 1]);
                // A mark that lies on a point moves the end of its piece.
                let from = if above <= top.re() {
                    top
                } else {
                    D::from(above)
                };
                let to = if below >= bottom.re() {
                    bottom
                } else {
                    D::from(below)
                };
                self.piece(place).between(from, to)
            })
            .collect()
    }

    /// The least radius from one depth to another, or else to the last point. The cubic is monotone from point to
    /// point, so that it stands on a point or at an end.
    fn narrowest(&self, top: D, bottom: Option<D>) -> D {
        let within = |depth: f64| depth >= top.re() && bottom.is_none_or(|end| depth <= end.re());
        let points = (self.depths.iter().zip(&self.radii)).filter(|(depth, _)| within(**depth));
        let ends = [Some(top), bottom].into_iter().flatten();
        let radii = ends
            .map(|end| self.radius(end))
            .chain(points.map(|(_, radius)| *radius));
        let narrower = |one: &D, other: &D| one.re().total_cmp(&other.re());
        radii.min_by(narrower).unwrap_or_else(|| self.radius(top))
    }

    fn radius(&self, depth: D) -> D {
        let place = self.depths.partition_point(|one| *one < depth.re());
        let piece = self.piece(place.saturating_sub(1).min(self.depths.len() - 2));
        piece.between(depth, self.bottom()).upper().0
    }
}
