//! The counter's pages and the programming interface, over HTTP.
//!
//! ```text
//! request -> trace -> security -> routes (one table) -> cache
//!                                    |                    | not there
//!                                    |                 api / pages / cards -> crate::answer
//!                                    +-> openapi, documented from the same table
//! ```
//!
//! A handler is a function from a [`question::Question`] to an answer or a [`Problem`]: it
//! knows no HTTP and runs on the pool for computing. Answers that depend on nothing but the
//! tables are kept and sent again as bytes. No question is decided here.

mod api;
mod assets;
mod cache;
mod cards;
mod chart;
mod compare;
mod counter;
mod error;
mod gauge;
mod help;
mod language;
mod openapi;
mod pages;
mod parameters;
mod question;
mod routes;
mod schemes;
mod security;
mod server;
mod settings;
mod templates;
mod trace;
mod view;
mod words;

pub use server::{Bound, Stopper, bind};

use crate::config::Config;
use crate::problem::Problem;
use crate::snapshot::Snapshot;

/// Opens the counter and keeps it open until the process is told to stop. Says on standard
/// output where it is.
///
/// # Errors
/// The address cannot be had, or listening failed.
pub fn serve(config: Config, snapshot: Snapshot) -> Result<(), Problem> {
    let bound = bind(config, snapshot)?;
    println!("counterbore is at http://{}", bound.address());
    bound.run()
}
