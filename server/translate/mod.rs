//! Into other schemes.
//!
//! A piece is carried into each target figure's own method and compared there; where
//! it cannot be, the target is carried into the piece's method. A catalogue is
//! searched by entries, sorted by their rims, a grid by computing its nearest points; grid points are
//! never listed. Every match tells each
//! difference with its uncertainty and a verdict in words; a measure known by its limits
//! only gives a difference by its limits.
//!
//! How a value reaches a method is [`crate::route`]; what is near enough to be felt
//! is the shop's [`Feel`].

mod at_hand;
mod candidates;
mod difference;
mod feel;
mod in_form;
mod limited;
mod named;
mod rank;
mod rim;
mod search;
mod table;

pub use at_hand::{AtHand, Origin};
pub use candidates::Target;
pub use difference::{Compared, Difference, Verdict, compare};
pub use feel::{Feel, FeelLimit, RULE};
pub use limited::LimitedDifference;
pub use named::{Named, Struck};
pub use rim::{MOST_SHOWN, RIM_AND_CUP, RimAndCup};
pub use search::{Match, NotCompared, Outside, Translation, identify, translate};
pub use table::{Many, Rows, Share};
