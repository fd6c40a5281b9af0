//! What the program does, seen from outside. One binary; a file a subject:
//!
//! * `diagnostic`: how a problem in a file is shown
//! * `yaml`: what may come in from a file, and what is said of the rest

#![expect(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

mod diagnostic;
mod yaml;
