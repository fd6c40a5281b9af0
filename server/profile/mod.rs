//! The metal.
//!
//! The datum is the plane that touches the rim crest: z = 0 there, positive
//! down the bore; r(z) is the inner radius; lengths are millimetres, angles
//! radians. A [`Section`] is the half-section as a chain of curves with closed
//! forms for radius, area and volume. A [`Shape`] names the few figures that
//! fix one; a [`Profile`] is a shape whose figures are estimates with their
//! sources; a [`Trace`] makes a section of measured points.
//!
//! What a gauge reads on a profile is [`crate::method`]. Nothing here knows
//! makers or names.

mod assembled;
mod between;
mod contour;
mod curve;
mod estimated;
mod pchip;
mod section;
mod shape;
mod trace;
mod trace_fault;
mod trace_file;

pub use contour::{Class, Contour, ContourFigure, is_generic};
pub use curve::{Curve, Number};
pub use estimated::Profile;
pub use section::{Beyond, Section, Shank};
pub use shape::{FIGURES, Gauge, Impossible, Known, Shape, Tangent, figure};
pub use trace::{MOST_KEPT, Mark, Trace, TraceFigures, TracePoint};
pub use trace_fault::{FEWEST_POINTS, MOST_POINTS, TraceFault};
pub use trace_file::{FileFault, FilePoint, lines_of, points_of};
