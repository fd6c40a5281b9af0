//! From a file that passed the gate to a type.
//!
//! serde says what is wrong in its own words; here they are told from each
//! other, said in ours, and put where the file has the fault. One fault, the
//! first: whoever wants all of them decodes as [`super::Text`] and checks.

use std::marker::PhantomData;

use serde::de::{DeserializeOwned, DeserializeSeed};

use crate::diagnostic::{Diagnostic, Place, nearest};
use crate::language::{Sentence, Word};

use super::document::{Document, Kind, ROOT};
use super::expected;
use super::follow::{Fault, TWO_WAYS, Trail};

/// More of a value than this is not repeated in a message.
const MOST_SHOWN: usize = 40;

/// The document as a `T`, or the first fault in it.
///
/// `T` must be read without `flatten`, `untagged` or internally tagged enums:
/// they lose the places of faults and the words to say them. An enum whose
/// variants hold values is a mapping of one key.
///
/// ```
/// use counterbore::yaml::{Limits, Text, decode, gate};
///
/// #[derive(serde::Deserialize)]
/// struct Grid { from: Text }
///
/// let document = gate("tarnbeck.yml", b"from: 1.50\n", Limits::PLUGIN).expect("good YAML");
/// let grid: Grid = decode(&document).expect("a grid");
/// assert_eq!(grid.from.as_str(), "1.50");
/// ```
#[expect(
    clippy::result_large_err,
    reason = "once a file, and its fault is what people read"
)]
pub fn decode<T: DeserializeOwned>(document: &Document) -> Result<T, Diagnostic> {
    let trail = Trail::new(document);
    let yaml = serde_yaml::Deserializer::from_str(document.text());
    trail
        .follow(PhantomData::<T>)
        .deserialize(yaml)
        .map_err(|error| {
            let fault = trail.into_fault().unwrap_or_else(|| Fault {
                node: ROOT,
                on_key: false,
                message: error.to_string(),
            });
            Saying { document, fault }.diagnostic()
        })
}

/// A fault on its way into our words.
struct Saying<'a> {
    document: &'a Document,
    fault: Fault,
}

impl Saying<'_> {
    fn diagnostic(&self) -> Diagnostic {
        let words = expected::without_position(&self.fault.message);
        if words.starts_with("unknown field ") {
            self.unknown_key(words)
        } else if let Some(rest) = words.strip_prefix("missing field `") {
            self.missing_key(rest.trim_end_matches('`'))
        } else if words.starts_with("unknown variant ") {
            self.unknown_word(words)
        } else if words.starts_with("invalid ") {
            self.wrong_type(words)
        } else if words == TWO_WAYS {
            Diagnostic::error("two-ways", self.place(), words)
                .hint(sentence!("put it in quotes, on one line"))
        } else {
            let message = format!("{}{words}", self.lead());
            Diagnostic::error("bad-value", self.place(), message)
        }
    }

    fn unknown_key(&self, words: &str) -> Diagnostic {
        let Fault { node, .. } = self.fault;
        let key = self.document.name(node).unwrap_or_default();
        let above = self
            .document
            .path(self.document.nodes[node].parent as usize);
        let message = if above.is_root() {
            sentence!("`{key}` is not a key of this file", key)
        } else {
            sentence!("`{key}` is not a key of `{above}`", key, above)
        };
        let fault = Diagnostic::error("unknown-key", self.document.name_place(node), message);
        suggest(
            fault,
            key,
            &expected::choices(words),
            sentence!("the keys here are"),
        )
    }

    fn missing_key(&self, key: &str) -> Diagnostic {
        let path = self.document.path(self.fault.node);
        let message = if path.is_root() {
            sentence!("the key `{key}` is missing", key)
        } else {
            sentence!("the key `{key}` is missing in `{path}`", key, path)
        };
        let place = self.document.name_place(self.fault.node);
        Diagnostic::error("missing-key", place, message).hint(sentence!("add `{key}: ...`", key))
    }

    fn unknown_word(&self, words: &str) -> Diagnostic {
        let found = self.found();
        let message = sentence!(
            "{lead}{found} is not one of the words for this",
            lead = self.lead(),
            found
        );
        let fault = Diagnostic::error("unknown-word", self.place(), message);
        let word = found.trim_matches(['`', '"', '\'']);
        suggest(
            fault,
            word,
            &expected::choices(words),
            sentence!("the words are"),
        )
    }

    fn wrong_type(&self, words: &str) -> Diagnostic {
        let wanted = expected::in_plain_words(words);
        let found = match expected::length(words) {
            Some(1) => sentence!("1 value"),
            Some(length) => sentence!("{length} values", length),
            None => Sentence::showing(Word(self.found())),
        };
        let message = sentence!(
            "{lead}expected {wanted}, found {found}",
            lead = self.lead(),
            wanted = Word(wanted.clone()),
            found = found
        );
        let fault = Diagnostic::error("wrong-type", self.place(), message);
        if self.kind() == Kind::Quoted && expected::is_without_quotes(&wanted) {
            return fault.hint(sentence!("take the quotes away"));
        }
        fault
    }

    fn kind(&self) -> Kind {
        self.document.nodes[self.fault.node].kind
    }

    fn place(&self) -> Place {
        if self.fault.on_key {
            self.document.name_place(self.fault.node)
        } else {
            self.document.value_place(self.fault.node)
        }
    }

    /// Which value, so that the message stands alone.
    fn lead(&self) -> String {
        let path = self.document.path(self.fault.node);
        if path.is_root() {
            String::new()
        } else {
            format!("`{path}`: ")
        }
    }

    fn found(&self) -> String {
        if let (true, Some(name)) = (self.fault.on_key, self.document.name(self.fault.node)) {
            return format!("`{name}`");
        }
        match self.kind() {
            Kind::List => word!("a list").into(),
            Kind::Mapping => word!("a mapping").into(),
            Kind::Plain | Kind::Quoted => {
                let written = self.document.written(self.fault.node);
                let line = written.lines().next().unwrap_or_default();
                if line.chars().count() <= MOST_SHOWN {
                    return format!("`{line}`");
                }
                let start: String = line.chars().take(MOST_SHOWN).collect();
                format!("`{start}...`")
            }
        }
    }
}

/// Adds what could have been meant, and all that there is.
fn suggest(fault: Diagnostic, word: &str, choices: &[&str], lead: Sentence) -> Diagnostic {
    if choices.is_empty() {
        return fault.hint(sentence!("delete it"));
    }
    let words = format!("`{}`", choices.join("`, `"));
    let all = sentence!("{lead} {words}", lead = lead, words);
    fault.hint(match nearest(word, choices.iter().copied()) {
        Some(near) => sentence!("did you mean `{near}`? {all}", near, all = all),
        None => all,
    })
}
