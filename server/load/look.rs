//! What can be seen of folders without reading a file.
//!
//! Two looks that differ mean that something was saved, made, deleted or
//! renamed. An edit that keeps length and time of modification is not seen.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use super::folder::{Folder, counts, may_be_beside, names_where};
use super::language;

/// Names, lengths and times of the files in some folders.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Look(Vec<Option<Vec<Seen>>>);

#[derive(Clone, Debug, PartialEq, Eq)]
struct Seen {
    name: PathBuf,
    /// Length and time; none where a link leads nowhere.
    file: Option<(u64, Option<SystemTime>)>,
}

impl Look {
    /// Looks at folders. One that cannot be read is remembered as such.
    pub fn at<'a>(folders: impl IntoIterator<Item = &'a Folder>) -> Self {
        let paths = folders.into_iter().filter_map(Folder::path);
        Self(paths.map(seen).collect())
    }

    /// The same, and the catalogues beside a folder of tables.
    #[must_use]
    pub fn and_languages(mut self, tables: &Folder) -> Self {
        let folder = tables.path().map(|path| path.join(language::FOLDER));
        self.0.extend(folder.map(|folder| seen(&folder)));
        self
    }
}

fn seen(folder: &Path) -> Option<Vec<Seen>> {
    let names = names_where(folder, |name| counts(name) || may_be_beside(name)).ok()?;
    let seen = |name: PathBuf| {
        let metadata = fs::metadata(folder.join(&name)).ok();
        Seen {
            name,
            file: metadata.map(|file| (file.len(), file.modified().ok())),
        }
    };
    Some(names.into_iter().map(seen).collect())
}
