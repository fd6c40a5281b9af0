//! Propagation of distributions, as in JCGM 101:2008.
//!
//! The caller's model is asked once a trial with that trial's [`Draw`]; it draws its estimates,
//! calculates as it always does, and gives the value, or none where the draw is of something
//! that cannot be. Trials that give none are counted, not hidden. The same seed gives the same
//! outcome to the last digit.

use super::coverage::LEVEL;
use super::{Draw, Expanded};

/// The most trials of one run: they are all kept, eight bytes each.
pub const MOST_TRIALS: usize = 1_000_000;

/// The fewest: 95 % of fewer leave too few beyond the ends of the interval.
pub const FEWEST_TRIALS: usize = 1_000;

/// What a run found, in the unit of the model.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outcome {
    /// Trials that gave a value.
    pub trials: usize,
    /// Trials that gave none.
    pub impossible: usize,
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub u: f64,
    /// The interval with 2.5 % beyond each end (JCGM 101, 7.7.2).
    pub symmetric: (f64, f64),
    /// The shortest interval that holds 95 % (JCGM 101, 7.7.3 and 5.3.4).
    pub shortest: (f64, f64),
    /// By how much chance may put an end of the symmetric interval off, k = 2: from the trials that
    /// lie as near to it as the number beyond it varies.
    pub chance: f64,
}

/// Asks `model` for every trial. None where fewer than [`FEWEST_TRIALS`] gave a value.
pub fn run(
    trials: usize,
    seed: u64,
    mut model: impl FnMut(&Draw) -> Option<f64>,
) -> Option<Outcome> {
    let values = (0..trials as u64).filter_map(|trial| model(&Draw::new(seed, trial)));
    Outcome::of(
        values.filter(|value| value.is_finite()).collect(),
        trials,
        LEVEL,
    )
}

impl Outcome {
    /// Of the values that `asked` trials gave, with intervals of that level, which is 95 % in
    /// all that leaves the program.
    pub fn of(mut values: Vec<f64>, asked: usize, level: f64) -> Option<Self> {
        let count = values.len();
        if count < FEWEST_TRIALS {
            return None;
        }
        values.sort_by(f64::total_cmp);
        let mean = values.iter().sum::<f64>() / count as f64;
        let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
        // How many steps from the lower end of an interval to its upper end (JCGM 101, 7.7.1).
        let inside = (level * count as f64 + 0.5) as usize;
        let from = |low: usize| (values[low], values[low + inside]);
        let width = |low: &usize| values[low + inside] - values[*low];
        let low = (count - inside) / 2;
        let varies =
            (2.0 * (low as f64 * (1.0 - low as f64 / count as f64)).sqrt()).ceil() as usize;
        let about = |place: usize| {
            let (before, after) = (
                place.saturating_sub(varies),
                (place + varies).min(count - 1),
            );
            0.5 * (values[after] - values[before])
        };
        let shortest = (0..count - inside).min_by(|a, b| width(a).total_cmp(&width(b)))?;
        Some(Self {
            trials: count,
            impossible: asked - count,
            mean,
            u: (squares / (count - 1) as f64).sqrt(),
            symmetric: from(low),
            shortest: from(shortest),
            chance: about(low).max(about(low + inside)),
        })
    }

    /// Half of the length of the symmetric interval.
    pub fn half_width(&self) -> f64 {
        0.5 * (self.symmetric.1 - self.symmetric.0)
    }

    /// Holds a first-order result against the run.
    pub fn against(&self, first_order: &Expanded) -> Comparison {
        let tolerance = tolerance(first_order.u);
        let off_low = (first_order.value - first_order.expanded - self.symmetric.0).abs();
        let off_high = (first_order.value + first_order.expanded - self.symmetric.1).abs();
        let off = off_low.max(off_high);
        let settled = (off - tolerance).abs() > self.chance || self.chance < 0.5 * tolerance;
        Comparison {
            off_low,
            off_high,
            tolerance,
            agrees: settled.then_some(off <= tolerance),
        }
    }
}

/// A first-order interval beside that of a run (JCGM 101, clause 8).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Comparison {
    /// How far the lower ends are apart.
    pub off_low: f64,
    /// How far the upper ends are apart.
    pub off_high: f64,
    /// How far they may be: half a unit of the second significant digit of u (7.9.2).
    pub tolerance: f64,
    /// Whether both are within it; none where so few trials cannot tell.
    pub agrees: Option<bool>,
}

fn tolerance(u: f64) -> f64 {
    if u > 0.0 {
        0.5 * 10_f64.powf(u.log10().floor() - 1.0)
    } else {
        0.0
    }
}
