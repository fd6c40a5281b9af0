//! A shape whose figures are estimates: what is known of one piece of metal.

use super::contour::{Contour, ContourFigure};
use super::shape::{FIGURES, Gauge, Impossible, Known, Shape, figure};
use crate::uncertainty::Estimate;

/// A shape whose figures are estimates.
#[derive(Clone, Debug)]
pub struct Profile {
    figures: [Estimate; FIGURES],
    shape: Shape,
}

impl Profile {
    /// Of figures in the order of [`figure`]; those that are not known stand at zero.
    ///
    /// # Errors
    /// Metal that cannot be.
    pub fn new(
        figures: [Estimate; FIGURES],
        has_cup: bool,
        known: Known,
    ) -> Result<Self, Impossible> {
        let shape = Shape {
            figures: figures.each_ref().map(Estimate::value),
            has_cup,
            known,
        };
        shape.possible()?;
        Ok(Self { figures, shape })
    }

    /// Figures with the form of a contour and nothing else: the rest stands at zero.
    pub fn figures_of(contour: &Contour) -> [Estimate; FIGURES] {
        std::array::from_fn(|place| {
            let form = place
                .checked_sub(figure::CONTOUR)
                .and_then(|one| ContourFigure::ALL.get(one));
            form.map_or_else(
                || Estimate::exact(0.0),
                |which| contour.figure(*which).clone(),
            )
        })
    }

    /// The best estimates, as plain numbers.
    pub fn shape(&self) -> &Shape {
        &self.shape
    }

    /// One figure with its sources.
    pub fn figure(&self, place: usize) -> &Estimate {
        &self.figures[place]
    }

    /// The same metal with every figure as `number` says of its estimate: the best one, or one
    /// that is drawn.
    pub fn numbers(&self, number: impl FnMut(&Estimate) -> f64) -> Shape {
        Shape {
            figures: self.figures.each_ref().map(number),
            ..self.shape
        }
    }

    /// What a gauge reads on this metal, with every source of doubt: first-order
    /// propagation, JCGM 100 clause 5. None where it needs metal that is not known.
    pub fn read(&self, gauge: &impl Gauge) -> Option<Estimate> {
        let (reading, slopes) = self.shape.gradient(gauge)?;
        let used = slopes
            .into_iter()
            .zip(&self.figures)
            .filter(|term| term.0 != 0.0);
        let terms: Vec<(f64, &Estimate)> = used.collect();
        Some(Estimate::linear(reading, &terms))
    }
}
