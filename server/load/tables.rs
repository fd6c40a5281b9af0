//! The tables that all schemes lean on.

use std::path::Path;
use std::sync::Arc;

use sha2::{Digest, Sha256};

use super::folder::{Folder, Found, Kind, found};
use super::parallel::largest_first;
use crate::diagnostic::{Diagnostic, Place, Severity};
use crate::scheme::{self, Tables};
use crate::stamp::Glyphs;
use crate::yaml::{Document, Limits, gate};

/// Tables that can be used.
#[derive(Clone, Debug)]
pub struct LoadedTables {
    /// Methods, contour classes, gauges.
    pub tables: Arc<Tables>,
    /// How signs are misread.
    pub glyphs: Arc<Glyphs>,
    /// What somebody should look at.
    pub warnings: Vec<Diagnostic>,
    /// SHA-256 of the content of each file, in the order of their names.
    pub(crate) digests: Vec<[u8; 32]>,
}

/// Reads a folder of tables.
///
/// # Errors
/// Everything that is wrong with any of them.
pub fn tables(folder: &Folder) -> Result<LoadedTables, Vec<Diagnostic>> {
    let mut faults = Vec::new();
    let mut documents = Vec::new();
    let mut digests = Vec::new();
    let files = found(folder, Kind::Tables, Limits::TABLE).map_err(|fault| vec![fault])?;
    for gated in largest_first(&files, |file| file.bytes, gated) {
        match gated {
            Ok((document, digest)) => {
                documents.push(document);
                digests.push(digest);
            }
            Err(more) => faults.extend(more),
        }
    }
    if documents.is_empty() && faults.is_empty() {
        faults.push(no_tables(folder));
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    meant(documents, digests)
}

fn gated(file: &Found) -> Result<(Document, [u8; 32]), Vec<Diagnostic>> {
    let bytes = match &file.content {
        Ok(bytes) => bytes,
        Err(fault) => return Err(vec![fault.clone()]),
    };
    let document = gate(&file.name, bytes, Limits::TABLE)?;
    Ok((document, Sha256::digest(bytes).into()))
}

/// The file of misreadings; the others are told apart by their keys.
const GLYPHS: &str = "glyphs.yml";

fn meant(
    documents: Vec<Document>,
    digests: Vec<[u8; 32]>,
) -> Result<LoadedTables, Vec<Diagnostic>> {
    let (glyphs, others): (Vec<Document>, Vec<Document>) = documents
        .into_iter()
        .partition(|document| is_glyphs(document.file()));
    let (tables, mut diagnostics) = scheme::tables(&others);
    let glyphs = match glyphs.first().map(Glyphs::read) {
        Some(Ok(glyphs)) => Some(glyphs),
        Some(Err(faults)) => {
            diagnostics.extend(faults);
            None
        }
        None => {
            diagnostics.push(no_glyphs(&others));
            None
        }
    };
    let wrong = diagnostics
        .iter()
        .any(|one| one.severity == Severity::Error);
    match glyphs.filter(|_| !wrong) {
        Some(glyphs) => Ok(LoadedTables {
            tables: Arc::new(tables),
            glyphs: Arc::new(glyphs),
            warnings: diagnostics,
            digests,
        }),
        None => Err(diagnostics),
    }
}

fn is_glyphs(file: &str) -> bool {
    Path::new(file)
        .file_name()
        .is_some_and(|name| name == GLYPHS)
}

fn no_glyphs(documents: &[Document]) -> Diagnostic {
    let place = Place::whole(
        documents
            .first()
            .map_or("tables", |document| document.file()),
    );
    Diagnostic::error(
        "no-glyphs",
        place,
        sentence!("beside the tables there is no glyphs.yml"),
    )
    .hint(sentence!(
        "copy the built-in one into the folder: it says how worn signs are misread"
    ))
}

fn no_tables(folder: &Folder) -> Diagnostic {
    let message = sentence!("there is no table in this folder");
    Diagnostic::error("no-tables", Place::whole(folder.to_string()), message).hint(sentence!(
        "name another folder in `tables`; `built in` stands for the tables in the program"
    ))
}

/// Everything that is wrong with one file, whether it holds a scheme or tables: a scheme says
/// its name under `scheme`. `limits` are those of a scheme.
pub fn faults(name: &str, bytes: &[u8], tables: &Tables, limits: Limits) -> Vec<Diagnostic> {
    let document = match gate(name, bytes, widest(limits)) {
        Ok(document) => document,
        Err(faults) => return faults,
    };
    let file_name = name.rsplit(['/', '\\']).next().unwrap_or(name);
    let begins = |key: &str| document.text().lines().any(|line| line.starts_with(key));
    if begins("messages:") && !begins("scheme:") {
        super::language::catalogue(&document)
            .err()
            .unwrap_or_default()
    } else if file_name == GLYPHS {
        Glyphs::read(&document).err().unwrap_or_default()
    } else if ["methods:", "classes:", "tables:"].into_iter().any(begins) && !begins("scheme:") {
        scheme::tables(std::slice::from_ref(&document)).1
    } else {
        let folder = Path::new(name)
            .parent()
            .filter(|path| *path != Path::new(""));
        let folder = Folder::At(folder.unwrap_or(Path::new(".")).to_owned());
        super::plugin::checked_in(&folder, name, bytes, (tables, limits)).diagnostics
    }
}

/// The bytes of one file, at most as many as a table or a scheme (`limits`) may have.
///
/// # Errors
/// Why it cannot be read.
pub fn one_file(path: &Path, shown: &str, limits: Limits) -> Result<Vec<u8>, Diagnostic> {
    super::read::read(path, shown, widest(limits).bytes)
}

/// What a file may have of which nobody knows yet whether it holds tables or a scheme.
fn widest(limits: Limits) -> Limits {
    Limits {
        bytes: limits.bytes.max(Limits::TABLE.bytes),
        nodes: limits.nodes.max(Limits::TABLE.nodes),
        ..limits
    }
}
