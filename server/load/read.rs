//! One file, read within its limit.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::Path;

use crate::diagnostic::{Diagnostic, Place};

/// Reads a file of at most `most` bytes; a longer one is refused by its length
/// and not read. `shown` is its name for people.
///
/// # Errors
/// One diagnostic about the whole file: it is not there, is no file, is too
/// large or cannot be read.
pub fn read(path: &Path, shown: &str, most: usize) -> Result<Vec<u8>, Diagnostic> {
    // Looked at before it is opened: opening a pipe waits for its writer.
    let metadata = fs::metadata(path).map_err(|error| could_not(shown, &error))?;
    if !metadata.is_file() {
        let message = sentence!("this is not a file");
        return Err(Diagnostic::error(
            "not-a-file",
            Place::whole(shown),
            message,
        ));
    }
    if metadata.len() > most as u64 {
        return Err(too_large(shown, metadata.len(), most));
    }
    let bytes = within(path, most).map_err(|error| could_not(shown, &error))?;
    if bytes.len() > most {
        return Err(too_large(shown, bytes.len() as u64, most));
    }
    Ok(bytes)
}

/// One byte past the limit is enough to know that a file has grown meanwhile.
fn within(path: &Path, most: usize) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    File::open(path)?
        .take(most as u64 + 1)
        .read_to_end(&mut bytes)?;
    Ok(bytes)
}

pub(super) fn could_not(shown: &str, error: &io::Error) -> Diagnostic {
    let message = sentence!(
        "the file cannot be read: {error}",
        error = error.to_string()
    );
    Diagnostic::error("not-readable", Place::whole(shown), message)
}

fn too_large(shown: &str, bytes: u64, most: usize) -> Diagnostic {
    let message = sentence!(
        "the file has {bytes} bytes, more than the {most} it may have",
        bytes,
        most
    );
    Diagnostic::error("too-large", Place::whole(shown), message).hint(sentence!(
        "split it into several files; `plugin_limits` in config.yml says how large a plug-in may be"
    ))
}
