//! One plug-in file, read and checked.

use std::collections::HashMap;
use std::sync::Arc;

use super::beside::Shelf;
use super::folder::{Folder, Found, Kind, found};
use super::moment::Moment;
use super::parallel::largest_first;
use crate::diagnostic::{Diagnostic, Place, Severity};
use crate::scheme::{self, Beside, Scheme, Tables};
use crate::yaml::{Limits, Path, gate};

/// A plug-in file, good or bad.
#[derive(Clone, Debug)]
pub struct LoadedFile {
    /// The folder that it is in.
    pub folder: Folder,
    /// As people see it: folder and file, `<built in>/plugins/…` inside the program.
    pub name: String,
    /// What was read last, to show faults in; empty if it could not be read.
    pub text: String,
    /// All that is wrong with the text read last.
    pub diagnostics: Vec<Diagnostic>,
    /// The scheme in force.
    pub scheme: Option<Arc<Scheme>>,
    /// If the scheme in force is an older one since the file turned bad: since when.
    pub kept_since: Option<Moment>,
    /// Length of the file.
    pub bytes: u64,
    /// When it was last written, if the disk knows.
    pub modified: Option<Moment>,
    /// SHA-256 of the content in force, that of the files beside it that it names included.
    pub(crate) digest: [u8; 32],
    /// Names of those files.
    beside: Vec<String>,
    /// Where it says its name.
    pub(crate) named: Place,
}

impl LoadedFile {
    /// Whether the text read last cannot be used, though an older one may be in force.
    pub fn is_broken(&self) -> bool {
        has_error(&self.diagnostics)
    }

    /// The last part of its name.
    pub fn file_name(&self) -> &str {
        self.name
            .rsplit(['/', std::path::MAIN_SEPARATOR])
            .next()
            .unwrap_or(&self.name)
    }
}

/// The plug-ins of one folder, in the order of their names, each within the limits.
///
/// # Errors
/// One diagnostic if the folder itself cannot be read.
pub fn plugins(
    folder: &Folder,
    tables: &Tables,
    limits: Limits,
) -> Result<Vec<LoadedFile>, Diagnostic> {
    plugins_since(&[], folder, tables, limits)
}

/// The same; a good file of `before` with the same content, read with the same tables, stays as it was and is not
/// checked again.
///
/// # Errors
/// As [`plugins`].
pub fn plugins_since(
    before: &[LoadedFile],
    folder: &Folder,
    tables: &Tables,
    limits: Limits,
) -> Result<Vec<LoadedFile>, Diagnostic> {
    let found = found(folder, Kind::Plugins, limits)?;
    Ok(largest_first(
        &found,
        |file| file.bytes,
        |file| {
            unchanged(before, folder, file)
                .unwrap_or_else(|| loaded(folder, file, (tables, limits)))
        },
    ))
}

fn unchanged(before: &[LoadedFile], folder: &Folder, found: &Found) -> Option<LoadedFile> {
    let mut before = before.iter();
    let same = before.find(|one| one.folder == *folder && one.name == found.name)?;
    let is_good = same.scheme.is_some() && same.kept_since.is_none();
    let shelf = Shelf::new(folder);
    for name in &same.beside {
        // What can no longer be read is told when the plug-in is checked again.
        shelf.text(name).ok()?;
    }
    let digest = shelf.digest(found.content.as_deref().ok()?);
    (is_good && same.digest == digest).then(|| LoadedFile {
        modified: found.modified,
        ..same.clone()
    })
}

fn loaded(folder: &Folder, found: &Found, with: (&Tables, Limits)) -> LoadedFile {
    let bytes = found.content.as_deref().unwrap_or_default();
    let shelf = Shelf::new(folder);
    let checked = match &found.content {
        Ok(bytes) => checked_from(&shelf, &found.name, bytes, with),
        Err(fault) => Checked::refused(&found.name, vec![fault.clone()]),
    };
    LoadedFile {
        folder: folder.clone(),
        name: found.name.clone(),
        text: String::from_utf8_lossy(bytes).into_owned(),
        diagnostics: checked.diagnostics,
        scheme: checked.scheme,
        kept_since: None,
        bytes: found.bytes,
        modified: found.modified,
        digest: shelf.digest(bytes),
        beside: shelf.names(),
        named: checked.named,
    }
}

/// What became of the text of a plug-in.
#[derive(Debug)]
pub struct Checked {
    /// The scheme, if it can be used.
    pub scheme: Option<Arc<Scheme>>,
    /// All that is wrong; with a scheme, warnings only.
    pub diagnostics: Vec<Diagnostic>,
    /// Where it says its name.
    pub named: Place,
}

impl Checked {
    fn refused(name: &str, diagnostics: Vec<Diagnostic>) -> Self {
        Self {
            scheme: None,
            diagnostics,
            named: Place::whole(name),
        }
    }
}

/// The text of a plug-in through all checks: its form, its meaning, its own
/// examples. `name` is for people.
pub fn checked(name: &str, bytes: &[u8], tables: &Tables, limits: Limits) -> Checked {
    checked_beside(name, bytes, (tables, limits), &|_| {
        Err(sentence!(
            "the plug-in lies in no folder, so that nothing is beside it"
        ))
    })
}

/// The same with the files that lie beside it in a folder.
pub(super) fn checked_in(
    folder: &Folder,
    name: &str,
    bytes: &[u8],
    with: (&Tables, Limits),
) -> Checked {
    checked_from(&Shelf::new(folder), name, bytes, with)
}

/// The same; the scheme's hash is of what it takes from the shelf too.
fn checked_from(shelf: &Shelf<'_>, name: &str, bytes: &[u8], with: (&Tables, Limits)) -> Checked {
    let mut checked = checked_beside(name, bytes, with, &|name| shelf.text(name));
    if let Some(scheme) = checked.scheme.as_mut().and_then(Arc::get_mut)
        && !shelf.names().is_empty()
    {
        let digest = shelf.digest(bytes);
        scheme.hash = digest.iter().map(|byte| format!("{byte:02x}")).collect();
    }
    checked
}

fn checked_beside(
    name: &str,
    bytes: &[u8],
    (tables, limits): (&Tables, Limits),
    beside: Beside<'_>,
) -> Checked {
    let document = match gate(name, bytes, limits) {
        Ok(document) => document,
        Err(diagnostics) => return Checked::refused(name, diagnostics),
    };
    let (scheme, mut diagnostics) = scheme::check_beside(&document, tables, beside);
    let scheme = scheme.map(Arc::new);
    if let Some(scheme) = &scheme {
        diagnostics.extend(crate::stamp::verify(scheme, &document));
    }
    let scheme = scheme.filter(|_| !has_error(&diagnostics));
    Checked {
        scheme,
        diagnostics,
        named: document.place(&Path::root().key("scheme")),
    }
}

fn has_error(diagnostics: &[Diagnostic]) -> bool {
    diagnostics
        .iter()
        .any(|one| one.severity == Severity::Error)
}

/// Of schemes with one name only the first stays: the first of those that had it `before`, so
/// that no new file displaces what is in force, and where none had it the first of all.
pub fn mark_twins(files: &mut [LoadedFile], before: &[LoadedFile]) {
    let mut order: Vec<usize> = (0..files.len()).collect();
    order.sort_by_key(|&place| !had_its_name(&files[place], before));
    let mut first: HashMap<String, Place> = HashMap::new();
    for place in order {
        let file = &mut files[place];
        let Some(name) = file.scheme.as_ref().map(|scheme| scheme.id.clone()) else {
            continue;
        };
        match first.get(&name) {
            None => {
                first.insert(name, file.named.clone());
            }
            Some(place) => {
                file.diagnostics.push(twin(&name, &file.named, place));
                file.scheme = None;
            }
        }
    }
}

fn had_its_name(file: &LoadedFile, before: &[LoadedFile]) -> bool {
    let id = |file: &LoadedFile| file.scheme.as_ref().map(|scheme| scheme.id.clone());
    let mut before = before.iter();
    let same = before.find(|one| one.folder == file.folder && one.name == file.name);
    same.is_some_and(|same| id(same).is_some() && id(same) == id(file))
}

fn twin(name: &str, place: &Place, first: &Place) -> Diagnostic {
    let message = sentence!(
        "there is already a scheme `{name}`, in {file}",
        name,
        file = first.file.to_string()
    );
    Diagnostic::error("scheme-twice", place.clone(), message)
        .also(first.clone(), "first here")
        .hint(sentence!(
            "give it a name of its own, or take one of the two files away"
        ))
}
