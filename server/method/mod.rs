//! What a gauge reads on a profile.
//!
//! A measuring method is data, a row of `tables/methods.yml`: its quantity, its
//! name, one sentence for a person, and which [`Functional`] it is. The functionals
//! are code, each evaluated on any section. A [`Method`] is a row with its
//! parameters filled in.
//!
//! [`go_no_go`] and [`water`] turn what an instrument shows into a figure.
//!
//! How a value gets from one method to another is [`crate::route`].

mod beyond;
mod functional;
pub mod go_no_go;
mod larger;
mod order;
mod parameters;
mod quantity;
mod said;
mod table;
pub mod water;

pub use functional::Functional;
pub use larger::always;
pub use order::no_metal;
pub use parameters::{Across, From, Parameter, Parameters};
pub use quantity::Quantity;
pub use said::{InWords, said};
pub use table::{AtTheCounter, Method, MethodRow, Methods};
