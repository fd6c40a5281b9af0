//! From one measuring method to another.
//!
//! A [`Piece`] is what is known of one piece of metal: figures stated by some
//! method, a contour, declared offsets. [`Piece::carry`] brings a quantity to another
//! method along the [`Route`] with the smallest uncertainty and keeps the others. Of no
//! route the answer is [`Carried::CannotBeCompared`], never a zero correction.
//!
//! What a method reads is [`crate::method`]. Nothing here rounds or names makers.

mod again;
mod carry;
mod chi_square;
mod declared;
mod equations;
mod limits;
mod matrix;
mod paired;
mod piece;
mod solve;

pub use carry::{Carried, Measured, Route, RouteKind, Step};
pub use chi_square::upper_tail;
pub use declared::Declared;
pub use equations::Reading;
pub use limits::{Known, Limited, Within, measure};
pub use paired::Paired;
pub use piece::{Correction, Piece, Stated};
pub use solve::{Consistency, LEVEL, Solved, pin, size};
