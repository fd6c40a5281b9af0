//! From pieces measured by two methods to a correction between them.
//!
//! A shop that measures the same pieces both ways has pairs. [`fit`] makes of them a mean offset
//! with limits of agreement (Bland and Altman), or, where the offset follows size by a stated
//! test, a straight line with errors in both readings (York). The fit says how many pairs it
//! rests on, its range is the pairs' own, and it is not taken beyond.
//!
//! * [`least_squares`]: polynomials by an orthogonal basis
//! * [`agreement`]: mean difference and limits
//! * [`york`]: the line with errors in both
//!
//! Who adopts a fit and where pairs are kept is not said here. How a value is carried along
//! one is [`crate::route`].

pub mod agreement;
mod fit;
pub mod least_squares;
pub mod york;

pub use fit::{Along, Fit, Form, NoFit, Pair, fit};
