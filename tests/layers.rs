//! The rooms and who may name whom.
//!
//! Proves, by reading the sources:
//! 1. a room names only rooms before it in `server/lib.rs`'s order;
//! 2. the pure rooms name no files, clock, environment, network or async;
//! 3. serde_yaml, saphyr_parser and fuzzy_matcher each stand behind one room.

use std::fs;
use std::path::{Path, PathBuf};

/// From the ground up.
const PURE: [&str; 14] = [
    "language",
    "diagnostic",
    "unit",
    "uncertainty",
    "profile",
    "method",
    "pairs",
    "route",
    "yaml",
    "scheme",
    "stamp",
    "words",
    "translate",
    "problem",
];

/// Above the pure rooms, from the ground up.
const OUTSIDE: [&str; 10] = [
    "load", "config", "snapshot", "reload", "fetch", "answer", "card", "paper", "web", "cli",
];

/// What a pure room never names.
const NOT_PURE: [&str; 8] = [
    "std::fs",
    "std::env",
    "std::net",
    "std::process",
    "std::time",
    "std::thread",
    "async fn",
    "tokio",
];

fn sources(room: &str) -> Vec<PathBuf> {
    let server = Path::new(env!("CARGO_MANIFEST_DIR")).join("server");
    let file = server.join(format!("{room}.rs"));
    if file.is_file() {
        return vec![file];
    }
    let mut found = Vec::new();
    let mut folders = vec![server.join(room)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap_or_else(|_| panic!("no room {room}")) {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                found.push(path);
            }
        }
    }
    assert!(!found.is_empty(), "no sources in room {room}");
    found
}

/// Lines of code, without comments.
fn code(path: &Path) -> Vec<(usize, String)> {
    let text = fs::read_to_string(path).unwrap();
    let lines = text
        .lines()
        .enumerate()
        .map(|(place, line)| (place + 1, line.to_owned()));
    lines
        .filter(|(_, line)| !line.trim_start().starts_with("//"))
        .collect()
}

#[test]
fn a_room_names_only_rooms_before_it() {
    let order: Vec<&str> = PURE.iter().chain(&OUTSIDE).copied().collect();
    let mut faults = Vec::new();
    for (place, room) in order.iter().enumerate() {
        for path in sources(room) {
            for (line, text) in code(&path) {
                for above in &order[place + 1..] {
                    if text.contains(&format!("crate::{above}::"))
                        || text.contains(&format!("crate::{above};"))
                    {
                        faults.push(format!("{}:{line}: {room} names {above}", path.display()));
                    }
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_room_has_its_place() {
    let server = Path::new(env!("CARGO_MANIFEST_DIR")).join("server");
    for entry in fs::read_dir(server).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let known = PURE.contains(&name.as_str()) || OUTSIDE.contains(&name.as_str());
        assert!(
            known || name == "lib" || name == "main",
            "{name} has no place in the order of the rooms"
        );
    }
}

#[test]
fn pure_rooms_name_nothing_outside() {
    let mut faults = Vec::new();
    for room in PURE {
        for path in sources(room) {
            for (line, text) in code(&path) {
                for word in NOT_PURE {
                    if text.contains(word) {
                        faults.push(format!("{}:{line}: {word}", path.display()));
                    }
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn crates_that_are_no_longer_developed_stand_behind_one_room() {
    for (name, home) in [
        ("serde_yaml", "yaml"),
        ("saphyr_parser", "yaml"),
        ("fuzzy_matcher", "words"),
    ] {
        for room in PURE.iter().chain(&OUTSIDE).filter(|room| **room != home) {
            for path in sources(room) {
                let named = code(&path)
                    .into_iter()
                    .find(|(_, text)| text.contains(name));
                assert!(named.is_none(), "{} names {name}", path.display());
            }
        }
    }
}
