//! The demo schemes and tables: loaded and run against their own examples, nothing more.

use std::path::Path;
use std::sync::Arc;

use counterbore::load::{self, Folder};
use counterbore::scheme::{Scheme, Tables};
use counterbore::yaml::Limits;

fn folder(name: &str) -> Folder {
    Folder::At(Path::new(env!("CARGO_MANIFEST_DIR")).join(name))
}

/// The tables of the house.
pub fn demo_tables() -> Arc<Tables> {
    load::tables(&folder("tables"))
        .unwrap_or_else(|faults| panic!("{}", faults[0]))
        .tables
}

/// The schemes of the house.
pub fn demo_schemes() -> Vec<Arc<Scheme>> {
    let files = load::plugins(&folder("plugins"), &demo_tables(), Limits::CATALOGUE).unwrap();
    files.into_iter().filter_map(|file| file.scheme).collect()
}

#[test]
fn demo_schemes_have_no_faults_and_their_examples_hold() {
    let files = load::plugins(&folder("plugins"), &demo_tables(), Limits::CATALOGUE).unwrap();
    let faults: Vec<String> = files
        .iter()
        .flat_map(|file| &file.diagnostics)
        .map(ToString::to_string)
        .collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    let schemes: Vec<_> = files
        .iter()
        .filter_map(|file| file.scheme.as_ref())
        .collect();
    assert!(schemes.len() >= 6, "{} schemes", schemes.len());
    let rows: usize = schemes.iter().map(|scheme| scheme.entries.len()).sum();
    assert!(rows >= 300, "{rows} catalogue rows");
}

#[test]
fn what_is_built_in_is_what_lies_in_the_folders() {
    let built_in = load::plugins(&Folder::BuiltIn, &demo_tables(), Limits::CATALOGUE).unwrap();
    let hashes = |files: Vec<load::LoadedFile>| -> Vec<String> {
        files
            .into_iter()
            .filter_map(|file| file.scheme)
            .map(|scheme| scheme.hash.clone())
            .collect()
    };
    let in_folder = load::plugins(&folder("plugins"), &demo_tables(), Limits::CATALOGUE).unwrap();
    assert_eq!(hashes(built_in), hashes(in_folder));
}
