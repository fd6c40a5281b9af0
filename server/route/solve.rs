//! Pinning a profile's size with what a maker states.
//!
//! "This maker's figure by this method is 16.34 mm" is an equation; crest radius
//! and cup depth are solved from one figure each by Newton's method, and their
//! uncertainty follows by the implicit function theorem: for f(x, p) = y,
//! dx = J⁻¹ (dy − f_p dp).

use crate::method::Method;
use crate::profile::{Contour, ContourFigure, Impossible, Profile, Shape, figure};
use crate::uncertainty::Estimate;

/// The figures that pin a profile. Lengths mm, volumes mm³.
pub struct Pinned<'a> {
    /// A rim inner diameter by some method.
    pub rim: (&'a Method, &'a Estimate),
    /// A cup depth or volume by some method.
    pub cup: Option<(&'a Method, &'a Estimate)>,
    /// The throat diameter.
    pub throat: Option<&'a Estimate>,
}

/// Newton steps before the figures are said not to fit; four or five are common.
const STEPS: usize = 40;

/// Solved when the readings are this near, in mm or mm³ (relative to one).
const CLOSE: f64 = 1e-10;

/// Solves for the profile that gives all the stated figures.
///
/// # Errors
/// Metal that cannot be, or figures that no metal of this contour gives.
pub fn pin(pinned: &Pinned<'_>, contour: &Contour) -> Result<Profile, Impossible> {
    let throat = pinned.throat.or(contour.throat.as_ref());
    let cup = pinned.cup.zip(throat);
    let throat_radius =
        cup.map(|(_, throat)| Estimate::linear(throat.value() / 2.0, &[(0.5, throat)]));
    let mut equations = vec![pinned.rim];
    equations.extend(cup.map(|(equation, _)| equation));
    let start = start(&equations, throat_radius.as_ref(), contour);
    let shape = solve(&equations, start)?;
    let (sizes, known) = (sizes(&equations, &shape)?, contour);
    let mut sizes = sizes.into_iter();
    let solved = |row: SizeRow| row.estimate(&equations, throat_radius.as_ref(), known);
    let crest = sizes
        .next()
        .map(solved)
        .ok_or_else(|| Impossible("no rim figure".into()))?;
    Profile::new(
        crest,
        sizes.next().map(solved).zip(throat_radius.clone()),
        contour,
    )
}

type Equation<'a> = (&'a Method, &'a Estimate);

/// A first guess: the rim a little wider at the crest than stated, the cup twice its
/// mean depth; Newton needs no better.
fn start(equations: &[Equation<'_>], throat: Option<&Estimate>, contour: &Contour) -> Shape {
    let form = |which| contour.figure(which).value();
    let rim = equations[0].1.value() / 2.0;
    let crest = rim + form(ContourFigure::Crest) * form(ContourFigure::Join).cos();
    let seam = form(ContourFigure::Seam);
    let mut figures = [
        crest,
        0.0,
        throat.map_or(0.0, Estimate::value),
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
    ];
    for which in ContourFigure::ALL {
        figures[figure::CONTOUR + which as usize] = form(which);
    }
    figures[figure::DEPTH] = seam + rim;
    Shape {
        figures,
        has_cup: equations.len() > 1,
    }
}

/// Newton's method, halving a step that would leave possible metal.
fn solve(equations: &[Equation<'_>], mut shape: Shape) -> Result<Shape, Impossible> {
    for _ in 0..STEPS {
        shape.possible()?;
        let (residuals, jacobian) = linearised(equations, &shape)?;
        if residuals
            .iter()
            .zip(equations)
            .all(|(r, (_, y))| r.abs() <= CLOSE * y.value().abs().max(1.0))
        {
            return Ok(shape);
        }
        let step = jacobian
            .inverse()
            .ok_or_else(|| unsolved(equations))?
            .times(&residuals);
        shape = stepped(&shape, &step);
    }
    Err(unsolved(equations))
}

fn stepped(shape: &Shape, step: &[f64]) -> Shape {
    let mut share = 1.0;
    loop {
        let mut next = *shape;
        for (place, delta) in step.iter().enumerate() {
            next.figures[place] -= share * delta;
        }
        if next.possible().is_ok() || share < 1e-6 {
            return next;
        }
        share *= 0.5;
    }
}

fn unsolved(equations: &[Equation<'_>]) -> Impossible {
    let stated: Vec<String> = equations
        .iter()
        .map(|(method, value)| format!("{} {method} {:.3}", method.quantity(), value.value()))
        .collect();
    Impossible(format!(
        "no metal of this contour measures {}",
        stated.join(" and ")
    ))
}

/// Residuals and their derivatives by the unknown sizes.
fn linearised(equations: &[Equation<'_>], shape: &Shape) -> Result<(Vec<f64>, Square), Impossible> {
    let unknowns = equations.len();
    let mut residuals = Vec::with_capacity(unknowns);
    let mut jacobian = Square::zero(unknowns);
    for (row, (method, stated)) in equations.iter().enumerate() {
        let (reading, slopes) = shape.gradient(*method).ok_or_else(|| unsolved(equations))?;
        residuals.push(reading - stated.value());
        jacobian.entries[row][..unknowns].copy_from_slice(&slopes[..unknowns]);
    }
    Ok((residuals, jacobian))
}

/// How one solved size follows from the stated figures and from the other figures.
struct SizeRow {
    value: f64,
    by_stated: Vec<f64>,
    by_figure: [f64; crate::profile::FIGURES],
}

impl SizeRow {
    fn estimate(
        &self,
        equations: &[Equation<'_>],
        throat: Option<&Estimate>,
        contour: &Contour,
    ) -> Estimate {
        let mut terms: Vec<(f64, &Estimate)> = self
            .by_stated
            .iter()
            .copied()
            .zip(equations.iter().map(|(_, stated)| *stated))
            .collect();
        terms.extend(throat.map(|throat| (self.by_figure[figure::THROAT_RADIUS], throat)));
        terms.extend(ContourFigure::ALL.map(|which| {
            (
                self.by_figure[figure::CONTOUR + which as usize],
                contour.figure(which),
            )
        }));
        Estimate::linear(self.value, &terms)
    }
}

fn sizes(equations: &[Equation<'_>], shape: &Shape) -> Result<Vec<SizeRow>, Impossible> {
    let unknowns = equations.len();
    let (_, jacobian) = linearised(equations, shape)?;
    let inverse = jacobian.inverse().ok_or_else(|| unsolved(equations))?;
    let gradients: Vec<_> = equations
        .iter()
        .filter_map(|(method, _)| shape.gradient(*method))
        .map(|(_, slopes)| slopes)
        .collect();
    Ok((0..unknowns)
        .map(|row| {
            let by_stated = inverse.entries[row][..unknowns].to_vec();
            let by_figure = std::array::from_fn(|place| {
                -by_stated
                    .iter()
                    .zip(&gradients)
                    .map(|(weight, slopes)| weight * slopes[place])
                    .sum::<f64>()
            });
            SizeRow {
                value: shape.figures[row],
                by_stated,
                by_figure,
            }
        })
        .collect())
}

/// A one-by-one or two-by-two matrix.
struct Square {
    size: usize,
    entries: [[f64; 2]; 2],
}

impl Square {
    fn zero(size: usize) -> Self {
        Self {
            size,
            entries: [[0.0; 2]; 2],
        }
    }

    fn inverse(&self) -> Option<Self> {
        let [[a, b], [c, d]] = self.entries;
        let (determinant, entries) = match self.size {
            1 => (a, [[1.0, 0.0], [0.0, 0.0]]),
            _ => (a * d - b * c, [[d, -b], [-c, a]]),
        };
        let usable = determinant.is_finite() && determinant.abs() > 1e-12;
        usable.then(|| Self {
            size: self.size,
            entries: entries.map(|row| row.map(|e| e / determinant)),
        })
    }

    fn times(&self, vector: &[f64]) -> Vec<f64> {
        (0..self.size)
            .map(|row| {
                self.entries[row]
                    .iter()
                    .zip(vector)
                    .map(|(entry, value)| entry * value)
                    .sum()
            })
            .collect()
    }
}
