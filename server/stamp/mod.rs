//! What is marked on the metal, read and written.
//!
//! * [`decode`]: legible stamps, every reading
//! * [`near_miss`]: what was probably meant where a figure does not exist
//! * [`encode`]: the canonical spelling
//! * [`verify`]: a scheme held against its own examples and against itself
//!
//! A marking is a text in one form ([`Typed`]); a [`Reading`] cuts it into segments, each
//! with what it binds. What a reading says of the metal is [`crate::scheme::Scheme::make`].

mod decode;
mod encode;
mod grammar;
mod meaning;
mod near_miss;
mod reading;
mod spellings;
mod typed;
mod verify;
mod walk;

pub use decode::{Decoded, Decoder, decode};
pub use encode::{encode, entry_stamps, spelled};
pub use near_miss::{NearMiss, near_miss};
pub use reading::{PartReading, Reading, Segment, SegmentKind};
pub use typed::{LONGEST, Typed};
pub use verify::verify;
