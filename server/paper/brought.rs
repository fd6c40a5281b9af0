//! What a shop brings for its paper: a folder of templates, and its sign, read within limits.

#![expect(
    clippy::result_large_err,
    reason = "a fault is made once a file, where reading the file costs far more"
)]

use std::path::Path;
use std::sync::Arc;

use super::press::{Files, GIVEN};
use crate::diagnostic::{Diagnostic, Place};
use crate::load;

/// A file that a template reads, bytes.
const LARGEST_FILE: usize = 1024 * 1024;

/// The shop's sign, bytes.
const LARGEST_LOGO: usize = 512 * 1024;

/// Files in the folder, at most.
const MOST_FILES: usize = 40;

/// The files of a folder of templates; folders within it and links are passed over.
pub(super) fn read_folder(folder: &Path) -> Result<Files, Diagnostic> {
    let fault = |why: String| {
        let place = Place::whole(folder.display().to_string());
        let message = sentence!("the folder of templates cannot be used: {why}", why);
        Diagnostic::warning("no-templates", place, message).hint(sentence!(
            "the templates inside the program are used until it can"
        ))
    };
    let entries = std::fs::read_dir(folder).map_err(|cause| fault(cause.to_string()))?;
    let mut files = Files::new();
    for entry in entries.filter_map(Result::ok) {
        let plain = entry.file_type().is_ok_and(|kind| kind.is_file());
        let Some(name) = entry
            .file_name()
            .to_str()
            .filter(|_| plain)
            .map(str::to_owned)
        else {
            continue;
        };
        if files.len() == MOST_FILES {
            return Err(fault(format!("it holds more than {MOST_FILES} files")));
        }
        let shown = entry.path().display().to_string();
        let bytes = load::read(&entry.path(), &shown, LARGEST_FILE)
            .map_err(|cause| fault(cause.message.to_string()))?;
        if name != GIVEN {
            files.insert(name, bytes.into());
        }
    }
    Ok(files)
}

/// The shop's sign, with the name by which templates find it.
pub(super) fn read_logo(file: &Path) -> Result<(&'static str, Arc<[u8]>), Diagnostic> {
    let ending = file.extension().and_then(|ending| ending.to_str());
    let name = match ending.map(str::to_ascii_lowercase).as_deref() {
        Some("svg") => "logo.svg",
        Some("png") => "logo.png",
        _ => {
            return Err(unusable_logo(
                file,
                &say!("it is neither an .svg nor a .png"),
            ));
        }
    };
    let shown = file.display().to_string();
    let bytes = load::read(file, &shown, LARGEST_LOGO)
        .map_err(|cause| unusable_logo(file, &cause.message.to_string()))?;
    Ok((name, bytes.into()))
}

/// A sign that is left out.
pub(super) fn unusable_logo(file: &Path, why: &str) -> Diagnostic {
    let place = Place::whole(file.display().to_string());
    let message = sentence!(
        "the shop's sign is left out of cards: {why}",
        why = why.to_owned()
    );
    Diagnostic::warning("no-logo", place, message).hint(sentence!(
        "name an SVG or PNG file of 512 KiB at most under `shop`, `logo`"
    ))
}
