//! How often chance alone makes figures disagree as much.
//!
//! The upper tail of the chi-square distribution is the regularised incomplete gamma
//! function Q(ν/2, χ²/2): by its series below a + 1, by its continued fraction above
//! (NIST Digital Library of Mathematical Functions, 8.11.4 and 8.9.2).

/// The probability that chi-square with so many degrees of freedom, one or more, is at
/// least `chi_square`.
pub fn upper_tail(chi_square: f64, degrees_of_freedom: usize) -> f64 {
    let (a, x) = (degrees_of_freedom as f64 / 2.0, chi_square / 2.0);
    if x <= 0.0 {
        return 1.0;
    }
    if !x.is_finite() {
        return 0.0;
    }
    let front = (a * x.ln() - x - ln_gamma_of_half(degrees_of_freedom)).exp();
    if x < a + 1.0 {
        1.0 - front * series(a, x)
    } else {
        front * fraction(a, x)
    }
}

/// ln Γ(n/2), by Γ(a + 1) = a Γ(a) from Γ(1/2) = √π or Γ(1) = 1.
fn ln_gamma_of_half(n: usize) -> f64 {
    let odd = n % 2 == 1;
    let start = if odd {
        0.5 * std::f64::consts::PI.ln()
    } else {
        0.0
    };
    let first = if odd { 1 } else { 2 };
    (first..n)
        .step_by(2)
        .map(|k| (k as f64 / 2.0).ln())
        .sum::<f64>()
        + start
}

/// Terms before the sums are taken as they stand; a hundred do for all tails that matter.
const TERMS: usize = 1000;

fn series(a: f64, x: f64) -> f64 {
    let mut term = 1.0 / a;
    let mut sum = term;
    for n in 1..TERMS {
        term *= x / (a + n as f64);
        sum += term;
        if term < sum * f64::EPSILON {
            break;
        }
    }
    sum
}

/// By Lentz's method from the front.
fn fraction(a: f64, x: f64) -> f64 {
    let mut b = x + 1.0 - a;
    let mut c = f64::INFINITY;
    let mut d = 1.0 / b;
    let mut product = d;
    for n in 1..TERMS {
        let n = n as f64;
        let numerator = -n * (n - a);
        b += 2.0;
        d = 1.0 / (numerator * d + b);
        c = b + numerator / c;
        product *= c * d;
        if (c * d - 1.0).abs() < f64::EPSILON {
            break;
        }
    }
    product
}
