//! How large a plug-in file may be.
//!
//! The defaults let a catalogue of 100,000 entries in. What stands above them is for who knows their files:
//! a file takes some fifty times its length of memory while it is checked.

use super::meaning::within;
use super::shelf::kept;
use super::written::PluginLimits;
use crate::diagnostic::Diagnostic;
use crate::yaml::{Document, Limits, Path};

/// Longest file that can be allowed.
pub(super) const MOST_BYTES: u64 = 64 << 20;

/// Most nodes that can be allowed.
const MOST_NODES: u64 = 12_000_000;

/// The limits, those left out as usual. How deep lists and mappings stand in each other is not for shops
/// to say.
pub(super) fn limits(
    written: &PluginLimits,
    document: &Document,
    faults: &mut Vec<Diagnostic>,
) -> Limits {
    let path = Path::root().key("plugin_limits");
    let usual = Limits::CATALOGUE;
    let mut limit = |written: Option<u64>, key: &str, usual: usize, most: u64| {
        let set = written.map(|written| within(written, most));
        let kept = set.and_then(|set| kept(set, key, document, &path, faults));
        kept.and_then(|kept| usize::try_from(kept).ok())
            .unwrap_or(usual)
    };
    Limits {
        bytes: limit(written.bytes, "bytes", usual.bytes, MOST_BYTES),
        nodes: limit(written.nodes, "nodes", usual.nodes, MOST_NODES),
        ..usual
    }
}
