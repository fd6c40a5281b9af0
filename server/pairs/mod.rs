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
//! Records come in as [`Pair`]s, two readings of one piece with their u, from whoever keeps them:
//!
//! ```
//! use counterbore::pairs::{Form, Pair, fit};
//!
//! // invented: seam and inner edge of five pieces, mm
//! let read = [(16.02, 16.50), (16.13, 16.59), (16.25, 16.73), (16.36, 16.82), (16.48, 16.97)];
//! let pairs = read.map(|(first, second)| Pair { first, u_first: 0.01, second, u_second: 0.01 });
//! let fitted = fit(&pairs).expect("five pairs are enough");
//! assert!(matches!(fitted.form, Form::Offset(_)) && fitted.range == (16.02, 16.48));
//! ```
//!
//! Who adopts a fit and where pairs are kept is not said here. How a value is carried along
//! one is [`crate::route`]: `Paired` names its methods, `Correction::paired` gives it to a piece.

pub mod agreement;
mod fit;
pub mod least_squares;
pub mod york;

pub use fit::{Along, Fit, Form, NoFit, Pair, fit};
