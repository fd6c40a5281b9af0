//! A straight line through points that err in both directions.
//!
//! York, Evensen, Lopez Martinez and De Basabe Delgado, Am. J. Phys. 72 (2004) 367, equations
//! 13; errors of x and y of a point independent. Standard errors are those of 2004, at
//! the adjusted points, and not scaled by the scatter: that is for the caller, who has chi-square.

/// A point and the standard uncertainty in both directions, neither zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Along.
    pub x: f64,
    /// Across.
    pub y: f64,
    /// Standard uncertainty of x.
    pub u_x: f64,
    /// Standard uncertainty of y.
    pub u_y: f64,
}

/// y = level + slope (x − centre).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// The weighted mean of the adjusted points, where level and slope do not depend on each other.
    pub centre: f64,
    /// y at the centre.
    pub level: f64,
    /// Standard error of the level.
    pub u_level: f64,
    /// By how much y rises with x.
    pub slope: f64,
    /// Standard error of the slope.
    pub u_slope: f64,
    /// Sum of the squared distances from the line in their uncertainties.
    pub chi_square: f64,
    /// Points less two.
    pub degrees_of_freedom: usize,
}

/// Rounds after which a line that still moves is none.
const ROUNDS: usize = 200;

/// Relative movement at which the slope stands.
const CLOSE: f64 = 1e-15;

/// The line through the points. None for fewer than three points, for all of one x, or
/// where the rounds never settle.
pub fn line(points: &[Point]) -> Option<Line> {
    let degrees_of_freedom = points.len().checked_sub(2).filter(|left| *left > 0)?;
    let plain: Vec<(f64, f64)> = points.iter().map(|point| (point.x, point.y)).collect();
    let mut slope = super::least_squares::polynomial(&plain, 1)?.coefficients[1];
    for _ in 0..ROUNDS {
        let next = Weighed::by(points, slope).slope();
        if !next.is_finite() {
            return None;
        }
        let still = (next - slope).abs() <= CLOSE * next.abs();
        slope = next;
        if still {
            break;
        }
    }
    Some(Weighed::by(points, slope).line(slope, degrees_of_freedom))
}

/// The points weighted for a slope.
struct Weighed<'a> {
    points: &'a [Point],
    weights: Vec<f64>,
    sum: f64,
    /// Weighted mean of the points.
    mean: (f64, f64),
    /// How far each point's best place on the line is from the mean, along x.
    beta: Vec<f64>,
}

impl<'a> Weighed<'a> {
    fn by(points: &'a [Point], slope: f64) -> Self {
        let weight = |point: &Point| 1.0 / (point.u_y.powi(2) + (slope * point.u_x).powi(2));
        let weights: Vec<f64> = points.iter().map(weight).collect();
        let sum: f64 = weights.iter().sum();
        let mean_of = |of: fn(&Point) -> f64| {
            let weighted = points.iter().zip(&weights);
            weighted
                .map(|(point, weight)| weight * of(point))
                .sum::<f64>()
                / sum
        };
        let mean = (mean_of(|point| point.x), mean_of(|point| point.y));
        let beta = |(point, weight): (&Point, &f64)| {
            let (u, v) = (point.x - mean.0, point.y - mean.1);
            weight * (u * point.u_y.powi(2) + slope * v * point.u_x.powi(2))
        };
        let beta = points.iter().zip(&weights).map(beta).collect();
        Self {
            points,
            weights,
            sum,
            mean,
            beta,
        }
    }

    fn slope(&self) -> f64 {
        let (mut above, mut below) = (0.0, 0.0);
        for ((point, weight), beta) in self.points.iter().zip(&self.weights).zip(&self.beta) {
            above += weight * beta * (point.y - self.mean.1);
            below += weight * beta * (point.x - self.mean.0);
        }
        above / below
    }

    fn line(&self, slope: f64, degrees_of_freedom: usize) -> Line {
        let weighted = |of: &dyn Fn(usize) -> f64| -> f64 {
            self.weights
                .iter()
                .enumerate()
                .map(|(place, weight)| weight * of(place))
                .sum()
        };
        let beta_mean = weighted(&|place| self.beta[place]) / self.sum;
        let spread = weighted(&|place| (self.beta[place] - beta_mean).powi(2));
        let level = self.mean.1 + slope * beta_mean;
        let centre = self.mean.0 + beta_mean;
        let misfit = |place: usize| {
            let point = &self.points[place];
            (point.y - level - slope * (point.x - centre)).powi(2)
        };
        Line {
            centre,
            level,
            u_level: self.sum.sqrt().recip(),
            slope,
            u_slope: spread.sqrt().recip(),
            chi_square: weighted(&misfit),
            degrees_of_freedom,
        }
    }
}

impl Line {
    /// y at x = 0.
    pub fn intercept(&self) -> f64 {
        self.level - self.slope * self.centre
    }

    /// Standard error of the intercept.
    pub fn u_intercept(&self) -> f64 {
        self.u_level.hypot(self.centre * self.u_slope)
    }

    /// Covariance of intercept and slope.
    pub fn covariance(&self) -> f64 {
        -self.centre * self.u_slope.powi(2)
    }

    /// The factor by which points scatter more than their uncertainties say; one where they do not.
    pub fn excess(&self) -> f64 {
        (self.chi_square / self.degrees_of_freedom as f64)
            .sqrt()
            .max(1.0)
    }
}
