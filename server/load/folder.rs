//! Where a set of files lies, and which of them count.
//!
//! A folder is read in the order of its file names, without the folders in it.
//! Files of which the name starts with a dot are editors' and our own
//! unfinished ones. A link that leads out of the folder is not followed: what is
//! in force must be seen by who looks into the folder.

use std::ffi::OsStr;
use std::fmt;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::embedded;
use super::moment::Moment;
use super::read::{could_not, read};
use crate::diagnostic::{Diagnostic, Place};
use crate::yaml::Limits;

/// What a configuration writes for the files inside the program.
const BUILT_IN: &str = "built in";

/// Where a set of files lies.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Folder {
    /// Inside the program.
    BuiltIn,
    /// In a folder of the disk.
    At(PathBuf),
}

impl Folder {
    /// `built in`, or a path, which is taken from `base` if it is not absolute.
    pub fn named(text: &Path, base: &Path) -> Self {
        if text.as_os_str() == BUILT_IN {
            Self::BuiltIn
        } else {
            Self::At(base.join(text))
        }
    }

    /// The path, if it has one.
    pub fn path(&self) -> Option<&Path> {
        match self {
            Self::BuiltIn => None,
            Self::At(path) => Some(path),
        }
    }
}

impl fmt::Display for Folder {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::BuiltIn => out.write_str(BUILT_IN),
            Self::At(path) => path.display().fmt(out),
        }
    }
}

/// What the files of a folder are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// One scheme each.
    Plugins,
    /// Methods, contours, drills, glyphs.
    Tables,
}

/// A file of a folder, read or not.
#[derive(Debug)]
pub(super) struct Found {
    /// As people see it: folder and file.
    pub name: String,
    /// Length in bytes; 0 where even that is not known.
    pub bytes: u64,
    pub modified: Option<Moment>,
    pub content: Result<Vec<u8>, Diagnostic>,
}

/// The files of a folder, each read if it may be and is within the limits.
///
/// # Errors
/// One diagnostic if the folder itself cannot be read.
pub(super) fn found(folder: &Folder, kind: Kind, limits: Limits) -> Result<Vec<Found>, Diagnostic> {
    let Folder::At(path) = folder else {
        return Ok(embedded::found(kind));
    };
    let names = names(path).map_err(|error| no_folder(path, &error))?;
    Ok(names.iter().map(|name| one(path, name, limits)).collect())
}

/// The names in a folder that count, sorted.
pub(super) fn names(folder: &Path) -> io::Result<Vec<PathBuf>> {
    names_where(folder, counts)
}

/// The names in a folder for which `counts` holds, sorted.
pub(super) fn names_where(
    folder: &Path,
    counts: impl Fn(&Path) -> bool,
) -> io::Result<Vec<PathBuf>> {
    let mut names = Vec::new();
    for entry in fs::read_dir(folder)? {
        let name = PathBuf::from(entry?.file_name());
        if counts(&name) {
            names.push(name);
        }
    }
    names.sort();
    Ok(names)
}

/// Whether a file of this name is meant for us.
pub(super) fn counts(name: &Path) -> bool {
    let hidden = name.as_os_str().as_encoded_bytes().starts_with(b".");
    let ending = name.extension().and_then(OsStr::to_str);
    let is = |wanted: &str| ending.is_some_and(|ending| ending.eq_ignore_ascii_case(wanted));
    !hidden && (is("yml") || is("yaml"))
}

/// Whether a plug-in may name it as a file beside it.
pub(super) fn may_be_beside(name: &Path) -> bool {
    let hidden = name.as_os_str().as_encoded_bytes().starts_with(b".");
    !hidden && name.extension().and_then(OsStr::to_str) == Some("csv")
}

fn one(folder: &Path, name: &Path, limits: Limits) -> Found {
    let path = folder.join(name);
    let shown = path.display().to_string();
    // Follows links, so a large file is known as such behind one.
    let metadata = fs::metadata(&path).ok();
    let content = inside(folder, &path, &shown).and_then(|()| read(&path, &shown, limits.bytes));
    Found {
        name: shown,
        bytes: metadata.as_ref().map_or(0, fs::Metadata::len),
        modified: metadata
            .and_then(|metadata| metadata.modified().ok())
            .map(Moment),
        content,
    }
}

/// Refuses what a link takes out of the folder; what is no link stands in it.
pub(super) fn inside(folder: &Path, path: &Path, shown: &str) -> Result<(), Diagnostic> {
    if fs::symlink_metadata(path).is_ok_and(|file| !file.is_symlink()) {
        return Ok(());
    }
    let real = |path: &Path| fs::canonicalize(path).map_err(|error| could_not(shown, &error));
    let (real_folder, real_path) = (real(folder)?, real(path)?);
    if real_path.starts_with(real_folder) {
        return Ok(());
    }
    let message = sentence!(
        "a link to {real_path}, outside its folder",
        real_path = real_path.display().to_string()
    );
    Err(
        Diagnostic::error("link-outside", Place::whole(shown), message).hint(sentence!(
            "put the file itself here, or name its folder in `plugins`"
        )),
    )
}

fn no_folder(folder: &Path, error: &io::Error) -> Diagnostic {
    let message = sentence!(
        "the folder cannot be read: {error}",
        error = error.to_string()
    );
    Diagnostic::error(
        "no-folder",
        Place::whole(folder.display().to_string()),
        message,
    )
    .hint(sentence!(
        "make it, or name another; `built in` stands for the files in the program"
    ))
}
