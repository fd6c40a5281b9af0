//! The shop's paper in force, and when it is read anew.
//!
//! Its folder and its sign are looked at every two seconds and read when they differ from what was read
//! and have come to rest, as plug-ins are. A template that was given up is tried again only then.

use std::path::Path;
use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, SystemTime};

use arc_swap::ArcSwap;

use super::stationery::Stationery;
use crate::config::Config;
use crate::load::Folder;

/// Time between two looks.
const PAUSE: Duration = Duration::from_secs(2);

/// Names, lengths and times of the shop's files.
type Look = Vec<(String, u64, Option<SystemTime>)>;

/// The shop's paper in force.
#[derive(Debug)]
pub struct InForce {
    now: ArcSwap<Read>,
    /// As at the last look.
    last: Mutex<Look>,
}

/// The paper as it was read.
#[derive(Debug)]
struct Read {
    stationery: Arc<Stationery>,
    digest: String,
    look: Look,
}

impl InForce {
    /// As a configuration says, with a first look.
    pub fn of(config: &Config) -> Self {
        let read = Read::of(config);
        Self {
            last: Mutex::new(read.look.clone()),
            now: ArcSwap::from_pointee(read),
        }
    }

    /// The paper in force; it stays whole for as long as it is held.
    pub fn stationery(&self) -> Arc<Stationery> {
        self.now.load().stationery.clone()
    }

    /// What sheets are made from now, as one hash.
    pub fn digest(&self) -> String {
        self.now.load().digest.clone()
    }

    /// Looks again, and reads what has changed and come to rest.
    pub fn look(&self, config: &Config) {
        let seen = look(config);
        // The lock guards a list that is replaced whole.
        let mut last = self.last.lock().unwrap_or_else(PoisonError::into_inner);
        let at_rest = *last == seen;
        (*last).clone_from(&seen);
        if at_rest && seen != self.now.load().look {
            self.now.store(Arc::new(Read::of(config)));
            tracing::info!("the shop's paper was read anew");
        }
    }

    /// Looks until the other end of `stop` sends or is dropped. For a thread of its own.
    pub fn keep_fresh(&self, config: &Config, stop: &Receiver<()>) {
        while stop.recv_timeout(PAUSE) == Err(RecvTimeoutError::Timeout) {
            self.look(config);
        }
    }
}

impl Read {
    /// Looks first: a file that changes while it is read is read again. Faults are told in the log.
    fn of(config: &Config) -> Self {
        let look = look(config);
        let stationery = Stationery::of(config);
        for fault in &stationery.faults {
            tracing::warn!("{fault}");
        }
        Self {
            digest: stationery.digest(),
            stationery: Arc::new(stationery),
            look,
        }
    }
}

fn look(config: &Config) -> Look {
    let mut seen = Look::new();
    if let Folder::At(folder) = &config.templates.value {
        let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
        seen.extend(entries.map(|entry| of_file(&entry.path())));
    }
    let shop = config.shop.value.as_ref();
    seen.extend(shop.and_then(|shop| shop.logo.as_deref()).map(of_file));
    seen.sort();
    seen
}

fn of_file(file: &Path) -> (String, u64, Option<SystemTime>) {
    let metadata = std::fs::metadata(file).ok();
    let (length, time) = metadata.map_or((0, None), |file| (file.len(), file.modified().ok()));
    (file.display().to_string(), length, time)
}
