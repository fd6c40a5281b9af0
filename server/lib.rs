//! The counter of a brass-instrument repair shop: what a mouthpiece is, what it
//! measures in one frame, and what of other makers comes near.
//!
//! Rooms from the ground up; each may name only those before it:
//!
//! * [`diagnostic`]: one problem in a file that a person wrote
//! * [`unit`]: lengths, angles, volumes; gauge tables
//! * [`uncertainty`]: estimates with their sources, agreement, the one rounding function
//! * [`profile`]: the metal
//! * [`method`]: what a gauge reads on a profile
//! * [`route`]: from one method to another
//! * [`yaml`]: the gate and the typed decode
//! * [`scheme`]: plug-ins as written, as meant, and the pieces they name
//! * [`stamp`]: what is marked on the metal, read, written and found
//! * [`words`]: free words
//! * [`translate`]: into other schemes
//! * [`problem`]: what can go wrong with a question

pub mod diagnostic;
pub mod method;
pub mod problem;
pub mod profile;
pub mod route;
pub mod scheme;
pub mod stamp;
pub mod translate;
pub mod uncertainty;
pub mod unit;
pub mod words;
pub mod yaml;
