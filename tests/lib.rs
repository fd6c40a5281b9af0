//! All integration tests, in one binary.
//!
//! * `amount`: numbers with units, spreads and scales as people write them
//! * `gauge`: the drill tables, and tables with faults
//! * `estimate`: sources, combining, expanding
//! * `gum`: worked examples of the GUM and its first supplement
//! * `agreement`: E_n
//! * `shown`: the rounding function
//!
//! `case_file` reads the tables in `cases/`, each of which names its source.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the answer")]

mod agreement;
mod amount;
mod case_file;
mod estimate;
mod gauge;
mod gum;
mod shown;
