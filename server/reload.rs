//! The snapshot in force, and when it is replaced.
//!
//! Folders are looked at every two seconds. They are read anew when they differ
//! from what was read and have not changed between two looks: an editor that
//! empties a file before it writes, or moves the old one away first, is not
//! caught in the middle. Network drives tell nobody of changes; looking works on all.

use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use arc_swap::ArcSwap;

use crate::config::Config;
use crate::load::Look;
use crate::snapshot::{self, Snapshot};

/// Time between two looks.
const PAUSE: Duration = Duration::from_secs(2);

/// The snapshot in force.
#[derive(Debug)]
pub struct Current {
    snapshot: ArcSwap<Snapshot>,
    /// Held while a new one is made, so that an older state never follows a newer.
    turn: Mutex<()>,
}

impl Current {
    /// Puts a first snapshot in force.
    pub fn new(snapshot: Snapshot) -> Self {
        Self {
            snapshot: ArcSwap::from_pointee(snapshot),
            turn: Mutex::new(()),
        }
    }

    /// The snapshot in force; it stays whole for as long as it is held.
    pub fn snapshot(&self) -> Arc<Snapshot> {
        self.snapshot.load_full()
    }

    /// Reads everything anew and puts it in force. What turned bad is kept as it
    /// was, see [`Snapshot::renewed`].
    pub fn reload(&self, config: &Config) -> Arc<Snapshot> {
        // The lock guards no value that a panic could leave half made.
        let _turn = self.turn.lock().unwrap_or_else(PoisonError::into_inner);
        let renewed = Arc::new(self.snapshot().renewed(config));
        renewed.prepare();
        self.snapshot.store(renewed.clone());
        renewed
    }
}

/// Sees when folders have changed and come to rest.
#[derive(Debug)]
pub struct Watch {
    last: Look,
}

impl Watch {
    /// Takes a first look.
    pub fn new(config: &Config) -> Self {
        Self {
            last: snapshot::look(config),
        }
    }

    /// Looks again: whether the folders are as at the last look, and not as they
    /// were read.
    pub fn is_due(&mut self, current: &Current, config: &Config) -> bool {
        let now = snapshot::look(config);
        let at_rest = now == self.last;
        self.last = now;
        at_rest && self.last != current.snapshot().look
    }
}

/// Prepares the first snapshot once the first questions are answered, and reloads whenever it
/// is due, until the other end of `stop` sends or is dropped. For a
/// thread of its own.
pub fn keep_fresh(current: &Current, config: &Config, stop: &Receiver<()>) {
    let mut watch = Watch::new(config);
    while stop.recv_timeout(PAUSE) == Err(RecvTimeoutError::Timeout) {
        current.snapshot().prepare();
        if watch.is_due(current, config) {
            told(&current.reload(config));
        }
    }
}

/// One line in the log, and one for each file that cannot be used.
fn told(snapshot: &Snapshot) {
    let (schemes, broken) = (snapshot.schemes.len(), snapshot.broken().count());
    tracing::info!(
        schemes,
        broken,
        hash = snapshot.hash,
        "plug-ins and tables read anew"
    );
    let of_files = snapshot.broken().flat_map(|file| &file.diagnostics);
    for fault in snapshot.faults.iter().chain(of_files) {
        tracing::warn!("{fault}");
    }
}
