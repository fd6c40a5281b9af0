//! How far the metal between measured points may put a reading off.
//!
//! Nobody has measured it, and two things are known of it. A reading moves by so much where every other
//! point is left out: the cubic misses by the square of the distance of its points or less, so that half the
//! points miss by far more than all. And from crest to throat a bore narrows, so that it lies between the diameters
//! of the points above and below; a gauge that reads more of a wider bore then reads between two bounds. The
//! smaller of the two counts, as limits. Where neither can be had nothing can be read.

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

/// Fewer points cannot be halved.
const FEWEST_TO_HALVE: usize = 3;

/// A step from one diameter to the next takes this share of the distance of two points.
const STEP: f64 = 1e-4;

impl Measured<'_> {
    /// How far `reading` may be off, half-width.
    pub fn off(&self, gauge: &impl Gauge, reading: f64) -> Option<f64> {
        let (thinned, bounded) = (self.thinned(gauge, reading), self.bounded(gauge, reading));
        match (thinned, bounded) {
            (Some(one), Some(other)) => Some(one.min(other)),
            (one, other) => one.or(other),
        }
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
