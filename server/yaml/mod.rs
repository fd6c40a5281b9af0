//! The gate and the typed decode.
//!
//! Every file that a person wrote comes in here: [`gate`] refuses what is
//! dangerous or can be read in two ways and remembers where everything stands;
//! [`decode`] turns what passed into a type, and its mistakes into
//! diagnostics with a place. What is wrong with the meaning is for the caller,
//! who knows [`Path`]s and asks the [`Document`] for the place.
//!
//! Alone in the program this room names the two parsers. `serde_yaml` needs
//! minutes or gigabytes for some small files, and keeps the last of two equal
//! keys without a word; so it never sees a file that has not passed the gate.
//! Where the two parsers do not see the same text, the file is refused.

mod characters;
mod cursor;
mod decode;
mod document;
mod expected;
mod follow;
mod gate;
mod one_or_many;
mod ordered;
mod path;
mod refusals;
mod scan;
mod source;
mod text;

pub use decode::decode;
pub use document::Document;
pub use gate::{Limits, gate};
pub use one_or_many::OneOrMany;
pub use ordered::Ordered;
pub use path::Path;
pub use text::Text;
