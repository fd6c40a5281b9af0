//! The tables that all schemes lean on.

use std::sync::Arc;

use sha2::{Digest, Sha256};

use super::folder::{Folder, Kind, found};
use crate::diagnostic::{Diagnostic, Place, Severity};
use crate::scheme::{self, Tables};
use crate::yaml::{Document, gate};

/// Tables that can be used.
#[derive(Clone, Debug)]
pub struct LoadedTables {
    /// Methods, contour classes, gauges.
    pub tables: Arc<Tables>,
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
    for file in found(folder, Kind::Tables).map_err(|fault| vec![fault])? {
        let bytes = file.content.map_err(|fault| vec![fault]);
        let gated = bytes.and_then(|bytes| {
            digests.push(Sha256::digest(&bytes).into());
            gate(&file.name, &bytes, Kind::Tables.limits())
        });
        match gated {
            Ok(document) => documents.push(document),
            Err(more) => faults.extend(more),
        }
    }
    if documents.is_empty() && faults.is_empty() {
        faults.push(no_tables(folder));
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    meant(&documents, digests)
}

fn meant(documents: &[Document], digests: Vec<[u8; 32]>) -> Result<LoadedTables, Vec<Diagnostic>> {
    let (tables, diagnostics) = scheme::tables(documents);
    if diagnostics
        .iter()
        .any(|one| one.severity == Severity::Error)
    {
        return Err(diagnostics);
    }
    Ok(LoadedTables {
        tables: Arc::new(tables),
        warnings: diagnostics,
        digests,
    })
}

fn no_tables(folder: &Folder) -> Diagnostic {
    let message = "there is no table in this folder";
    Diagnostic::error("no-tables", Place::whole(folder.to_string()), message)
        .hint("name another folder in `tables`; `built in` stands for the tables in the program")
}
