//! A rim on an underpart that it was not made with.
//!
//! Both stop at their seams, and the seams lie in one plane: the threads hold them face to
//! face. What then does not meet is a step. Whether the threads fit is not asked here.

use super::curve::Number;
use super::estimated::Profile;
use super::section::Section;
use super::shape::{FIGURES, Gauge, Impossible, Known, figure};
use super::{ContourFigure, contour};
use crate::uncertainty::Estimate;

const SEAM: usize = figure::CONTOUR + contour::ContourFigure::Seam as usize;
const FORM: usize = figure::CONTOUR + ContourFigure::Form as usize;

/// Figures that come from the rim, of those that are known or not.
const OF_THE_RIM: [usize; 2] = [figure::RIM_OUTER, figure::FLAT];

struct SeamRadius;

impl Gauge for SeamRadius {
    fn read<D: Number>(&self, section: &Section<D>) -> Option<D> {
        section.seam().map(|(radius, _)| radius)
    }
}

/// The mouth of the cup: the seam of its own rim, and a step that it may have there.
struct CupMouth;

impl Gauge for CupMouth {
    fn read<D: Number>(&self, section: &Section<D>) -> Option<D> {
        let (_, seam) = section.seam()?;
        let cup = section.curves().last()?;
        (cup.bottom().re() > seam.re()).then(|| cup.upper().0)
    }
}

impl Profile {
    /// This rim on the cup of `underpart`.
    ///
    /// # Errors
    /// An underpart without a cup, and metal that cannot be.
    pub fn on(&self, underpart: &Self) -> Result<Self, Impossible> {
        let no_cup = || Impossible(sentence!("the cup of the underpart is not known"));
        let mouth = underpart.read(&CupMouth).ok_or_else(no_cup)?;
        let rim_end = self.read(&SeamRadius).ok_or_else(no_cup)?;
        let below = underpart
            .figure(figure::DEPTH)
            .minus(underpart.figure(SEAM));
        let mut known = Known::default().with(figure::STEP);
        let figures: [Estimate; FIGURES] = std::array::from_fn(|place| {
            let of_the_rim = OF_THE_RIM.contains(&place);
            let from = if of_the_rim { self } else { underpart };
            if from.shape().known.has(place) {
                known = known.with(place);
            }
            match place {
                figure::DEPTH => self.figure(SEAM).plus(&below),
                figure::STEP => mouth.minus(&rim_end),
                figure::THROAT_RADIUS | FORM => underpart.figure(place).clone(),
                _ if place < figure::BEYOND => self.figure(place).clone(),
                _ => from.figure(place).clone(),
            }
        });
        Self::new(figures, true, known)
    }
}
