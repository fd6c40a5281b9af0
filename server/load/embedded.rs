//! The files inside the program.
//!
//! A release build carries them; a debug build reads the folders of the sources.

use std::borrow::Cow;
use std::ffi::OsStr;
use std::path::Path;

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

/// The catalogues of the languages beside English: their names among the tables, for
/// [`language`], and the SHA-256 of each.
pub(super) fn languages() -> Vec<(String, [u8; 32])> {
    let names = names::<Tables>(Some(language::FOLDER)).into_iter();
    names
        .filter_map(|name| Some((name.to_string(), Tables::get(&name)?.metadata.sha256_hash())))
        .collect()
}

/// One of them.
pub(super) fn language(name: &str) -> Option<Found> {
    read::<Tables>("tables", name)
}

/// Whether a file is one of them, name and content.
pub(super) fn holds_language(file: &Found) -> bool {
    let name = Path::new(&file.name).file_name().and_then(OsStr::to_str);
    let ours = name.and_then(|name| Tables::get(&format!("{}/{name}", language::FOLDER)));
    let content = file.content.as_ref().ok();
    ours.is_some_and(|ours| content.is_some_and(|content| **content == *ours.data))
}

fn of<Set: Embed>(folder: &str) -> Vec<Found> {
    let names = names::<Set>(None);
    let read = |name: &Cow<'_, str>| read::<Set>(folder, name);
    names.iter().filter_map(read).collect()
}

/// Those of a set that stand in a folder of it, or in none, in their order.
fn names<Set: Embed>(part: Option<&str>) -> Vec<Cow<'static, str>> {
    let mut names: Vec<_> = Set::iter()
        .filter(|name| name.rsplit_once('/').map(|(part, _)| part) == part)
        .filter(|name| counts(name.as_ref().as_ref()))
        .collect();
    names.sort();
    names
}

fn read<Set: Embed>(folder: &str, name: &str) -> Option<Found> {
    let bytes = Set::get(name)?.data.into_owned();
    Some(Found {
        name: format!("<built in>/{folder}/{name}"),
        bytes: bytes.len() as u64,
        modified: None,
        content: Ok(bytes),
    })
}
