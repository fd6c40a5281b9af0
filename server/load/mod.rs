//! Files into the program: plug-ins and tables, from folders or from the
//! program itself.
//!
//! ```text
//! Folder --found--> bytes --gate, check, verify--> LoadedFile   (plug-ins)
//!                         --gate, tables---------> LoadedTables (tables)
//!                         --gate, language-------> LoadedLanguages (catalogues)
//! ```
//!
//! A plug-in that cannot be used becomes a [`LoadedFile`] with its faults and no
//! scheme; the others do not notice. Tables are used all or not at all; a catalogue that
//! cannot be used is left out.
//!
//! What was good before, and what to do when it no longer is, knows
//! [`crate::snapshot`]. Nothing here writes.

#![expect(
    clippy::result_large_err,
    reason = "a fault is made once a file, where reading the file costs far more"
)]

mod beside;
mod day;
mod embedded;
mod folder;
mod language;
mod look;
mod moment;
mod parallel;
mod plugin;
mod read;
mod tables;

pub use beside::points;
pub use day::Day;
pub use folder::{Folder, Kind};
pub use language::{LoadedLanguages, languages};
pub use look::Look;
pub use moment::Moment;
pub use parallel::in_parallel;
pub use plugin::{LoadedFile, checked, mark_twins, plugins, plugins_since};
pub use read::read;
pub use tables::{LoadedTables, faults, one_file, tables};
