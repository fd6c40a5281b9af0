//! How sure a number is, from its sources to what is shown.
//!
//! First-order propagation as in JCGM 100:2008 (the GUM). A value carries its
//! error sources by name, so that what two values share cancels in their
//! difference.
//!
//! * [`estimate`]: a value with its sources
//! * [`expanded`]: the same with U = k u, as it leaves the program
//! * [`agreement`]: whether two values differ by more than they may
//! * [`shown`]: the one rounding function
//!
//! Second-order terms and distributions of results are left to a Monte Carlo
//! run. Where uncertainties come from is said by other rooms.

pub mod agreement;
pub mod estimate;
pub mod expanded;
pub mod shown;
mod source;

pub use estimate::{Estimate, Part};
pub use expanded::{COVERAGE_FACTOR, Expanded};
pub use shown::{NotShown, Shown, shown};
pub use source::{Distribution, Source};
