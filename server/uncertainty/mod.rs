//! How sure a number is, from its sources to what is shown.
//!
//! First-order propagation as in JCGM 100:2008 (the GUM). A value carries its
//! error sources by name, so that what two values share cancels in their
//! difference.
//!
//! * [`estimate`]: a value with its sources
//! * [`coverage`]: the k that holds 95 %, by what a value is made of
//! * [`expanded`]: value, u and U = k u, as they leave the program
//! * [`budget`]: the lines that an uncertainty adds up from
//! * [`interval`]: a value of which only limits are known
//! * [`monte_carlo`]: any model by trials, each source drawn once a trial
//! * [`agreement`]: whether two values differ by more than they may
//! * [`information`]: how much one more look tells
//! * [`shown`]: the one rounding function
//!
//! Second-order terms and distributions of results are left to a Monte Carlo
//! run. Where uncertainties come from is said by other rooms.

pub mod agreement;
mod bell;
pub mod budget;
pub mod coverage;
mod draw;
pub mod estimate;
pub mod expanded;
mod few;
pub mod information;
pub mod interval;
mod joint;
pub mod monte_carlo;
pub mod shown;
mod source;

pub use bell::{student_point, student_within};
pub use budget::Budget;
pub use draw::Draw;
pub use estimate::{Estimate, Part};
pub use expanded::{Basis, Expanded};
pub use interval::{Interval, NoInterval, Side};
pub use joint::density_of_nought;
pub use shown::{NotShown, Shown, shown};
pub use source::{Distribution, Input, Source};
