//! Catalogues of the languages beside English.
//!
//! ```text
//! <built in>/tables/language/de.yml --+
//!                                     +--> one catalogue a tag, the shop's sentences over ours
//! TABLES/language/*.yml --------------+
//! ```
//!
//! A catalogue in the program is good (a test holds that), so only its head is read at once, and
//! its sentences when somebody is spoken to in it. A shop's is checked as it is loaded, unless it is
//! the program's, byte by byte.
//!
//! The name of a file is the tag of its language. A file that cannot be used is left out with
//! its faults: sentences stay as they were, and no answer changes but in its words.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::path::Path as FilePath;

use serde::Deserialize;
use sha2::{Digest, Sha256};

use super::embedded;
use super::folder::{Folder, Found, Kind, found};
use crate::diagnostic::Diagnostic;
use crate::language::{Catalogue, Languages, Sentences, names};
use crate::yaml::{Document, Limits, Ordered, Path, Text, decode, gate};

/// The folder of the catalogues within that of the tables.
pub(super) const FOLDER: &str = "language";

/// Languages that can be used.
#[derive(Clone, Debug)]
pub struct LoadedLanguages {
    /// English and all catalogues.
    pub languages: Languages,
    /// What is wrong with files that were left out.
    pub faults: Vec<Diagnostic>,
    /// SHA-256 over the content of all files in force.
    pub(crate) digest: [u8; 32],
}

/// A catalogue as written.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    /// The language's name in itself.
    language: Text,
    /// What stands between units and tenths: one sign.
    decimal: Text,
    /// Sentences by the English ones.
    #[serde(default)]
    messages: Ordered<Text>,
    /// Sentences about a number of things, each by plural category (CLDR).
    #[serde(default)]
    counted: Ordered<Ordered<Text>>,
    /// Long words with [`BREAK`] where they may be broken in a narrow place.
    #[serde(default)]
    breaks: Vec<Text>,
}

/// Where a word may be broken: nobody sees a soft hyphen in an editor.
const BREAK: char = '·';

/// A catalogue that is good.
pub(super) struct Checked {
    tag: String,
    name: String,
    decimal: char,
    sentences: Sentences,
}

/// The catalogues in the program and, over them, those beside a shop's tables.
pub fn languages(tables: &Folder) -> LoadedLanguages {
    let (mut faults, mut sum) = (Vec::new(), Sha256::new());
    let mut of_shop: BTreeMap<String, Checked> = BTreeMap::new();
    for file in found_beside(tables) {
        if embedded::holds_language(&file) {
            continue;
        }
        match read(&file) {
            Ok(checked) => {
                sum.update(file.content.as_deref().unwrap_or_default());
                of_shop.insert(checked.tag.clone(), checked);
            }
            Err(more) => faults.extend(more),
        }
    }
    let mut catalogues = Vec::new();
    for (file, digest) in embedded::languages() {
        sum.update(digest);
        let over = of_shop.remove(stem(&file));
        catalogues.extend(built_in(file, over));
    }
    let further = of_shop.into_values();
    catalogues.extend(further.map(|one| {
        let sentences = one.sentences;
        Catalogue::new(one.tag, one.name, one.decimal, move || sentences)
    }));
    LoadedLanguages {
        languages: Languages::new(catalogues),
        faults,
        digest: sum.finalize().into(),
    }
}

/// A catalogue in the program, under the sentences of a shop.
fn built_in(file: String, over: Option<Checked>) -> Option<Catalogue> {
    let head = head(&file)?;
    let (name, decimal) = match &over {
        Some(over) => (over.name.clone(), over.decimal),
        None => (head.name, head.decimal),
    };
    Some(Catalogue::new(head.tag, name, decimal, move || {
        let checked = embedded::language(&file).and_then(|found| read(&found).ok());
        let mut sentences = checked.map_or_else(Sentences::default, |one| one.sentences);
        sentences.overlay(over.map_or_else(Sentences::default, |one| one.sentences));
        sentences
    }))
}

/// What stands before the sentences of a catalogue in the program.
fn head(file: &str) -> Option<Checked> {
    let mut found = embedded::language(file)?;
    let bytes = found.content.as_mut().ok()?;
    let end = bytes.windows(MESSAGES.len()).position(|at| at == MESSAGES);
    bytes.truncate(end.unwrap_or(bytes.len()));
    read(&found).ok()
}

/// Where the sentences begin.
const MESSAGES: &[u8] = b"\nmessages:";

/// The folder of catalogues beside a shop's tables, where there is one.
pub(super) fn beside(tables: &Folder) -> Option<Folder> {
    let folder = tables.path()?.join(FOLDER);
    folder.is_dir().then_some(Folder::At(folder))
}

fn found_beside(tables: &Folder) -> Vec<Found> {
    let folder = beside(tables);
    let files = folder.and_then(|folder| found(&folder, Kind::Tables, Limits::TABLE).ok());
    files.unwrap_or_default()
}

fn read(file: &Found) -> Result<Checked, Vec<Diagnostic>> {
    let bytes = file.content.as_ref().map_err(|fault| vec![fault.clone()])?;
    let document = gate(&file.name, bytes, Limits::TABLE)?;
    catalogue(&document)
}

/// A catalogue, or everything that is wrong with it.
pub(super) fn catalogue(document: &Document) -> Result<Checked, Vec<Diagnostic>> {
    let written: Written = decode(document).map_err(|fault| vec![fault])?;
    let tag = stem(document.file()).to_owned();
    let mut check = Check {
        document,
        faults: Vec::new(),
    };
    let decimal = check.decimal(&written.decimal);
    check.messages(&written.messages);
    check.counted(&tag, &written.counted);
    if !check.faults.is_empty() {
        return Err(check.faults);
    }
    let texts = |written: Ordered<Text>| {
        written
            .into_iter()
            .map(|(key, text)| (key.into(), text.into()))
    };
    Ok(Checked {
        tag,
        name: written.language.into(),
        decimal,
        sentences: Sentences {
            messages: texts(written.messages).collect(),
            counted: written
                .counted
                .into_iter()
                .map(|(key, forms)| (key.into(), texts(forms).collect()))
                .collect(),
            breaks: written.breaks.iter().map(|word| broken(word)).collect(),
        },
    })
}

/// A word, and the word with soft hyphens.
fn broken(written: &str) -> (String, String) {
    (written.replace(BREAK, ""), written.replace(BREAK, "\u{ad}"))
}

/// The tag of a file's language.
fn stem(file: &str) -> &str {
    let stem = FilePath::new(file).file_stem();
    stem.and_then(OsStr::to_str).unwrap_or_default()
}

/// What is wrong with a catalogue.
struct Check<'a> {
    document: &'a Document,
    faults: Vec<Diagnostic>,
}

impl Check<'_> {
    fn decimal(&mut self, written: &Text) -> char {
        let mut signs = written.chars();
        match (signs.next(), signs.next()) {
            (Some(sign), None) if !sign.is_alphanumeric() => sign,
            _ => {
                let message = sentence!(
                    "expected the sign between units and tenths, found `{written}`",
                    written
                );
                let place = self.document.place(&Path::root().key("decimal"));
                let fault = Diagnostic::error("not-a-decimal-sign", place, message);
                self.faults
                    .push(fault.hint(sentence!("write `\",\"` or `\".\"`")));
                '.'
            }
        }
    }

    fn messages(&mut self, messages: &Ordered<Text>) {
        let path = Path::root().key("messages");
        for (key, text) in messages.iter() {
            let (wanted, found) = (names(key), names(text));
            if wanted != found {
                self.names(&path.key(key), &wanted, &found);
            }
        }
    }

    /// One form for each plural category of the language; a form may leave the number unsaid.
    fn counted(&mut self, tag: &str, counted: &Ordered<Ordered<Text>>) {
        let path = Path::root().key("counted");
        let Some(categories) = Catalogue::categories(tag) else {
            let message = sentence!("`{tag}` is no tag of a language", tag);
            let place = self.document.place(&Path::root());
            let fault = Diagnostic::error("not-a-language", place, message);
            self.faults
                .push(fault.hint(sentence!("name the file by its tag (BCP 47), as `de.yml`")));
            return;
        };
        for (key, forms) in counted.iter() {
            let path = path.key(key);
            let found: Vec<&str> = forms
                .iter()
                .map(|(category, _)| category.as_str())
                .collect();
            if !same(&found, &categories) {
                let (wanted, found) = (categories.join(", "), found.join(", "));
                let message = sentence!(
                    "expected the plural forms {wanted}; found {found}",
                    wanted,
                    found
                );
                let place = self.document.place_of_key(&path);
                self.faults
                    .push(Diagnostic::error("plural-forms", place, message));
            }
            let with_count = names(key);
            let without: Vec<&str> = with_count
                .iter()
                .copied()
                .filter(|name| *name != "count")
                .collect();
            for (category, text) in forms.iter() {
                let found = names(text);
                if found != with_count && found != without {
                    self.names(&path.key(category), &with_count, &found);
                }
            }
        }
    }

    fn names(&mut self, path: &Path, wanted: &[&str], found: &[&str]) {
        let list = |names: &[&str]| match names {
            [] => "none".to_owned(),
            names => format!("{{{}}}", names.join("}, {")),
        };
        let message = sentence!(
            "expected the names of the English sentence, {wanted}; found {found}",
            wanted = list(wanted).to_string(),
            found = list(found).to_string()
        );
        let place = self.document.place(path);
        self.faults
            .push(Diagnostic::error("names-differ", place, message));
    }
}

fn same(found: &[&str], wanted: &[&str]) -> bool {
    found.len() == wanted.len() && wanted.iter().all(|one| found.contains(one))
}
