//! The files inside the program.
//!
//! A release build carries them; a debug build reads the folders of the sources.

use rust_embed::Embed;

use super::folder::{Found, Kind, counts};
use super::language;

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

/// The catalogues of the languages beside English.
pub(super) fn languages() -> Vec<Found> {
    within::<Tables>("tables", Some(language::FOLDER))
}

fn of<Set: Embed>(folder: &str) -> Vec<Found> {
    within::<Set>(folder, None)
}

/// Those of a set that stand in a folder of it, or in none.
fn within<Set: Embed>(folder: &str, part: Option<&str>) -> Vec<Found> {
    let mut names: Vec<_> = Set::iter()
        .filter(|name| name.rsplit_once('/').map(|(part, _)| part) == part)
        .filter(|name| counts(name.as_ref().as_ref()))
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
