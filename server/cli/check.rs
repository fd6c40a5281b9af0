//! `counterbore check`: plug-ins and tables, every fault in its place.

use std::path::{Path, PathBuf};

use super::{Failure, UNREAD, print};
use crate::answer::{CheckAnswer, CheckedFile};
use crate::config::Config;
use crate::diagnostic::{Diagnostic, Place, Severity};
use crate::load::{self, Folder, LoadedTables};
use crate::problem::exit;
use crate::yaml::Limits;

/// One file that was looked at, with its text to show faults in.
struct Looked {
    name: String,
    text: String,
    faults: Vec<Diagnostic>,
}

/// Checks what is named, or all that the configuration names. The exit code says whether
/// anything is wrong; warnings alone are not.
pub fn check(config: &Config, paths: &[PathBuf], json: bool) -> u8 {
    let looked = looked(config, paths);
    let wrong = looked
        .iter()
        .flat_map(|one| &one.faults)
        .any(|fault| fault.severity == Severity::Error);
    let unread = looked
        .iter()
        .flat_map(|one| &one.faults)
        .any(|fault| UNREAD.contains(&fault.code));
    let answer = CheckAnswer::of(
        looked
            .iter()
            .map(|one| CheckedFile::of(&one.name, &one.faults))
            .collect(),
    );
    let printed = if json {
        super::pretty(&answer).and_then(|text| print(&text))
    } else {
        print(&said(&looked, &answer))
    };
    match printed {
        Err(problem) => super::outcome_of(Err(Failure::Problem(problem)), json),
        Ok(()) if unread => exit::COULD_NOT,
        Ok(()) if wrong => exit::NO,
        Ok(()) => exit::DONE,
    }
}

fn looked(config: &Config, paths: &[PathBuf]) -> Vec<Looked> {
    let tables = match load::tables(&config.tables.value) {
        Ok(tables) => tables,
        Err(faults) => return by_file(faults),
    };
    let limits = config.plugin_limits.value;
    let mut looked = by_file(tables.warnings.clone());
    if paths.is_empty() {
        looked.extend(by_file(load::languages(&config.tables.value).faults));
        looked.extend(plugins(&config.plugins.value, &tables, limits));
    }
    let mut folders = Vec::new();
    for path in paths {
        if path.join("glyphs.yml").exists() {
            looked.extend(folder_of_tables(path));
        } else if path.is_dir() {
            folders.push(Folder::At(path.clone()));
        } else {
            looked.push(file(path, &tables, limits));
        }
    }
    looked.extend(plugins(&folders, &tables, limits));
    looked
}

/// Faults of tables, arranged by the file that they are in.
fn by_file(faults: Vec<Diagnostic>) -> Vec<Looked> {
    let mut looked: Vec<Looked> = Vec::new();
    for fault in faults {
        let name = fault.place.file.to_string();
        match looked.iter_mut().find(|one| one.name == name) {
            Some(one) => one.faults.push(fault),
            None => looked.push(Looked {
                name,
                text: String::new(),
                faults: vec![fault],
            }),
        }
    }
    looked
}

/// The plug-ins of all folders together: no two may have one name.
fn plugins(folders: &[Folder], tables: &LoadedTables, limits: Limits) -> Vec<Looked> {
    let (mut files, mut unread) = (Vec::new(), Vec::new());
    for folder in folders {
        match load::plugins(folder, &tables.tables, limits) {
            Ok(more) => files.extend(more),
            Err(fault) => unread.push(fault),
        }
    }
    load::mark_twins(&mut files, &[]);
    let files = files.into_iter().map(|file| Looked {
        name: file.name,
        text: file.text,
        faults: file.diagnostics,
    });
    files.chain(by_file(unread)).collect()
}

/// A folder of tables, which say how glyphs are misread.
fn folder_of_tables(path: &Path) -> Vec<Looked> {
    let folder = Folder::At(path.to_owned());
    let name = path.display().to_string();
    let of_languages = load::languages(&folder).faults;
    if !of_languages.is_empty() {
        return by_file(of_languages);
    }
    match load::tables(&folder) {
        Ok(found) if found.warnings.is_empty() => vec![Looked {
            name,
            text: String::new(),
            faults: Vec::new(),
        }],
        Ok(found) => by_file(found.warnings),
        Err(faults) => by_file(faults),
    }
}

fn file(path: &Path, tables: &LoadedTables, limits: Limits) -> Looked {
    let name = path.display().to_string();
    match load::one_file(path, &name, limits) {
        Err(fault) => Looked {
            name,
            text: String::new(),
            faults: vec![fault],
        },
        Ok(bytes) => {
            let faults = load::faults(&name, &bytes, &tables.tables, limits);
            Looked {
                text: String::from_utf8_lossy(&bytes).into_owned(),
                name,
                faults,
            }
        }
    }
}

fn said(looked: &[Looked], answer: &CheckAnswer) -> String {
    let mut out = String::new();
    for one in looked {
        if one.faults.is_empty() {
            out += &format!("{}\n", say!("{file}: good", file = one.name));
        }
        for fault in &one.faults {
            out += &shown(fault, &one.text);
        }
    }
    let sum = say!(
        "errors: {errors}, warnings: {warnings}, files: {files}",
        errors = answer.errors,
        warnings = answer.warnings,
        files = looked.len()
    );
    out + &sum + "\n"
}

/// The line, and the place in the text where there is one.
fn shown(fault: &Diagnostic, text: &str) -> String {
    let line = format!("{fault}\n");
    if text.is_empty() || fault.place == Place::whole(fault.place.file.clone()) {
        return line;
    }
    let source = text
        .lines()
        .nth(fault.place.line.saturating_sub(1))
        .unwrap_or_default();
    let cut: String = source.chars().take(160).collect();
    let before = fault.place.column.saturating_sub(1);
    if before + fault.place.length > 160 {
        return line;
    }
    format!(
        "{line}    {cut}\n    {}{}\n",
        " ".repeat(before),
        "^".repeat(fault.place.length.max(1))
    )
}
