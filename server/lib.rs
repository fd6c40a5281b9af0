//! The counter of a brass-instrument repair shop: what a mouthpiece is, what it
//! measures in one frame, and what of other makers comes near.
//!
//! Rooms from the ground up; each may name only those before it:
//!
//! * [`language`]: what people read, in their language
//! * [`diagnostic`]: one problem in a file that a person wrote
//! * [`unit`]: lengths, angles, volumes; gauge tables
//! * [`uncertainty`]: estimates with their sources, agreement, the one rounding function
//! * [`profile`]: the metal
//! * [`method`]: what a gauge reads on a profile
//! * [`pairs`]: corrections fitted to pieces that were measured both ways
//! * [`route`]: from one method to another
//! * [`yaml`]: the gate and the typed decode
//! * [`scheme`]: plug-ins as written, as meant, and the pieces they name
//! * [`stamp`]: what is marked on the metal, read, written and found
//! * [`words`]: free words
//! * [`translate`]: into other schemes
//! * [`problem`]: what can go wrong with a question
//!
//! Above: pure, no files, clock, environment or network. Below: the outside.
//!
//! * [`load`]: files, from folders or from inside the program
//! * [`config`]: how the counter is set up
//! * [`snapshot`]: everything loaded, immutable, replaced whole
//! * [`reload`]: new snapshots as files change
//! * [`fetch`]: plug-ins from the shelf
//! * [`web`]: pages and the programming interface

// First, so that its macros are at hand in all rooms.
#[macro_use]
pub mod language;

pub mod answer;
pub mod card;
pub mod cli;
pub mod config;
pub mod diagnostic;
pub mod fetch;
pub mod load;
pub mod method;
pub mod pairs;
pub mod paper;
pub mod problem;
pub mod profile;
pub mod reload;
pub mod route;
pub mod scheme;
pub mod snapshot;
pub mod stamp;
pub mod translate;
pub mod uncertainty;
pub mod unit;
pub mod web;
pub mod words;
pub mod yaml;
