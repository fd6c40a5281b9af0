//! Schemes and tables: what is read from them, and what is said of their faults.
//!
//! 1. `faults`: every kind of fault is found, with its place and a way to mend it; all
//!    faults of a file are told at once.
//! 2. `grid`: numbers keep their digits, and what is not made has its neighbours.
//! 3. `signs`: fractions, drills, running numbers and words state what they should.
//! 4. `entries`: a catalogue is read as it is written, however often a name comes back.
//! 5. `make`: what is stamped stands over the entry, that over the series, that over what
//!    holds unmarked; marks set, add and multiply.
//! 6. `schema`: editors are told of the keys that there are, and the manual of each.
//! 7. `mutated`: whatever a file says, checking it comes to an end.
//! 8. `traces`: measured points are of the metal that has no other figures.
//! 9. The schemes shown in the manual have no fault.

use std::fs;
use std::path::{Path, PathBuf};

use counterbore::diagnostic::Diagnostic;
use counterbore::scheme::{Scheme, Tables, check, tables};
use counterbore::yaml::{Document, Limits, gate};

mod entries;
mod faults;
mod grid;
mod make;
mod mutated;
mod schema;
mod signs;
mod traces;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn passed(file: &str, text: &str) -> Document {
    gate(file, text.as_bytes(), Limits::PLUGIN).expect("a file that passes the gate")
}

/// The tables of the project.
fn our_tables() -> Tables {
    let read = |file: &str| {
        let text = fs::read_to_string(root().join("tables").join(file)).unwrap();
        passed(file, &text)
    };
    let (tables, found) = tables(&["methods.yml", "contours.yml", "drills.yml"].map(read));
    assert_eq!(shown(&found), "", "our own tables");
    tables
}

fn checked(file: &str, text: &str) -> (Option<Scheme>, Vec<Diagnostic>) {
    check(&passed(file, text), &our_tables())
}

/// A scheme without a fault, or the panic says what is wrong.
fn good(text: &str) -> Scheme {
    let (scheme, found) = checked("good.yml", text);
    scheme.unwrap_or_else(|| panic!("{}", shown(&found)))
}

/// A scheme of `tests/plugins`.
fn plugin(file: &str) -> Scheme {
    good(&fs::read_to_string(root().join("tests/plugins").join(file)).unwrap())
}

fn shown(found: &[Diagnostic]) -> String {
    found.iter().map(|one| format!("{one}\n")).collect()
}

/// Compares with a committed file, or writes it where `UPDATE` is set.
fn same_as_file(path: &Path, text: &str) {
    if std::env::var_os("UPDATE").is_some() {
        return fs::write(path, text).unwrap();
    }
    let expected = fs::read_to_string(path).unwrap_or_default();
    assert!(
        expected == text,
        "{} differs; read the change, then run with UPDATE=1\n--- committed\n{expected}\n--- now\n{text}",
        path.display()
    );
}

#[test]
fn the_schemes_in_the_manual_have_no_fault() {
    let manual = fs::read_to_string(root().join("plugins/README.md")).unwrap();
    let shown_schemes = manual
        .split("```yaml\n")
        .skip(1)
        .filter_map(|rest| rest.split("```").next());
    let schemes: Vec<&str> = shown_schemes.collect();
    assert!(!schemes.is_empty());
    for text in schemes {
        let (scheme, found) = checked("README.md", text);
        assert_eq!(shown(&found), "");
        assert_eq!(scheme.unwrap().id, "brindlow");
    }
}
