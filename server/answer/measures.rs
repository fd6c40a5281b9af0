//! The piece at hand by every method in which something is compared with it, each once.
//!
//! Differences and sizes outside a scale name their measure by quantity and method; the figure
//! of this piece stands here under the same two words.

use super::figure::{Figure, method_text};
use crate::method::Method;
use crate::route::Known;

/// Figures of the piece at hand, one a measure.
#[derive(Default)]
pub(super) struct Measures {
    methods: Vec<Method>,
    figures: Vec<Figure>,
}

impl Measures {
    /// The figure of this measure, made when it is first met.
    pub fn figure(&mut self, ours: &Known) -> &Figure {
        let place = self.place(ours.method()).unwrap_or_else(|| {
            self.methods.push(ours.method().clone());
            self.figures.push(Figure::known(ours));
            self.figures.len() - 1
        });
        &self.figures[place]
    }

    /// All of them, in the order in which they were met.
    pub fn into_figures(self) -> Vec<Figure> {
        self.figures
    }

    /// Most methods are rows of the same tables; a scheme that was kept may have its own.
    fn place(&self, method: &Method) -> Option<usize> {
        let same = self.methods.iter().position(|one| one.is(method));
        same.or_else(|| {
            let (quantity, text) = (method.quantity().name(), method_text(method));
            self.figures
                .iter()
                .position(|one| one.quantity == quantity && one.method == text)
        })
    }
}
