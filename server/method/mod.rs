//! What a gauge reads on a profile.
//!
//! A measuring method is data, a row of `tables/methods.yml`: its quantity, its
//! name, one sentence for a person, and which [`Functional`] it is. The functionals
//! are code, each evaluated on any section. A [`Method`] is a row with its
//! parameters filled in.
//!
//! How a value gets from one method to another is [`crate::route`].

mod beyond;
mod functional;
mod parameters;
mod quantity;
mod table;

pub use functional::Functional;
pub use parameters::{Across, From, Parameter, Parameters};
pub use quantity::Quantity;
pub use table::{Method, MethodRow, Methods};
