//! What the program does, seen from outside: all integration tests, in one binary. A file a
//! subject:
//!
//! * `diagnostic`: how a problem in a file is shown
//! * `yaml`: what may come in from a file, and what is said of the rest
//! * `amount`: numbers with units, spreads and scales as people write them
//! * `gauge`: the drill tables, and tables with faults
//! * `estimate`: sources, combining, expanding
//! * `gum`: worked examples of the GUM and its first supplement
//! * `agreement`: E_n
//! * `shown`: the rounding function
//! * `stamp`: legible stamps, read, written and held against their scheme
//! * `find`: worn stamps, and the table of misreadings
//! * `words`: free words
//!
//! `case_file` reads the tables in `cases/`, each of which names its source; `schemes` makes
//! the invented schemes on which stamps are tried.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the answer")]

mod agreement;
mod amount;
mod case_file;
mod diagnostic;
mod estimate;
mod find;
mod gauge;
mod gum;
mod schemes;
mod shown;
mod stamp;
mod words;
mod yaml;
