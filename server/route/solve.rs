//! Solving for the metal that gives the stated figures.
//!
//! As many equations as unknowns: Newton's method, damped, and by the implicit function
//! theorem dx = A⁻¹ (dy − B dp). More equations than unknowns: weighted least squares with
//! the full covariance of all inputs, the contour figures among them as prior
//! knowledge, so that they move too (adjustment by conditions with unknowns, F. R. Helmert;
//! JCGM 102, 7 for the covariances). With f(x, z) = g(x, z) − y, A = ∂f/∂x, B = ∂f/∂z,
//! C the covariance of z, and W = B C Bᵀ:
//!
//! dx = −(Aᵀ W⁻¹ A)⁻¹ Aᵀ W⁻¹ w, λ = W⁻¹ (w + A dx), z' = z − C Bᵀ λ, χ² = (w + A dx)ᵀ λ.
//!
//! Figures that contradict one another are not averaged in silence: [`Consistency`] says how
//! often chance would do that, and which reading is the odd one. Where there is no solution
//! the error says so.

use super::chi_square::upper_tail;
use super::equations::{Equations, Reading};
use super::matrix::Matrix;
use super::piece::no_rim;
use crate::language::{Digits, Row, Sentence};
use crate::method::{InWords, Method};
use crate::profile::{Contour, FIGURES, Gauge, Impossible, Profile, Shape};
use crate::uncertainty::Estimate;

/// Steps before the figures are said not to fit; four or five are common.
const STEPS: usize = 60;

/// Solved when the readings are this near, in mm or mm³ (relative to one).
const CLOSE: f64 = 1e-10;

/// A step is halved no further than to this share.
const SMALLEST_SHARE: f64 = 1e-6;

/// Chance makes consistent figures disagree as much as this seldom: as often as a normal
/// error exceeds k = 3.
pub const LEVEL: f64 = 0.0027;

/// Whether more figures than are needed agree with one another.
#[derive(Clone, Debug, PartialEq)]
pub struct Consistency {
    /// Sum of the squared residuals, weighted.
    pub chi_square: f64,
    /// How many figures there are beyond those that are needed.
    pub degrees_of_freedom: usize,
    /// How often chance makes chi-square at least as large.
    pub p: f64,
    /// Places, among the stated readings, of those with the largest normalised residual:
    /// with one figure too many nothing tells which of several is wrong.
    pub odd: Vec<usize>,
}

impl Consistency {
    /// Whether chance explains the disagreement, at [`LEVEL`].
    pub fn agrees(&self) -> bool {
        self.p >= LEVEL
    }
}

/// A solved profile, and whether its figures agree where they can disagree.
#[derive(Clone, Debug)]
pub struct Solved {
    /// The metal.
    pub profile: Profile,
    /// None where there are just as many figures as are needed.
    pub consistency: Option<Consistency>,
}

/// Solves for the metal that gives all stated readings, or comes nearest to them by their
/// doubt.
///
/// # Errors
/// Metal that cannot be, or readings that no metal of this contour gives.
pub fn pin(stated: &[Reading<'_>], contour: &Contour) -> Result<Solved, Impossible> {
    let equations = Equations::new(stated, contour).ok_or_else(|| Impossible(no_rim()))?;
    let inputs: Vec<&Estimate> = equations.inputs().collect();
    let numbers: Vec<f64> = inputs.iter().map(|input| input.value()).collect();
    let solver = Solver::new(&equations);
    let solution = solver.solve(&numbers)?;
    let linear = solver.linear(&solution)?;
    let by_input = solver.sensitivities(&linear)?;
    let figures = std::array::from_fn(|place| {
        let terms = by_input[place].iter().copied().zip(inputs.iter().copied());
        let terms: Vec<(f64, &Estimate)> = terms.filter(|term| term.0 != 0.0).collect();
        Estimate::linear(solution.shape.figures[place], &terms)
    });
    Ok(Solved {
        profile: Profile::new(figures, equations.has_cup, equations.known)?,
        consistency: solver.consistency(&linear, &solution),
    })
}

/// The same metal as plain numbers, for ranking. None where there is none, and where more figures are
/// stated than are needed: those are weighed by their doubt.
pub fn size(stated: &[Reading<'_>], contour: &Contour) -> Option<Shape> {
    let equations = Equations::new(stated, contour)?;
    let solver = Solver::new(&equations);
    if solver.covariance.is_some() {
        return None;
    }
    let numbers: Vec<f64> = equations.inputs().map(Estimate::value).collect();
    let shape = solver.solve(&numbers).ok()?.shape;
    shape.possible().is_ok().then_some(shape)
}

struct Solver<'a> {
    equations: &'a Equations<'a>,
    /// Covariances of the inputs, where they weigh.
    covariance: Option<Matrix>,
}

/// A shape, the inputs as they were adjusted, and as they came.
struct Solution {
    shape: Shape,
    adjusted: Vec<f64>,
    inputs: Vec<f64>,
}

/// The equations around a solution.
struct Linear {
    /// Readings less what is stated, mm or mm³.
    misfit: Vec<f64>,
    by_unknown: Matrix,
    by_input: Matrix,
}

/// What least squares makes of linear equations.
struct Weighed {
    inverse_weights: Matrix,
    /// (Aᵀ W⁻¹ A)⁻¹ Aᵀ W⁻¹.
    gain: Matrix,
}

impl<'a> Solver<'a> {
    fn new(equations: &'a Equations<'a>) -> Self {
        let too_many = equations.readings.len() > equations.unknowns.len();
        Self {
            equations,
            covariance: too_many.then(|| equations.covariance()),
        }
    }

    fn solve(&self, inputs: &[f64]) -> Result<Solution, Impossible> {
        self.equations.plain(inputs)?;
        let start = self.equations.start(inputs);
        match &self.covariance {
            None => self.newton(start, inputs),
            Some(covariance) => self.least_squares(start, inputs, covariance),
        }
    }

    fn newton(&self, mut shape: Shape, inputs: &[f64]) -> Result<Solution, Impossible> {
        let mut misfit = self.possible_misfit(&shape, inputs)?;
        for _ in 0..STEPS {
            if self.is_close(&misfit, inputs) {
                return Ok(Solution {
                    shape,
                    adjusted: inputs.to_vec(),
                    inputs: inputs.to_vec(),
                });
            }
            let step = self.by_unknown(&shape)?.solve(&column(&misfit));
            let step = step.ok_or_else(|| self.unsolved(inputs))?;
            (shape, misfit) = self.damped(&shape, &step, (&misfit, inputs))?;
        }
        Err(self.unsolved(inputs))
    }

    fn is_close(&self, misfit: &[f64], inputs: &[f64]) -> bool {
        let mut pairs = misfit.iter().zip(inputs);
        pairs.all(|(misfit, stated)| misfit.abs() <= CLOSE * stated.abs().max(1.0))
    }

    /// The step, halved while it leaves possible metal or makes the worst reading worse.
    fn damped(
        &self,
        shape: &Shape,
        step: &Matrix,
        (misfit, inputs): (&[f64], &[f64]),
    ) -> Result<(Shape, Vec<f64>), Impossible> {
        let before = self.worst(misfit, inputs);
        let mut share = 1.0;
        loop {
            let next = self.stepped(shape, step, -share);
            let misfit = self.possible_misfit(&next, inputs);
            let better = misfit
                .as_ref()
                .is_ok_and(|misfit| self.worst(misfit, inputs) < before);
            if better || share < SMALLEST_SHARE {
                return Ok((next, misfit?));
            }
            share *= 0.5;
        }
    }

    /// The largest misfit beside what is stated.
    fn worst(&self, misfit: &[f64], inputs: &[f64]) -> f64 {
        let relative = misfit.iter().zip(inputs);
        relative
            .map(|(misfit, stated)| misfit.abs() / stated.abs().max(1.0))
            .fold(0.0, f64::max)
    }

    fn stepped(&self, shape: &Shape, step: &Matrix, share: f64) -> Shape {
        let mut next = *shape;
        for (row, &place) in self.equations.unknowns.iter().enumerate() {
            next.figures[place] += share * step[(row, 0)];
        }
        next
    }

    /// Gauss and Newton's method on the conditions.
    fn least_squares(
        &self,
        mut shape: Shape,
        inputs: &[f64],
        covariance: &Matrix,
    ) -> Result<Solution, Impossible> {
        let mut adjusted = inputs.to_vec();
        for _ in 0..STEPS {
            shape.possible_inside()?;
            let solution = Solution {
                shape,
                adjusted,
                inputs: inputs.to_vec(),
            };
            let linear = self.linear(&solution)?;
            let weighed = self.weighed(&linear, covariance)?;
            let closure = self.closure(&linear, &solution);
            let step = weighed.gain.times(&column(&closure));
            let left = left_over(&linear, &closure, &step);
            let lambda = weighed.inverse_weights.applied(&left);
            let back = covariance.times(&linear.by_input.transposed());
            let moved = back.applied(&lambda);
            let target: Vec<f64> = inputs.iter().zip(&moved).map(|(z, by)| z - by).collect();
            let (next, next_inputs) = self.possible_step(&solution, &step, &target);
            let settled = near(&next.figures, &solution.shape.figures)
                && near(&next_inputs, &solution.adjusted);
            if settled {
                return Ok(Solution {
                    shape: next,
                    adjusted: next_inputs,
                    inputs: inputs.to_vec(),
                });
            }
            (shape, adjusted) = (next, next_inputs);
        }
        let Impossible(says) = self.unsolved(inputs);
        Err(Impossible(sentence!(
            "{says}, and least squares do not settle in {steps} steps",
            says = says,
            steps = STEPS
        )))
    }

    /// The step of unknowns and inputs together, halved while it leaves possible metal.
    fn possible_step(&self, from: &Solution, step: &Matrix, target: &[f64]) -> (Shape, Vec<f64>) {
        let mut share = 1.0;
        loop {
            let toward = from.adjusted.iter().zip(target);
            let inputs: Vec<f64> = toward.map(|(old, new)| old + share * (new - old)).collect();
            let next = self.stepped(&from.shape, step, -share);
            let next = self.equations.with_inputs(next, &inputs);
            if next.possible_inside().is_ok() || share < SMALLEST_SHARE {
                return (next, inputs);
            }
            share *= 0.5;
        }
    }

    /// By how much the readings of possible metal are off.
    fn possible_misfit(&self, shape: &Shape, inputs: &[f64]) -> Result<Vec<f64>, Impossible> {
        shape.possible_inside()?;
        let section = shape.section();
        let readings = self.equations.readings.iter().zip(inputs);
        readings
            .map(|((_, (method, _)), stated)| Some(method.read(&section)? - stated))
            .collect::<Option<_>>()
            .ok_or_else(|| self.unsolved(inputs))
    }

    fn by_unknown(&self, shape: &Shape) -> Result<Matrix, Impossible> {
        let (readings, unknowns) = (&self.equations.readings, &self.equations.unknowns);
        let mut slopes = Vec::with_capacity(readings.len() * unknowns.len());
        for &place in unknowns {
            let changing = shape.changing(place);
            for (_, (method, _)) in readings {
                let read = method.read(&changing);
                slopes.push(read.ok_or_else(|| self.unsolved(&[]))?.eps);
            }
        }
        Ok(Matrix::new(
            readings.len(),
            unknowns.len(),
            |row, column| slopes[column * readings.len() + row],
        ))
    }

    fn linear(&self, solution: &Solution) -> Result<Linear, Impossible> {
        let equations = self.equations;
        let readings = equations.readings.iter();
        let methods: Vec<&Method> = readings.map(|(_, (method, _))| *method).collect();
        let gradients = solution.shape.gradients(&methods);
        let gradients = gradients.ok_or_else(|| self.unsolved(&solution.inputs))?;
        let count = gradients.len();
        let by_input = |row: usize, input: usize| match equations.figure_of(input) {
            Some((place, factor)) => gradients[row].1[place] * factor,
            None => -f64::from(u8::from(row == input)),
        };
        let misfit = gradients.iter().zip(&solution.adjusted);
        Ok(Linear {
            misfit: misfit
                .map(|((reading, _), stated)| reading - stated)
                .collect(),
            by_unknown: Matrix::new(count, equations.unknowns.len(), |row, column| {
                gradients[row].1[equations.unknowns[column]]
            }),
            by_input: Matrix::new(count, solution.inputs.len(), by_input),
        })
    }

    /// Misfits as they would be, to first order, with the inputs as they came.
    fn closure(&self, linear: &Linear, solution: &Solution) -> Vec<f64> {
        let moved = solution.inputs.iter().zip(&solution.adjusted);
        let moved: Vec<f64> = moved.map(|(came, adjusted)| came - adjusted).collect();
        let moved = linear.by_input.applied(&moved);
        let both = linear.misfit.iter().zip(moved);
        both.map(|(misfit, moved)| misfit + moved).collect()
    }

    fn weighed(&self, linear: &Linear, covariance: &Matrix) -> Result<Weighed, Impossible> {
        let weights = linear
            .by_input
            .times(covariance)
            .times(&linear.by_input.transposed());
        let one = Matrix::new(weights.rows(), weights.rows(), |row, column| {
            f64::from(u8::from(row == column))
        });
        let by_unknown = linear.by_unknown.transposed();
        let gained = || {
            let inverse_weights = weights.solve(&one)?;
            let toward = by_unknown.times(&inverse_weights);
            let gain = toward.times(&linear.by_unknown).solve(&toward)?;
            Some(Weighed {
                inverse_weights,
                gain,
            })
        };
        gained().ok_or_else(|| self.unsolved(&[]))
    }

    /// How each figure follows from each input, to first order.
    fn sensitivities(&self, linear: &Linear) -> Result<Vec<Vec<f64>>, Impossible> {
        let inputs = linear.by_input.columns();
        let (unknowns, moved) = match &self.covariance {
            None => {
                let by_input = linear.by_unknown.solve(&linear.by_input);
                (by_input.ok_or_else(|| self.unsolved(&[]))?, None)
            }
            Some(covariance) => {
                let weighed = self.weighed(linear, covariance)?;
                let by_input = weighed.gain.times(&linear.by_input);
                let fitted = linear.by_unknown.times(&by_input);
                let left = Matrix::new(fitted.rows(), inputs, |row, column| {
                    linear.by_input[(row, column)] - fitted[(row, column)]
                });
                let back = covariance.times(&linear.by_input.transposed());
                let moved = back.times(&weighed.inverse_weights).times(&left);
                (by_input, Some(moved))
            }
        };
        let mut figures = vec![vec![0.0; inputs]; FIGURES];
        for input in 0..inputs {
            if let Some((place, factor)) = self.equations.figure_of(input) {
                figures[place][input] = factor;
                if let Some(moved) = &moved {
                    let by = moved.row(input).iter().map(|by| factor * by);
                    figures[place]
                        .iter_mut()
                        .zip(by)
                        .for_each(|(one, by)| *one -= by);
                }
            }
        }
        for (row, &place) in self.equations.unknowns.iter().enumerate() {
            figures[place] = unknowns.row(row).iter().map(|slope| -slope).collect();
        }
        Ok(figures)
    }

    fn consistency(&self, linear: &Linear, solution: &Solution) -> Option<Consistency> {
        let weighed = self.weighed(linear, self.covariance.as_ref()?).ok()?;
        let closure = self.closure(linear, solution);
        let step = weighed.gain.times(&column(&closure));
        let left = left_over(linear, &closure, &step);
        let lambda = weighed.inverse_weights.applied(&left);
        let chi_square = left.iter().zip(&lambda).map(|(v, by)| v * by).sum();
        let readings = self.equations.readings.len();
        let degrees_of_freedom = readings - self.equations.unknowns.len();
        Some(Consistency {
            chi_square,
            degrees_of_freedom,
            p: upper_tail(chi_square, degrees_of_freedom),
            odd: self.odd(linear, &weighed, &lambda),
        })
    }

    /// The readings with the largest normalised residual |λ| ÷ u(λ) (W. Baarda's test on
    /// single readings); those within rounding of the largest cannot be told apart.
    fn odd(&self, linear: &Linear, weighed: &Weighed, lambda: &[f64]) -> Vec<usize> {
        let weights = &weighed.inverse_weights;
        let fitted = weights.times(&linear.by_unknown).times(&weighed.gain);
        let normalised = |row: usize| {
            let variance = weights[(row, row)] - fitted[(row, row)];
            let seen = variance > UNSEEN * weights[(row, row)];
            if seen {
                lambda[row].abs() / variance.sqrt()
            } else {
                0.0
            }
        };
        let normalised: Vec<f64> = (0..lambda.len()).map(normalised).collect();
        let largest = normalised.iter().copied().fold(0.0, f64::max);
        let readings = self.equations.readings.iter().zip(&normalised);
        readings
            .filter(|(_, one)| **one > 0.0 && **one >= largest * (1.0 - UNSEEN))
            .map(|((place, _), _)| *place)
            .collect()
    }

    fn unsolved(&self, inputs: &[f64]) -> Impossible {
        let readings = self.equations.readings.iter().enumerate();
        let stated: Vec<Sentence> = readings
            .map(|(place, (_, (method, estimate)))| {
                let value = inputs.get(place).copied();
                let value = value.unwrap_or_else(|| estimate.value());
                sentence!(
                    "{quantity} {method} {value}",
                    quantity = method.quantity().in_words(),
                    method = InWords((*method).clone()),
                    value = Digits(format!("{value:.3}"))
                )
            })
            .collect();
        Impossible(sentence!(
            "no metal of this contour measures {stated}",
            stated = Row(stated, " and ")
        ))
    }
}

/// A reading whose residual can hardly show is held up by nothing else; and residuals that
/// are equal but for so much are equal.
const UNSEEN: f64 = 1e-6;

/// What is left of the misfits after a step.
fn left_over(linear: &Linear, closure: &[f64], step: &Matrix) -> Vec<f64> {
    let fitted = linear.by_unknown.times(step);
    let left = closure.iter().enumerate();
    left.map(|(row, misfit)| misfit - fitted[(row, 0)])
        .collect()
}

fn column(values: &[f64]) -> Matrix {
    Matrix::new(values.len(), 1, |row, _| values[row])
}

fn near(one: &[f64], other: &[f64]) -> bool {
    let mut pairs = one.iter().zip(other);
    pairs.all(|(one, other)| (one - other).abs() <= CLOSE * other.abs().max(1.0))
}
