//! How far the metal between measured points may put a reading off.
//!
//! Nobody has measured it, and two things are known of it. A reading moves by so much where every other
//! point is left out: the cubic misses by the square of the distance of its points or less, so that half the
//! points miss by far more than all. And from crest to throat a bore narrows, so that it lies between the diameters
//! of the points above and below; a gauge that reads more of a wider bore then reads between two bounds. The
//! smaller of the two counts, as limits. Where neither can be had nothing can be read.
//!
//! A tangent of the rim needs points about it: where the bore turns far from one to the next, halves of the points
//! may agree by chance, and only the bounds that a convex rim leaves it are told.

use super::section::Section;
use super::shape::Gauge;
use super::trace::section;

/// Points by depth, and the depths of the marks that are known.
#[derive(Clone, Copy, Debug)]
pub(super) struct Measured<'a> {
    /// Of the points, from the crest down, mm.
    pub depths: &'a [f64],
    /// Which marks are known: seam, throat, its end, exit.
    pub marks: [bool; 4],
    /// The diameters, then the depths of the known marks, mm.
    pub figures: &'a [f64],
}

/// How points lie about a tangent of the rim.
enum Around {
    /// So close that the bore turns little from one to the next.
    Close,
    /// So far apart that its diameter is known between two bounds only, mm.
    Far(f64, f64),
}

/// Where the bore turns more than this at a point, radians, halves of the points may agree by chance (judged by this
/// project, no source).
const MOST_TURN: f64 = 20.0 * std::f64::consts::PI / 180.0;

/// Three points within this depth, mm, are close however the bore turns, and their own doubt may turn it (judged by this
/// project, no source).
const NEAR: f64 = 0.45;

/// Depths at which bounds of a tangent are looked for.
const STEPS: u32 = 400;

/// Fewer points cannot be halved.
const FEWEST_TO_HALVE: usize = 3;

/// A step from one diameter to the next takes this share of the distance of two points.
const STEP: f64 = 1e-4;

impl Measured<'_> {
    /// How far `reading` may be off, half-width.
    pub fn off(&self, gauge: &impl Gauge, reading: f64) -> Option<f64> {
        if let Some(tangent) = gauge.tangent() {
            match self.around(tangent.angle)? {
                Around::Close => {}
                Around::Far(low, high) => {
                    let off = (reading - low).abs().max((high - reading).abs());
                    return tangent.is_read.then_some(off);
                }
            }
        }
        let (thinned, bounded) = (self.thinned(gauge, reading), self.bounded(gauge, reading));
        match (thinned, bounded) {
            (Some(one), Some(other)) => Some(one.min(other)),
            (one, other) => one.or(other),
        }
    }

    /// How the points lie about the place where the rim has a tangent; none where it has it at none of them.
    fn around(&self, angle: f64) -> Option<Around> {
        let (diameters, _) = self.figures.split_at(self.depths.len());
        let radius = |place: usize| diameters[place] / 2.0;
        let steepness = |place: usize| {
            let (next, here) = (place + 1, place);
            (radius(here) - radius(next)) / (self.depths[next] - self.depths[here])
        };
        let wanted = angle.tan();
        let chords = self.depths.len() - 1;
        let at = (1..chords).find(|&at| steepness(at - 1) >= wanted && steepness(at) < wanted)?;
        let (first, last) = (self.depths[at - 1], self.depths[at + 1]);
        let turn = steepness(at - 1).atan() - steepness(at).atan();
        if turn <= MOST_TURN || last - first <= NEAR {
            return Some(Around::Close);
        }
        // The rim is convex there: it lies under its chords, over the chords beside them drawn on, and over its tangent.
        let through = |place: usize, steepness: f64| {
            move |depth: f64| radius(place) - steepness * (depth - self.depths[place])
        };
        let before = (at >= 2).then(|| through(at - 1, steepness(at - 2)));
        let after = (at + 1 < chords).then(|| through(at + 1, steepness(at + 1)));
        let (chord_before, chord_after) =
            (through(at, steepness(at - 1)), through(at, steepness(at)));
        let tangent = through(at, wanted);
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for step in 0..=STEPS {
            let depth = first + (last - first) * f64::from(step) / f64::from(STEPS);
            let is_before = depth <= self.depths[at];
            let (under, beside) = match is_before {
                true => (chord_before(depth), chord_after(depth)),
                false => (chord_after(depth), chord_before(depth)),
            };
            let drawn_on = match is_before {
                true => before.as_ref().map(|line| line(depth)),
                false => after.as_ref().map(|line| line(depth)),
            };
            let over = drawn_on.map_or(beside, |line| line.max(beside));
            let under = under.min(tangent(depth));
            if over <= under {
                (low, high) = (low.min(2.0 * over), high.max(2.0 * under));
            }
        }
        // Points that are not convex there bear no tangent that these bounds hold for.
        (low <= high).then_some(Around::Far(low, high))
    }

    /// The larger of what the points of even and of odd place make of it, the ends kept.
    fn thinned(&self, gauge: &impl Gauge, reading: f64) -> Option<f64> {
        let points = self.depths.len();
        if points < FEWEST_TO_HALVE {
            return None;
        }
        let (diameters, _) = self.figures.split_at(points);
        let off = [0, 1].map(|odd| {
            let kept = |place: &usize| *place % 2 == odd || *place == 0 || *place == points - 1;
            let places = (0..points).filter(kept);
            let kept = places.map(|place| (self.depths[place], diameters[place]));
            let read = gauge.read(&self.through(kept.collect()))?;
            Some((read - reading).abs())
        });
        let [even, odd] = off;
        Some(even?.max(odd?))
    }

    /// The farther of both bounds.
    fn bounded(&self, gauge: &impl Gauge, reading: f64) -> Option<f64> {
        let (narrow, wide) = (self.stepped(f64::min), self.stepped(f64::max));
        let (low, high) = gauge.bounds(&narrow, &wide)?;
        Some((reading - low).max(high - reading).max(0.0))
    }

    /// The bore that down to the throat has, between two points, the diameter that `of` takes of theirs.
    fn stepped(&self, of: fn(f64, f64) -> f64) -> Section<f64> {
        let (diameters, marks) = self.figures.split_at(self.depths.len());
        let throat = usize::from(self.marks[0]);
        let narrows_to = match self.marks[1] {
            true => marks[throat],
            false => f64::INFINITY,
        };
        let mut points = vec![(self.depths[0], diameters[0])];
        for (depth, diameter) in self.depths.iter().zip(diameters).skip(1) {
            let (above, below) = (points[points.len() - 1], (*depth, *diameter));
            let step = STEP * (below.0 - above.0);
            let between = of(above.1, below.1);
            if above.0 < narrows_to && between == above.1 {
                points.push((below.0 - step, between));
            } else if above.0 < narrows_to {
                points.push((above.0 + step, between));
            }
            points.push(below);
        }
        self.through(points)
    }

    /// The metal through other points with the same marks.
    fn through(&self, points: Vec<(f64, f64)>) -> Section<f64> {
        let marks = &self.figures[self.depths.len()..];
        let (depths, mut figures): (Vec<f64>, Vec<f64>) = points.into_iter().unzip();
        figures.extend_from_slice(marks);
        section(&depths, self.marks, &figures)
    }
}
