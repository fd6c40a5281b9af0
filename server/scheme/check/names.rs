//! Names of things, each spelled so that commands and templates can hold it and
//! standing once.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use crate::language::Word;
use crate::scheme::faults::{Faults, Finding, Spot};
use crate::yaml::{Path, Text};

/// Words that templates read as something of their own.
const IN_TEMPLATES: [&str; 2] = ["series", "entry"];

/// Words that catalogues and marks read as something of their own.
const IN_ENTRIES_AND_MARKS: [&str; 11] = [
    "name", "also", "from", "until", "note", "crest", "edge", "join", "wall", "seam", "form",
];

/// A scheme's name: lower-case letters, digits, hyphens.
pub(super) fn id(text: &str, path: &Path, faults: &mut Faults<'_>) {
    if text == EVERY_SCHEME {
        let message = sentence!(
            "a scheme cannot be called `{text}`, which means every scheme",
            text
        );
        faults.error(
            path,
            Finding::new("name-taken", message).hint(sentence!("rename it")),
        );
    }
    if !spelled(text, "-") {
        let message = sentence!("`{text}` cannot be the name of a scheme", text);
        let hint = sentence!("use lower-case letters, digits and hyphens, a letter first");
        faults.error(path, Finding::new("bad-name", message).hint(hint));
    }
    short(
        word!("the name of a scheme"),
        text,
        LONGEST_ID,
        path,
        faults,
    );
}

/// A scheme's title: addresses, screens and cards have to hold it.
pub(super) fn title(text: &str, path: &Path, faults: &mut Faults<'_>) {
    short(word!("a title"), text, LONGEST_TITLE, path, faults);
}

/// What questions say for every scheme.
const EVERY_SCHEME: &str = "all";

/// In characters.
const LONGEST_ID: usize = 64;
const LONGEST_TITLE: usize = 120;

fn short(what: &str, text: &str, most: usize, path: &Path, faults: &mut Faults<'_>) {
    let length = text.chars().count();
    if length > most {
        let message = sentence!(
            "{what} of {length} characters; expected {most} at most",
            what = Word(what.to_owned()),
            length,
            most
        );
        faults.error(
            path,
            Finding::new("bad-name", message).hint(sentence!("shorten it")),
        );
    }
}

/// The names of figures, of series or of marks.
pub(super) fn names<'a>(
    what: &str,
    names: impl Iterator<Item = &'a Text>,
    path: &Path,
    faults: &mut Faults<'_>,
) {
    for name in names.filter(|name| !spelled(name, "-_")) {
        let message = sentence!(
            "`{name}` cannot be the name of a {what}",
            name,
            what = Word(what.to_owned())
        );
        let hint =
            sentence!("use lower-case letters, digits, hyphens and underscores, a letter first");
        faults.error_on(
            &Spot::Key(path.key(name)),
            Finding::new("bad-name", message).hint(hint),
        );
    }
}

fn spelled(text: &str, signs: &str) -> bool {
    text.starts_with(|first: char| first.is_ascii_lowercase())
        && text
            .chars()
            .all(|one| one.is_ascii_lowercase() || one.is_ascii_digit() || signs.contains(one))
}

/// Templates, columns and marks know figures and marks by bare names, so none may mean two
/// things.
pub(super) fn apart<'a>(
    figures: impl Iterator<Item = &'a Text>,
    marks: impl Iterator<Item = &'a Text>,
    faults: &mut Faults<'_>,
) {
    let mut seen = HashMap::new();
    let path = Path::root().key("figures");
    for name in figures {
        let spot = Spot::Key(path.key(name));
        let other = [&IN_TEMPLATES[..], &IN_ENTRIES_AND_MARKS[..]].concat();
        taken(word!("figure"), name, &other, &spot, faults);
        seen.insert(name.as_str(), spot);
    }
    let path = Path::root().key("marks");
    for name in marks {
        let spot = Spot::Key(path.key(name));
        taken(word!("mark"), name, &IN_TEMPLATES, &spot, faults);
        if let Some(first) = seen.get(name.as_str()) {
            let message = sentence!("`{name}` is a figure and a mark", name);
            let finding = Finding::new("name-taken", message).hint(sentence!("rename one of them"));
            faults.twice(&spot, first, finding);
        }
    }
}

fn taken(what: &str, name: &str, others: &[&str], spot: &Spot, faults: &mut Faults<'_>) {
    if others.contains(&name) {
        let message = sentence!(
            "a {what} cannot be called `{name}`, which means something else",
            what = Word(what.to_owned()),
            name
        );
        faults.error_on(
            spot,
            Finding::new("name-taken", message).hint(sentence!("rename it")),
        );
    }
}

/// The spelling by which equal signs are found.
pub(super) fn folded(text: &str, case_matters: bool) -> String {
    match case_matters {
        true => text.trim().to_owned(),
        false => text.trim().to_lowercase(),
    }
}

/// Spellings, each with where it stands; one that came before is a fault.
pub(super) struct Spellings {
    case_matters: bool,
    seen: HashMap<String, Spot>,
}

impl Spellings {
    pub fn new(case_matters: bool) -> Self {
        Self {
            case_matters,
            seen: HashMap::new(),
        }
    }

    /// Adds one; `what` is what may have each spelling once, as "sign of this figure".
    pub fn add(&mut self, text: &str, what: &str, spot: Spot, faults: &mut Faults<'_>) {
        if text.trim().is_empty() {
            let finding = Finding::new(
                "no-spelling",
                sentence!(
                    "a {what} is spelled with nothing",
                    what = Word(what.to_owned())
                ),
            );
            return faults.error_on(&spot, finding);
        }
        match self.seen.entry(folded(text, self.case_matters)) {
            Entry::Occupied(first) => {
                let finding = Finding::new(
                    "same-spelling",
                    sentence!(
                        "another {what} is spelled `{text}`",
                        what = Word(what.to_owned()),
                        text
                    ),
                );
                faults.twice(&spot, first.get(), finding);
            }
            Entry::Vacant(free) => {
                free.insert(spot);
            }
        }
    }
}
