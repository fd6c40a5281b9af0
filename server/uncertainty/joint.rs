//! How likely several differences are at once, when what they share is one error.

use super::Estimate;

/// The normal density of all `differences` being nought but for chance, per unit to the power of their number;
/// one of none. Sources that they share make them covary, so that two readings that err together
/// are no more than they are worth. Differences nearer than `finest` are not told apart.
pub fn density_of_nought(differences: &[Estimate], finest: f64) -> f64 {
    let count = differences.len();
    // Cholesky's factor of the covariance, row by row, and what it makes of the differences.
    let mut factor = vec![vec![0.0; count]; count];
    let mut independent = vec![0.0; count];
    let mut logarithm = 0.0;
    for row in 0..count {
        for column in 0..=row {
            let shared: f64 = (0..column)
                .map(|k| factor[row][k] * factor[column][k])
                .sum();
            let rest = differences[row].covariance(&differences[column]) - shared;
            factor[row][column] = match row == column {
                true => (rest.max(0.0) + finest * finest).sqrt(),
                false => rest / factor[column][column],
            };
        }
        let before: f64 = (0..row).map(|k| factor[row][k] * independent[k]).sum();
        let scale = factor[row][row];
        independent[row] = (differences[row].value() - before) / scale;
        logarithm -= 0.5 * independent[row].powi(2);
        logarithm -= scale.ln() + 0.5 * std::f64::consts::TAU.ln();
    }
    logarithm.exp()
}
