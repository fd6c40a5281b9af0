//! Answers arranged for pages: links, rows and places on a drawing.
//!
//! No number is made here; what is shown was rounded and worded by [`crate::answer`]. The drawings
//! are given as coordinates, and the templates draw them.

mod board;
mod compare;
mod dial;
mod found;
mod gauge;
mod link;
mod measures;
mod overlay;
mod read;
mod wish;

pub(super) use compare::{SideBySide, piece_rows, side_by_side};
pub(super) use found::found;
pub(super) use gauge::places;
pub(super) use link::{Asked, stamp_link};
pub(super) use read::{Held, read};
pub(super) use wish::wish;
