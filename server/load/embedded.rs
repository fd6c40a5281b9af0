//! The files inside the program.
//!
//! A release build carries them; a debug build reads the folders of the sources.

use rust_embed::Embed;

use super::folder::{Found, Kind, counts};

#[derive(Embed)]
#[folder = "plugins/"]
struct Plugins;

#[derive(Embed)]
#[folder = "tables/"]
struct Tables;

/// The files of one kind, in the order of their names.
pub(super) fn found(kind: Kind) -> Vec<Found> {
    match kind {
        Kind::Plugins => of::<Plugins>("plugins"),
        Kind::Tables => of::<Tables>("tables"),
    }
}

fn of<Set: Embed>(folder: &str) -> Vec<Found> {
    let mut names: Vec<_> = Set::iter()
        .filter(|name| !name.contains('/') && counts(name.as_ref().as_ref()))
        .collect();
    names.sort();
    names
        .iter()
        .filter_map(|name| Some((name, Set::get(name)?.data.into_owned())))
        .map(|(name, bytes)| Found {
            name: format!("<built in>/{folder}/{name}"),
            bytes: bytes.len() as u64,
            modified: None,
            content: Ok(bytes),
        })
        .collect()
}
