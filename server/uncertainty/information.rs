//! How much one more look tells: mutual information, in bits.
//!
//! Several things may be so, each with a weight; what is seen hangs on which of them is. The
//! information is how much of the doubt between them the look takes away on average: nought
//! where all show the same, the whole doubt where each shows something of its own. Outcomes are
//! told apart ([`of_outcomes`]) or lie anywhere on a line ([`of_reading`], by quadrature: the
//! same question always has the same answer).
//!
//! Weights need not add up to one. Which looks there are is said by other rooms.

use super::bell::{Bell, density};

/// The doubt between things of these weights, in bits.
pub fn doubt(weights: &[f64]) -> f64 {
    let total: f64 = weights.iter().sum();
    let shares = weights.iter().map(|weight| weight / total);
    shares
        .filter(|share| *share > 0.0)
        .map(|share| -share * share.log2())
        .sum()
}

/// What an outcome tells, in bits, where `chances` holds for each thing that may be so the
/// probability of each outcome.
///
/// ```
/// use counterbore::uncertainty::information::of_outcomes;
///
/// let clear = of_outcomes(&[0.5, 0.5], &[vec![1.0, 0.0], vec![0.0, 1.0]]);
/// assert!((clear - 1.0).abs() < 1e-12);
/// ```
pub fn of_outcomes(weights: &[f64], chances: &[Vec<f64>]) -> f64 {
    let total: f64 = weights.iter().sum();
    let outcomes = chances.iter().map(Vec::len).max().unwrap_or(0);
    let told = |outcome: usize| told_by(weights, total, |thing| chances[thing][outcome]);
    (0..outcomes).map(told).sum::<f64>().max(0.0)
}

/// The share of an outcome in what is told: the sum over things of w p log2(p / mean of p).
fn told_by(weights: &[f64], total: f64, chance: impl Fn(usize) -> f64) -> f64 {
    let shares = || weights.iter().enumerate();
    let mean: f64 = shares()
        .map(|(thing, weight)| weight / total * chance(thing))
        .sum();
    let one = |(thing, weight): (usize, &f64)| match chance(thing) {
        own if own > 0.0 && mean > 0.0 => weight / total * own * (own / mean).log2(),
        _ => 0.0,
    };
    shares().map(one).sum()
}

/// What a reading may be where one thing is so. Unit: the caller's, the same in all.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shows {
    /// About a value.
    About {
        /// The value.
        value: f64,
        /// Standard uncertainty of value and reading together, above nought.
        u: f64,
    },
    /// Anywhere between two ends, all as likely.
    Between {
        /// The lower end.
        low: f64,
        /// The upper end, above the lower.
        high: f64,
        /// Standard uncertainty of the reading, above nought.
        u: f64,
    },
}

impl Shows {
    fn density(self, at: f64) -> f64 {
        match self {
            Self::About { value, u } => density((at - value) / u) / u,
            Self::Between { low, high, u } => {
                let below = |end: f64| Bell::at((at - end) / u).once;
                (below(low) - below(high)).max(0.0) / (high - low)
            }
        }
    }

    /// Places between which the density is smooth enough for the quadrature.
    fn nodes(self) -> Vec<f64> {
        let about = |value: f64, u: f64| {
            (-STEPS..=STEPS).map(move |step| value + f64::from(step) * STEP * u)
        };
        match self {
            Self::About { value, u } => about(value, u).collect(),
            Self::Between { low, high, u } => {
                let inside =
                    (1..PIECES).map(|one| low + (high - low) * f64::from(one) / f64::from(PIECES));
                about(low, u).chain(inside).chain(about(high, u)).collect()
            }
        }
    }
}

/// Nodes each way of a value, so far apart in u. Beyond them less than 1e-10 is left.
const STEPS: i32 = 13;
const STEP: f64 = 0.5;

/// Pieces of what lies between two ends.
const PIECES: i32 = 16;

/// Gauss and Legendre's rule of three points on -1 to 1: places and weights (Abramowitz and
/// Stegun, Handbook of Mathematical Functions, table 25.4).
const RULE: [(f64, f64); 3] = [
    (-0.774_596_669_241_483_4, 5.0 / 9.0),
    (0.0, 8.0 / 9.0),
    (0.774_596_669_241_483_4, 5.0 / 9.0),
];

/// What a reading tells, in bits, good to about 1e-5.
pub fn of_reading(weights: &[f64], shows: &[Shows]) -> f64 {
    let mut nodes: Vec<f64> = shows.iter().flat_map(|one| one.nodes()).collect();
    nodes.sort_by(f64::total_cmp);
    nodes.dedup();
    let total: f64 = weights.iter().sum();
    let piece = |ends: &[f64]| {
        let (middle, half) = (0.5 * (ends[0] + ends[1]), 0.5 * (ends[1] - ends[0]));
        let told = |(place, weight): &(f64, f64)| {
            let at = middle + half * place;
            let densities: Vec<f64> = shows.iter().map(|one| one.density(at)).collect();
            half * weight * told_by(weights, total, |thing| densities[thing])
        };
        RULE.iter().map(told).sum::<f64>()
    };
    nodes.windows(2).map(piece).sum::<f64>().max(0.0)
}
