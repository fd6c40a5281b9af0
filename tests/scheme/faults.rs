//! One broken file a kind of fault in `tests/faults`, with what is said of it beside it.

use std::fs;
use std::path::PathBuf;

use counterbore::diagnostic::{Diagnostic, Severity};
use counterbore::scheme::{CODES, check, tables};
use counterbore::yaml::{Document, Limits, gate};

use super::{checked, our_tables, passed, root, same_as_file, shown};

/// Their files would be too long to read: made below.
const LONG: [&str; 2] = ["more-faults", "too-many-entries"];

fn files() -> Vec<PathBuf> {
    let listed = fs::read_dir(root().join("tests/faults")).unwrap();
    let paths = listed.map(|entry| entry.unwrap().path());
    let mut files: Vec<PathBuf> = paths
        .filter(|path| path.extension().is_some_and(|ending| ending == "yml"))
        .collect();
    files.sort();
    files
}

/// What is said of a file, as a scheme or as a table.
fn found(document: &Document) -> Vec<Diagnostic> {
    if document
        .text()
        .lines()
        .any(|line| line.starts_with("scheme:"))
    {
        let (scheme, found) = check(document, &our_tables());
        let wrong = found.iter().any(|one| one.severity == Severity::Error);
        assert_eq!(
            scheme.is_none(),
            wrong,
            "{}: a scheme exactly where nothing is wrong",
            document.file()
        );
        found
    } else {
        tables(std::slice::from_ref(document)).1
    }
}

/// Each fault as a line, with the line of the file and a caret.
fn with_input(found: &[Diagnostic], text: &str) -> String {
    let mut out = String::new();
    for one in found {
        out += &format!("{one}\n");
        if let Some(line) = one
            .place
            .line
            .checked_sub(1)
            .and_then(|line| text.lines().nth(line))
        {
            let caret = " ".repeat(one.place.column - 1) + &"^".repeat(one.place.length);
            out += &format!("{:>4} | {line}\n     | {caret}\n", one.place.line);
        }
    }
    out
}

#[test]
fn each_broken_file_is_told_what_is_wrong() {
    for path in files() {
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        let text = fs::read_to_string(&path).unwrap();
        let document = gate(&format!("{name}.yml"), text.as_bytes(), Limits::PLUGIN).unwrap();
        let found = found(&document);
        let code = name.split("--").next().unwrap();
        assert!(
            found.iter().any(|one| one.code == code),
            "{name}: {}",
            shown(&found)
        );
        same_as_file(&path.with_extension("expected"), &with_input(&found, &text));
    }
}

#[test]
fn every_kind_of_fault_has_a_broken_file() {
    let names: Vec<String> = files()
        .iter()
        .map(|path| path.file_stem().unwrap().to_str().unwrap().to_owned())
        .collect();
    let lacking: Vec<&str> = CODES
        .into_iter()
        .filter(|code| !LONG.contains(code))
        .filter(|code| {
            !names
                .iter()
                .any(|name| name.split("--").next() == Some(code))
        })
        .collect();
    assert_eq!(lacking, Vec::<&str>::new());
}

#[test]
fn every_error_can_be_found_by_its_place() {
    for path in files() {
        let text = fs::read_to_string(&path).unwrap();
        for one in found(&passed("t.yml", &text)) {
            let of_the_whole_file = ["no-source", "no-table"].contains(&one.code);
            assert!(
                one.place.line > 0 || of_the_whole_file,
                "{}: {one}",
                path.display()
            );
        }
    }
}

const HEAD: &str = "scheme: brindlow\ntitle: Brindlow (invented)\nserves: trumpet\nrevision: 1\nsource: invented\n";

#[test]
fn a_catalogue_has_an_end() {
    let also: Vec<String> = (0..100_000).map(|number| number.to_string()).collect();
    let text = format!(
        "{HEAD}entries:\n  columns: [name, also]\n  rows:\n    - [A1, \"{}\"]\nstamps:\n  - {{part: one-piece, template: \"{{entry}}\"}}\n",
        also.join(";")
    );
    let (scheme, found) = checked("t.yml", &text);
    assert!(scheme.is_none());
    assert_eq!(found.len(), 1, "{}", shown(&found));
    assert_eq!(found[0].code, "too-many-entries");
    assert_eq!(
        found[0].message,
        "100001 spellings; a catalogue may have 100000"
    );
}

#[test]
fn nobody_is_told_more_faults_than_can_be_mended() {
    let rows: String = (0..1000)
        .map(|row| format!("    - [A{row}, nowhere]\n"))
        .collect();
    let text = format!("{HEAD}entries:\n  columns: [name, series]\n  rows:\n{rows}");
    let (scheme, found) = checked("t.yml", &text);
    assert!(scheme.is_none());
    let last = found.last().unwrap();
    assert_eq!((last.code, last.severity), ("more-faults", Severity::Error));
    assert_eq!(
        last.message.to_string(),
        format!("{} more faults are not shown", 1000 - (found.len() - 1))
    );
}

#[test]
fn all_faults_of_a_file_are_told_at_once_and_none_twice() {
    let text = format!(
        "{HEAD}figures:\n  rim: {{quantity: rim inner diameter, method: edge, unit: mm, grid: {{from: 15, to: 17, step: 3}}, unmarked: 16}}\nstamps:\n  - {{part: onepiece, template: \"{{rim}}{{dept}}\"}}\n"
    );
    let (_, found) = checked("t.yml", &text);
    let codes: Vec<&str> = found.iter().map(|one| one.code).collect();
    assert_eq!(
        codes,
        ["unknown-method", "grid-end", "unknown-part", "template"],
        "{}",
        shown(&found)
    );
}
