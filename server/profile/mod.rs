//! The metal.
//!
//! The datum is the plane that touches the rim crest: z = 0 there, positive
//! down the bore; r(z) is the inner radius; lengths are millimetres, angles
//! radians. A [`Section`] is the half-section as a chain of curves with closed
//! forms for radius, area and volume. A [`Shape`] names the few figures that
//! fix one; a [`Profile`] is a shape whose figures are estimates with their
//! sources.
//!
//! What a gauge reads on a profile is [`crate::method`]. Nothing here knows
//! makers or names.

mod contour;
mod section;
mod shape;

pub use contour::{Class, Contour, ContourFigure, is_generic};
pub use section::{Curve, Number, Section};
pub use shape::{FIGURES, Gauge, Impossible, Profile, Shape, figure};
