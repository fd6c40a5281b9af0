//! The normal and the t distribution, as far as coverage needs them.
//!
//! The normal integrals are quick and good to 2e-7: a coverage factor is shown to
//! two digits. Points of the t distribution are found by Newton's method on the
//! incomplete beta function, to ten digits, for any real number of degrees of
//! freedom: nothing is cut to a whole number and no table is read.

use std::f64::consts::PI;

/// The two-sided 95 % point of the normal distribution.
pub const NORMAL_95: f64 = 1.959_963_984_540_054;

/// Beyond this many standard deviations the normal distribution is 0 or 1 for doubles.
const FAR: f64 = 9.0;

/// Density of the standard normal distribution.
pub fn density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * PI).sqrt()
}

/// The normal distribution at one place with its first two antiderivatives, all sharing
/// one exponential.
#[derive(Clone, Copy, Debug)]
pub struct Bell {
    /// Φ(z).
    pub once: f64,
    /// ∫ Φ up to z: zΦ + φ.
    pub twice: f64,
    /// ∫∫ Φ up to z: ((z² + 1)Φ + zφ) / 2.
    pub thrice: f64,
}

impl Bell {
    /// At `z`. Abramowitz and Stegun, Handbook of Mathematical Functions, 7.1.26; a test holds
    /// it against the power series.
    pub fn at(z: f64) -> Self {
        let (density, once) = match z {
            z if z > FAR => (0.0, 1.0),
            z if z < -FAR => (0.0, 0.0),
            z => {
                let density = density(z);
                let tail = tail(z.abs(), density);
                (density, if z > 0.0 { 1.0 - tail } else { tail })
            }
        };
        let twice = z * once + density;
        Self {
            once,
            twice,
            thrice: 0.5 * (z * twice + once),
        }
    }
}

/// 1 − Φ(z) for z of zero or more.
fn tail(z: f64, density: f64) -> f64 {
    const P: f64 = 0.327_591_1;
    const A: [f64; 5] = [
        0.254_829_592,
        -0.284_496_736,
        1.421_413_741,
        -1.453_152_027,
        1.061_405_429,
    ];
    let t = 1.0 / (1.0 + P * z * std::f64::consts::FRAC_1_SQRT_2);
    let polynomial = A.iter().rev().fold(0.0, |sum, a| (sum + a) * t);
    // erfc(z/√2) = polynomial · e^(−z²/2), and the density has that exponential.
    0.5 * polynomial * density * (2.0 * PI).sqrt()
}

/// From here on t is taken at this many degrees of freedom: it is normal within 3e-6, and larger
/// numbers lose digits.
const AS_GOOD_AS_INFINITE: f64 = 1e6;

/// Newton steps after which a point of the t distribution is taken as it is.
const STEPS: usize = 200;

/// The two-sided point of the t distribution: |t| stays within it with probability `level`, for
/// any number of degrees of freedom above zero (JCGM 100, G.3.2).
pub fn student_point(level: f64, degrees_of_freedom: f64) -> f64 {
    let nu = degrees_of_freedom.min(AS_GOOD_AS_INFINITE);
    let scale = student_scale(nu);
    let mut t = 1.0;
    // Within(t) is concave, so that from below Newton's method rises to the point and never
    // passes it; a first step from above falls below it.
    for _ in 0..STEPS {
        let slope = 2.0 * scale * student_fall(t, nu);
        let step = (level - student_within(t, nu)) / slope;
        let next = if t + step > 0.0 { t + step } else { 0.5 * t };
        if (next - t).abs() <= 1e-12 * t {
            return next;
        }
        t = next;
    }
    t
}

/// Density of the t distribution.
pub fn student_density(t: f64, degrees_of_freedom: f64) -> f64 {
    let nu = degrees_of_freedom.min(AS_GOOD_AS_INFINITE);
    student_scale(nu) * student_fall(t, nu)
}

/// Density at zero.
fn student_scale(nu: f64) -> f64 {
    (ln_gamma(0.5 * (nu + 1.0)) - ln_gamma(0.5 * nu)).exp() / (nu * PI).sqrt()
}

/// Density over that at zero.
fn student_fall(t: f64, nu: f64) -> f64 {
    (1.0 + t * t / nu).powf(-0.5 * (nu + 1.0))
}

/// The probability that |t| stays within a limit.
pub fn student_within(limit: f64, degrees_of_freedom: f64) -> f64 {
    let nu = degrees_of_freedom.min(AS_GOOD_AS_INFINITE);
    let share = nu / (nu + limit * limit);
    1.0 - incomplete_beta(share, 0.5 * nu, 0.5)
}

/// The regularised incomplete beta function I_x(a, b), by its continued fraction (DLMF 8.17.22).
fn incomplete_beta(x: f64, a: f64, b: f64) -> f64 {
    if x <= 0.0 || x >= 1.0 {
        return x.clamp(0.0, 1.0);
    }
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - incomplete_beta(1.0 - x, b, a);
    }
    let front = ln_gamma(a + b) - ln_gamma(a) - ln_gamma(b) + a * x.ln() + b * (-x).ln_1p();
    front.exp() / (a * beta_fraction(x, a, b))
}

/// The fraction 1 + d₁/(1 + d₂/(1 + …)), by Lentz's method.
fn beta_fraction(x: f64, a: f64, b: f64) -> f64 {
    let (mut value, mut c, mut d) = (1.0, 1.0, 0.0);
    for place in 1..STEPS {
        let m = (place / 2) as f64;
        let term = if place % 2 == 0 {
            m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m))
        } else {
            -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0))
        };
        d = 1.0 / (1.0 + term * d);
        c = 1.0 + term / c;
        value *= c * d;
        if (c * d - 1.0).abs() < 1e-15 {
            break;
        }
    }
    value
}

/// ln Γ(x) for x above zero, by Stirling's series (DLMF 5.11.1) past ten.
fn ln_gamma(x: f64) -> f64 {
    let (mut x, mut below) = (x, 1.0);
    while x < 10.0 {
        below *= x;
        x += 1.0;
    }
    let inverse = 1.0 / x;
    let square = inverse * inverse;
    let series =
        inverse * (1.0 / 12.0 - square * (1.0 / 360.0 - square * (1.0 / 1260.0 - square / 1680.0)));
    (x - 0.5) * x.ln() - x + 0.5 * (2.0 * PI).ln() + series - f64::ln(below)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Φ by its power series, good to 1e-15 for |z| up to 5.
    fn series(z: f64) -> f64 {
        let (mut term, mut sum, mut odd) = (z, z, 1.0);
        while f64::abs(term) > 1e-18 {
            odd += 2.0;
            term *= z * z / odd;
            sum += term;
        }
        0.5 + density(z) * sum
    }

    #[test]
    fn the_quick_normal_distribution_meets_its_series() {
        for step in -500..=500 {
            let z = f64::from(step) / 100.0;
            assert!((Bell::at(z).once - series(z)).abs() < 1e-7, "{z}");
        }
        assert!((series(NORMAL_95) - 0.975).abs() < 1e-15);
    }

    #[test]
    fn each_antiderivative_has_the_one_before_as_its_slope() {
        for step in -40..=40 {
            let (z, h) = (f64::from(step) / 8.0, 1e-2);
            let slope =
                |of: fn(Bell) -> f64| (of(Bell::at(z + h)) - of(Bell::at(z - h))) / (2.0 * h);
            assert!((slope(|bell| bell.twice) - Bell::at(z).once).abs() < 1e-4);
            assert!((slope(|bell| bell.thrice) - Bell::at(z).twice).abs() < 1e-4);
        }
    }

    #[test]
    fn ln_gamma_meets_factorials_and_the_half() {
        assert!((ln_gamma(0.5) - PI.sqrt().ln()).abs() < 1e-12);
        assert!((ln_gamma(6.0) - 120_f64.ln()).abs() < 1e-12);
        assert!((ln_gamma(21.0) - 2_432_902_008_176_640_000_f64.ln()).abs() < 1e-11);
    }
}
