//! How well two methods agree on the same pieces: mean difference and limits.
//!
//! Bland and Altman, Lancet 1986; i: 307-310. Limits are 1.96 standard deviations about the mean
//! difference, as the authors' later papers have it; their first doubled it.

use crate::uncertainty::student_point;

/// What is said of the differences of one method from the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Agreement {
    /// How many differences.
    pub count: usize,
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation.
    pub sd: f64,
}

/// Of normal differences 95 % lie within this many standard deviations.
const LIMITS: f64 = 1.96;

impl Agreement {
    /// Of differences. None for fewer than two.
    pub fn of(differences: &[f64]) -> Option<Self> {
        let count = differences.len();
        let left = count.checked_sub(1).filter(|left| *left > 0)?;
        let mean = differences.iter().sum::<f64>() / count as f64;
        let squares: f64 = differences.iter().map(|one| (one - mean).powi(2)).sum();
        Some(Self {
            count,
            mean,
            sd: (squares / left as f64).sqrt(),
        })
    }

    /// Between these 95 % of the differences lie.
    pub fn limits(&self) -> (f64, f64) {
        (self.mean - LIMITS * self.sd, self.mean + LIMITS * self.sd)
    }

    /// Standard error of the mean.
    pub fn mean_error(&self) -> f64 {
        self.sd / (self.count as f64).sqrt()
    }

    /// Standard error of either limit: √(3 / n) s.
    pub fn limit_error(&self) -> f64 {
        self.sd * (3.0 / self.count as f64).sqrt()
    }

    /// Degrees of freedom of the standard deviation.
    pub fn degrees_of_freedom(&self) -> f64 {
        (self.count - 1) as f64
    }

    /// Between these the mean lies with 95 %.
    pub fn mean_interval(&self) -> (f64, f64) {
        let half = student_point(0.95, self.degrees_of_freedom()) * self.mean_error();
        (self.mean - half, self.mean + half)
    }
}
