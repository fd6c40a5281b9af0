//! Naming schemes: plug-ins as written, then as meant.
//!
//! `written` mirrors a file and nothing more, text as text. `check` turns it into
//! the [`Scheme`] that the program trusts and reports every fault. Past `check` nothing
//! tests an entry again. [`Binding`]s (what a stamp, an entry or a series says) become a
//! [`Piece`](crate::route::Piece) in `piece`.
//!
//! Reading the text of a stamp is [`crate::stamp`].

mod amounts;
mod check;
mod faults;
mod figure;
mod meant;
mod piece;
mod tables;
mod template;
mod usual;
mod written;

pub use amounts::implausible;
pub use check::{Beside, check, check_beside};
pub use faults::CODES;
pub use figure::{Figure, Grid, GridMeaning, Sign, Signs};
pub use meant::{
    Code, Declaration, Effect, Entry, Example, Instrument, Mark, Part, PartKind, Scheme, Series,
    Stamp, Target, TraceOf, Traced, Years,
};
pub use piece::{Binding, Given, Made, Reason, States};
pub use tables::{Tables, tables};
pub use template::{Field, Template, TemplateFault, Token};
pub use usual::Usual;
pub use written::schema;
