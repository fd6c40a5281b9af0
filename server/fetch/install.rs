//! A file that is replaced whole or not at all.

use std::fs::File;
use std::io::{self, Write};
use std::path::Path;

use sha2::{Digest, Sha256};
use tempfile::Builder;

use super::Failure;
use crate::config::Sha256Sum;
use crate::load;

/// Whether the file there is already the one that is meant.
pub(super) fn is_there(path: &Path, sum: Sha256Sum, most: u64) -> bool {
    let most = usize::try_from(most).unwrap_or(usize::MAX);
    load::read(path, "", most).is_ok_and(|bytes| sum_of(&bytes) == sum)
}

/// Whether a text is the one that is meant.
pub(super) fn same_sum(bytes: &[u8], sum: Sha256Sum) -> Result<(), Failure> {
    let found = sum_of(bytes);
    if found == sum {
        return Ok(());
    }
    Err(Failure::refused(
        sentence!(
            "it is not the file that was meant: its SHA-256 is {found}, not {sum}",
            found,
            sum
        ),
        sentence!("look at the file; write its sum as `sha256` if it is the right one"),
    ))
}

fn sum_of(bytes: &[u8]) -> Sha256Sum {
    Sha256Sum(Sha256::digest(bytes).into())
}

/// Puts `bytes` at `path`, which is in `folder`. At no moment is there half a file, not even
/// after a power cut.
pub(super) fn replace(folder: &Path, path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    written(folder, path, bytes).map_err(|error| {
        let why = sentence!(
            "{path} cannot be written: {error}",
            path = path.display().to_string(),
            error = error.to_string()
        );
        Failure::out_of_reach(why, sentence!("see to the folder's permissions and room"))
    })
}

fn written(folder: &Path, path: &Path, bytes: &[u8]) -> io::Result<()> {
    // Hidden, so that who loads meanwhile does not see it.
    let mut file = Builder::new()
        .prefix(".fetched-")
        .suffix(".part")
        .tempfile_in(folder)?;
    file.write_all(bytes)?;
    readable(file.as_file())?;
    file.as_file().sync_all()?;
    file.persist(path)?;
    name_on_disk(folder)
}

/// A new name is on the disk only when its folder is.
#[cfg(unix)]
fn name_on_disk(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

#[cfg(not(unix))]
fn name_on_disk(_: &Path) -> io::Result<()> {
    Ok(())
}

/// Temporary files are for their owner alone; a plug-in is for whoever runs the counter.
#[cfg(unix)]
fn readable(file: &File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn readable(_: &File) -> io::Result<()> {
    Ok(())
}
