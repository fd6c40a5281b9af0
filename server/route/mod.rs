//! From one measuring method to another.
//!
//! A [`Piece`] is what is known of one piece of metal: figures stated by some
//! method, a contour, declared offsets. [`Piece::carry`] brings a quantity to another
//! method along the [`Route`] with the smallest uncertainty and keeps the others. Of no
//! route the answer is [`Carried::CannotBeCompared`], never a zero correction.
//!
//! What a method reads is [`crate::method`]. Nothing here rounds or names makers.
//! Routes by a piece's own trace and by a shop's pairs stand before declared ones
//! in [`RouteKind`] when they exist.

mod carry;
mod chi_square;
mod equations;
mod matrix;
mod piece;
mod rerun;
mod solve;

pub use carry::{Carried, Measured, Route, RouteKind, Step};
pub use chi_square::upper_tail;
pub use equations::{Equations, Reading};
pub use piece::{Declared, Piece, Stated};
pub use rerun::Rerun;
pub use solve::{Consistency, LEVEL, Solved, pin, pin_numbers};
