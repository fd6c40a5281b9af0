//! A polynomial through points, all of equal weight.
//!
//! The powers are made orthogonal on the points themselves, one from the two before (Forsythe,
//! J. Soc. Indust. Appl. Math. 5 (1957) 74), each step repeated on what it left, so that
//! no normal equations lose half of the digits. Held against the certified values of NIST's
//! Norris and Pontius.
//!
//! Up to degree two: no more is asked of pairs.

/// A fitted polynomial.
#[derive(Clone, Debug, PartialEq)]
pub struct Polynomial {
    /// Coefficients of 1, x, x², …
    pub coefficients: Vec<f64>,
    /// Their standard errors.
    pub standard_errors: Vec<f64>,
    /// Root of the residual sum of squares over the degrees of freedom.
    pub residual_sd: f64,
    /// Points less coefficients.
    pub degrees_of_freedom: usize,
}

/// Fits a polynomial of that degree to (x, y). None where there are too few different
/// points to leave a degree of freedom.
pub fn polynomial(points: &[(f64, f64)], degree: usize) -> Option<Polynomial> {
    let degrees_of_freedom = points
        .len()
        .checked_sub(degree + 1)
        .filter(|left| *left > 0)?;
    let basis = Basis::on(points, degree)?;
    let mut rest: Vec<f64> = points.iter().map(|(_, y)| *y).collect();
    let mut weights = vec![0.0; degree + 1];
    // A second pass takes what rounding left of the first.
    for _ in 0..2 {
        for (weight, values) in weights.iter_mut().zip(&basis.values) {
            let part = dot(values, &rest);
            *weight += part;
            subtract(&mut rest, part, values);
        }
    }
    let residual_sd = (dot(&rest, &rest) / degrees_of_freedom as f64).sqrt();
    let coefficient = |power: usize| {
        basis
            .powers
            .iter()
            .zip(&weights)
            .map(|(powers, weight)| weight * powers[power])
            .sum()
    };
    let error = |power: usize| {
        let squares = basis
            .powers
            .iter()
            .map(|powers| powers[power] * powers[power]);
        residual_sd * squares.sum::<f64>().sqrt()
    };
    Some(Polynomial {
        coefficients: (0..=degree).map(coefficient).collect(),
        standard_errors: (0..=degree).map(error).collect(),
        residual_sd,
        degrees_of_freedom,
    })
}

/// Orthonormal polynomials on the points: their values there, and their powers of x.
struct Basis {
    values: Vec<Vec<f64>>,
    powers: Vec<Vec<f64>>,
}

impl Basis {
    fn on(points: &[(f64, f64)], degree: usize) -> Option<Self> {
        // Near to one, so that squares of millions do not swamp ones.
        let scale = points
            .iter()
            .fold(0.0_f64, |most, (x, _)| most.max(x.abs()));
        let mut basis = Self {
            values: Vec::new(),
            powers: Vec::new(),
        };
        let mut next = (vec![1.0; points.len()], unit(0, degree));
        for _ in 0..=degree {
            let (mut values, mut powers) = next;
            for _ in 0..2 {
                for (before, of_it) in basis.values.iter().zip(&basis.powers) {
                    let part = dot(before, &values);
                    subtract(&mut values, part, before);
                    subtract(&mut powers, part, of_it);
                }
            }
            let norm = dot(&values, &values).sqrt();
            if norm <= f64::EPSILON * (points.len() as f64).sqrt() || !norm.is_finite() {
                return None;
            }
            values
                .iter_mut()
                .chain(&mut powers)
                .for_each(|one| *one /= norm);
            let times_x = |(value, (x, _)): (&f64, &(f64, f64))| value * x / scale;
            let raised = std::iter::once(0.0).chain(powers.iter().map(|power| power / scale));
            next = (
                values.iter().zip(points).map(times_x).collect(),
                raised.take(degree + 1).collect(),
            );
            basis.values.push(values);
            basis.powers.push(powers);
        }
        Some(basis)
    }
}

fn unit(place: usize, degree: usize) -> Vec<f64> {
    (0..=degree)
        .map(|power| f64::from(u8::from(power == place)))
        .collect()
}

fn dot(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(a, b)| a * b).sum()
}

fn subtract(from: &mut [f64], part: f64, of: &[f64]) {
    from.iter_mut()
        .zip(of)
        .for_each(|(one, other)| *one -= part * other);
}
