//! What is marked on the metal, read and written.
//!
//! * [`decode`]: legible stamps, every reading
//! * [`near_miss`]: what was probably meant where a figure does not exist
//! * [`encode`]: the canonical spelling
//! * [`Automaton::find`]: worn stamps, the most probable readings
//! * [`Glyphs::looks`]: where one more look tells readings apart
//! * [`verify`]: a scheme held against its own examples and against itself
//!
//! A marking is a text in one form ([`Typed`]); a [`Reading`] cuts it into segments, each
//! with what it binds. What a reading says of the metal is [`crate::scheme::Scheme::make`].

mod automaton;
mod beginnings;
mod bound;
mod closer;
mod column;
mod comes_back;
mod crowd;
mod decode;
mod edges;
mod encode;
mod find;
mod glyph_table;
mod glyphs;
mod grammar;
mod hunt;
mod laid;
mod lanes;
mod lexicon;
mod look;
mod meaning;
mod near_miss;
mod outline;
mod query;
mod reading;
mod rests;
mod search;
mod signs;
mod spellings;
mod states;
mod struck;
mod sweep;
mod taken;
mod tally;
mod together;
mod typed;
mod verify;
mod walk;

pub use automaton::{Automaton, Weight};
pub use decode::{Decoded, Decoder, decode};
pub use encode::{encode, entry_stamps, spelled};
pub use find::{FindError, Found, FoundReading};
pub use glyphs::Glyphs;
pub use look::{Look, LookAnswer, READ, Suspect};
pub use near_miss::{NearMiss, near_miss};
pub use reading::{PartReading, Reading, Segment, SegmentKind};
pub use struck::{Spot, Struck};
pub use taken::Taken;
pub use typed::{LONGEST, Typed};
pub use verify::verify;
