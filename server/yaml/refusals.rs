//! What is said of YAML that is refused.

use crate::diagnostic::{Diagnostic, Place};

pub(super) fn empty(place: Place) -> Diagnostic {
    Diagnostic::error("empty", place, "nothing in the file")
}

pub(super) fn second_document(place: Place) -> Diagnostic {
    Diagnostic::error("documents", place, "a second document")
        .hint("one file, one document: put it into a file of its own")
}

pub(super) fn directive(place: Place) -> Diagnostic {
    Diagnostic::error("directive", place, "a YAML directive").hint("delete the line")
}

pub(super) fn too_deep(place: Place, most: usize) -> Diagnostic {
    let message = format!("lists and mappings stand more than {most} deep in each other");
    Diagnostic::error("too-deep", place, message)
}

pub(super) fn too_many(place: Place, most: usize) -> Diagnostic {
    Diagnostic::error(
        "too-many",
        place,
        format!("more than {most} keys and values"),
    )
    .hint("split the file into several")
}

pub(super) fn merge_key(place: Place) -> Diagnostic {
    Diagnostic::error("merge", place, "a merge key `<<`").hint("write the keys out")
}

pub(super) fn no_scalar_key(place: Place) -> Diagnostic {
    Diagnostic::error("key", place, "a key that is a list or a mapping")
        .hint("a key is one word or a text in quotes")
}

pub(super) fn anchor(place: Place) -> Diagnostic {
    Diagnostic::error("anchor", place, "an anchor `&`")
        .hint("delete it and write the value out where it is wanted")
}

pub(super) fn alias(place: Place) -> Diagnostic {
    Diagnostic::error("alias", place, "an alias `*`")
        .hint("write the value out, or put a text that begins with `*` in quotes")
}

pub(super) fn tag(place: Place) -> Diagnostic {
    Diagnostic::error("tag", place, "a tag `!`")
        .hint("delete it, or put a text that begins with `!` in quotes")
}

pub(super) fn null_word(place: Place, word: &str) -> Diagnostic {
    let message = format!("`{word}` means \"nothing\" in YAML");
    Diagnostic::error("null", place, message).hint(format!(
        "leave the key out; if the word is meant, quote it: \"{word}\""
    ))
}

pub(super) fn no_key(place: Place) -> Diagnostic {
    Diagnostic::error("null", place, "a key is missing")
        .hint("write a key before the colon; an empty text is \"\"")
}

pub(super) fn no_value(place: Place) -> Diagnostic {
    Diagnostic::error("null", place, "a value is missing")
        .hint("write a value, or leave the key out; an empty text is \"\"")
}

pub(super) fn duplicate_key(place: Place, first: Place, key: &str) -> Diagnostic {
    let message = format!("the key `{key}` stands here twice");
    Diagnostic::error("duplicate-key", place, message)
        .also(first, "first here")
        .hint("keep one of the two")
}

/// `info` is the parser's own sentence.
pub(super) fn syntax(place: Place, info: &str) -> Diagnostic {
    let message = format!("this is not YAML: {info}");
    let fault = Diagnostic::error("yaml-syntax", place, message);
    match remedy(info) {
        Some(remedy) => fault.hint(remedy),
        None => fault,
    }
}

/// What to do about the commonest slips, by a part of the parser's sentence.
fn remedy(info: &str) -> Option<&'static str> {
    const REMEDIES: [(&str, &str); 6] = [
        (
            "mapping values are not allowed",
            "put a text that has a colon and a space in quotes",
        ),
        (
            "simple key expect",
            "end the key with a colon and a space, and line it up with its neighbours",
        ),
        (
            "did not find expected key",
            "line the key up with its neighbours",
        ),
        (
            "',' or '}'",
            "close the brace, or put a comma before the next key",
        ),
        (
            "',' or ']'",
            "close the bracket, or put a comma before the next item",
        ),
        ("quoted scalar", "close the quotes"),
    ];
    REMEDIES
        .into_iter()
        .find(|(part, _)| info.contains(part))
        .map(|(_, remedy)| remedy)
}
