//! The demo schemes and tables: loaded and run against their own examples, nothing more.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use counterbore::scheme::{Scheme, Tables, check, tables};
use counterbore::stamp;
use counterbore::yaml::{Document, Limits, gate};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

fn documents(folder: &str, limits: Limits) -> Vec<Document> {
    let mut paths: Vec<PathBuf> = fs::read_dir(root().join(folder))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "yml"));
    paths.sort();
    let read = |path: &PathBuf| {
        let name = format!("{folder}/{}", path.file_name().unwrap().to_string_lossy());
        gate(&name, &fs::read(path).unwrap(), limits)
            .unwrap_or_else(|faults| panic!("{}", faults[0]))
    };
    paths.iter().map(read).collect()
}

/// The tables of the house.
pub fn demo_tables() -> Tables {
    let (tables, faults) = tables(&documents("tables", Limits::TABLE));
    assert!(faults.is_empty(), "{}", faults[0]);
    tables
}

/// The demo schemes, without faults.
pub fn demo_schemes() -> Vec<Arc<Scheme>> {
    let tables = demo_tables();
    let mut faults = Vec::new();
    let mut schemes = Vec::new();
    for document in documents("plugins", Limits::PLUGIN) {
        let (scheme, found) = check(&document, &tables);
        faults.extend(found);
        if let Some(scheme) = scheme.map(Arc::new) {
            faults.extend(stamp::verify(&scheme, &document));
            schemes.push(scheme);
        }
    }
    let lines: Vec<String> = faults.iter().map(ToString::to_string).collect();
    assert!(faults.is_empty(), "{}", lines.join("\n"));
    schemes
}

#[test]
fn demo_schemes_have_no_faults_and_their_examples_hold() {
    let schemes = demo_schemes();
    assert!(schemes.len() >= 6, "{} schemes", schemes.len());
    let rows: usize = schemes.iter().map(|scheme| scheme.entries.len()).sum();
    assert!(rows >= 300, "{rows} catalogue rows");
}
