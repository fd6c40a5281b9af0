//! What may come in from a file, and what is said of the rest.
//!
//! 1. `hostile`: no small file can take the program's time or memory: what
//!    costs serde_yaml minutes or gigabytes is refused at once, by size, depth,
//!    number of nodes, or because it uses anchors.
//! 2. `refused`: whatever can be read in two ways is refused with its place:
//!    equal keys (both places), nulls, merge keys, tags, aliases, directives,
//!    several documents, keys that are no text, characters that cannot be seen.
//! 3. `places`: lines and columns are right with CR LF, wide characters, a byte
//!    order mark, in the first line, and in a last line without an end.
//! 4. `decoding`: what is stamped keeps its characters wherever it stands; a
//!    fault of type names what was found, what was expected, and where.
//! 5. `agreement`: the gate's parser and serde_yaml see the same tree in every
//!    file that passes; random bytes bring nobody down.
//! 6. Only one room of the program names the parsers, and it keeps away from
//!    the serde attributes that lose digits and places.

use std::path::{Path as FilePath, PathBuf};
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

use counterbore::diagnostic::Diagnostic;
use counterbore::yaml::{Document, Limits, gate};

mod agreement;
mod decoding;
mod hostile;
mod places;
mod refused;

/// Far more than any refusal takes on a slow machine, far less than the minutes
/// that the same files take without the gate.
const PATIENCE: Duration = Duration::from_secs(60);

/// Runs on a thread of its own, so that a hang is a failure.
fn in_time<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> T {
    let (done, result) = mpsc::channel();
    let worker = thread::spawn(move || {
        let _ = done.send(work());
    });
    match result.recv_timeout(PATIENCE) {
        Ok(value) => value,
        Err(mpsc::RecvTimeoutError::Timeout) => panic!("no answer within {PATIENCE:?}"),
        Err(mpsc::RecvTimeoutError::Disconnected) => match worker.join() {
            Err(panic) => std::panic::resume_unwind(panic),
            Ok(()) => unreachable!("a worker that ends well has sent its result"),
        },
    }
}

fn passed(text: &str) -> Document {
    gate("t.yml", text.as_bytes(), Limits::PLUGIN).expect("a file that should pass")
}

fn faults(bytes: impl Into<Vec<u8>>) -> Vec<Diagnostic> {
    let bytes = bytes.into();
    in_time(move || gate("t.yml", &bytes, Limits::PLUGIN).expect_err("a file that should not pass"))
}

/// `code@line:column`, for every fault.
fn codes(bytes: impl Into<Vec<u8>>) -> Vec<String> {
    let short = |fault: &Diagnostic| {
        let place = &fault.place;
        format!("{}@{}:{}", fault.code, place.line, place.column)
    };
    faults(bytes).iter().map(short).collect()
}

fn sources(folder: &FilePath, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|end| end == "rs") {
            found.push(path);
        }
    }
}

fn server() -> (PathBuf, Vec<PathBuf>) {
    let folder = FilePath::new(env!("CARGO_MANIFEST_DIR")).join("server");
    let mut found = Vec::new();
    sources(&folder, &mut found);
    (folder, found)
}

#[test]
fn only_this_room_names_the_parsers() {
    let (folder, files) = server();
    let room = folder.join("yaml");
    let named: Vec<_> = files
        .iter()
        .filter(|file| {
            let text = std::fs::read_to_string(file).unwrap();
            text.contains("serde_yaml") || text.contains("saphyr_parser")
        })
        .collect();
    assert!(
        named.iter().any(|file| file.starts_with(&room)),
        "{named:?}"
    );
    let elsewhere: Vec<_> = named
        .iter()
        .filter(|file| !file.starts_with(&room))
        .collect();
    assert!(elsewhere.is_empty(), "{elsewhere:?}");
}

#[test]
fn no_written_type_uses_what_loses_digits() {
    let (folder, files) = server();
    let written = ["yaml", "scheme"].map(|room| folder.join(room));
    for file in files {
        if !written.iter().any(|room| file.starts_with(room)) {
            continue;
        }
        let text = std::fs::read_to_string(&file).unwrap();
        for line in text.lines().filter(|line| line.contains("#[serde(")) {
            for word in ["flatten", "untagged", "tag ="] {
                assert!(!line.contains(word), "{}: {line}", file.display());
            }
        }
    }
}
