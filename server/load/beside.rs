//! Files beside a plug-in that it names: measured points.
//!
//! Only what lies in the plug-in's own folder is read, up to [`LARGEST`] bytes; links out are not
//! followed. What was read is remembered, since the content in force is the plug-in's and
//! that of these files together.

use std::cell::RefCell;
use std::path::Path;

use sha2::{Digest, Sha256};

use crate::diagnostic::Diagnostic;
use crate::language::Sentence;

use super::folder::{Folder, inside};
use super::read::read;

/// Bytes of a file of points: more than [`crate::profile::MOST_POINTS`] need.
pub const LARGEST: usize = 1 << 20;

/// The bytes of a file of points, at most [`LARGEST`].
///
/// # Errors
/// As [`read`], with what can be done about a file of points.
pub fn points(path: &Path, shown: &str) -> Result<Vec<u8>, Diagnostic> {
    read(path, shown, LARGEST).map_err(|fault| match fault.code {
        "too-large" => fault.hint(sentence!(
            "leave points out evenly, one of two say: a few hundred tell as much"
        )),
        _ => fault,
    })
}

/// The folder that a plug-in lies in, and what was read from it for one plug-in.
pub(super) struct Shelf<'a> {
    folder: &'a Folder,
    read: RefCell<Vec<(String, [u8; 32])>>,
}

impl<'a> Shelf<'a> {
    pub fn new(folder: &'a Folder) -> Self {
        let read = RefCell::default();
        Self { folder, read }
    }

    /// The text of a file of that plain name, or why it cannot be had. A name that cannot be had
    /// counts as read: the file may come.
    pub fn text(&self, name: &str) -> Result<String, Sentence> {
        let bytes = self.bytes(name);
        let content = bytes.as_deref().unwrap_or_default();
        let digest = Sha256::digest(content).into();
        self.read.borrow_mut().push((name.to_owned(), digest));
        bytes.map(|bytes| String::from_utf8_lossy(&bytes).into_owned())
    }

    fn bytes(&self, name: &str) -> Result<Vec<u8>, Sentence> {
        let Some(folder) = self.folder.path() else {
            return Err(sentence!(
                "nothing lies beside a plug-in inside the program"
            ));
        };
        let path = folder.join(name);
        let shown = path.display().to_string();
        let fault = |fault: Diagnostic| fault.message;
        inside(folder, Path::new(&path), &shown).map_err(fault)?;
        points(&path, &shown).map_err(fault)
    }

    /// The names of what was read.
    pub fn names(&self) -> Vec<String> {
        let read = self.read.borrow();
        read.iter().map(|(name, _)| name.clone()).collect()
    }

    /// SHA-256 of a plug-in's own bytes and of what was read beside it.
    pub fn digest(&self, bytes: &[u8]) -> [u8; 32] {
        let read = self.read.borrow();
        if read.is_empty() {
            return Sha256::digest(bytes).into();
        }
        let mut sum = Sha256::new_with_prefix(Sha256::digest(bytes));
        for (name, digest) in read.iter() {
            sum.update(Sha256::digest(name));
            sum.update(digest);
        }
        sum.finalize().into()
    }
}
