//! What may come in.
//!
//! A file passes if it is small, is text that can be seen, and uses the part
//! of YAML that everybody reads alike: one document of mappings with text
//! keys, lists and scalars. All its faults are reported, up to fifty.
//!
//! The gate bounds what any later reader can be made to do, so it is iterative
//! itself and counts depth and nodes as they come.

use crate::diagnostic::Diagnostic;

use super::document::Document;
use super::{characters, scan};

/// Nobody mends more at a time.
pub(super) const MOST_FAULTS: usize = 50;

/// How large a file may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Limits {
    /// Length of the file; never more than 4 GiB, whatever is written here.
    pub bytes: usize,
    /// How deep lists and mappings may stand in each other.
    pub depth: usize,
    /// How many lists, mappings, keys and scalars there may be.
    pub nodes: usize,
}

impl Limits {
    /// For settings, or a scheme of which nobody says more: more than anybody writes by hand.
    pub const PLUGIN: Self = Self {
        bytes: 1024 * 1024,
        depth: 32,
        nodes: 200_000,
    };

    /// For a plug-in file, unless the shop sets others: a catalogue of 100,000 entries.
    pub const CATALOGUE: Self = Self {
        bytes: 8 * 1024 * 1024,
        depth: 32,
        nodes: 1_500_000,
    };

    /// For a table that a scheme declares: about 50,000 rows.
    pub const TABLE: Self = Self {
        bytes: 4 * 1024 * 1024,
        depth: 32,
        nodes: 1_000_000,
    };
}

/// Lets a file in, or says everything that is wrong with its form. `file` is
/// the name that people see.
///
/// ```
/// use counterbore::yaml::{Limits, Path, gate};
///
/// let document = gate("tarnbeck.yml", b"figures:\n  rim: 1540\n", Limits::PLUGIN)
///     .expect("good YAML");
/// let rim = document.place(&Path::root().key("figures").key("rim"));
/// assert_eq!(rim.to_string(), "tarnbeck.yml:2:8");
///
/// let faults = gate("tarnbeck.yml", b"rim: ~\n", Limits::PLUGIN).expect_err("a null");
/// assert_eq!(faults[0].code, "null");
/// ```
pub fn gate(file: &str, bytes: &[u8], limits: Limits) -> Result<Document, Vec<Diagnostic>> {
    let most = limits.bytes.min(u32::MAX as usize);
    scan::scan(characters::read(file, bytes, most)?, limits)
}
