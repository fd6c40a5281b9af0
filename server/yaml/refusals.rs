//! What is said of YAML that is refused.

use crate::diagnostic::{Diagnostic, Place};

pub(super) fn empty(place: Place) -> Diagnostic {
    Diagnostic::error("empty", place, sentence!("nothing in the file"))
}

pub(super) fn second_document(place: Place) -> Diagnostic {
    Diagnostic::error("documents", place, sentence!("a second document")).hint(sentence!(
        "one file, one document: put it into a file of its own"
    ))
}

pub(super) fn directive(place: Place) -> Diagnostic {
    Diagnostic::error("directive", place, sentence!("a YAML directive"))
        .hint(sentence!("delete the line"))
}

pub(super) fn too_deep(place: Place, most: usize) -> Diagnostic {
    let message = sentence!(
        "lists and mappings stand more than {most} deep in each other",
        most
    );
    Diagnostic::error("too-deep", place, message)
}

pub(super) fn too_many(place: Place, most: usize) -> Diagnostic {
    Diagnostic::error(
        "too-many",
        place,
        sentence!("more than {most} keys and values", most),
    )
    .hint(sentence!("split the file into several"))
}

pub(super) fn too_many_points(place: Place, most: usize) -> Diagnostic {
    Diagnostic::error(
        "too-many",
        place,
        sentence!("more than {most} points", most),
    )
    .hint(sentence!(
        "leave points out evenly, one of two say: a few hundred tell as much"
    ))
}

pub(super) fn merge_key(place: Place) -> Diagnostic {
    Diagnostic::error("merge", place, sentence!("a merge key `<<`"))
        .hint(sentence!("write the keys out"))
}

pub(super) fn no_scalar_key(place: Place) -> Diagnostic {
    Diagnostic::error("key", place, sentence!("a key that is a list or a mapping"))
        .hint(sentence!("a key is one word or a text in quotes"))
}

pub(super) fn anchor(place: Place) -> Diagnostic {
    Diagnostic::error("anchor", place, sentence!("an anchor `&`")).hint(sentence!(
        "delete it and write the value out where it is wanted"
    ))
}

pub(super) fn alias(place: Place) -> Diagnostic {
    Diagnostic::error("alias", place, sentence!("an alias `*`")).hint(sentence!(
        "write the value out, or put a text that begins with `*` in quotes"
    ))
}

pub(super) fn tag(place: Place) -> Diagnostic {
    Diagnostic::error("tag", place, sentence!("a tag `!`")).hint(sentence!(
        "delete it, or put a text that begins with `!` in quotes"
    ))
}

pub(super) fn null_word(place: Place, word: &str) -> Diagnostic {
    let message = sentence!("`{word}` means \"nothing\" in YAML", word);
    Diagnostic::error("null", place, message).hint(sentence!(
        "leave the key out; if the word is meant, quote it: \"{word}\"",
        word
    ))
}

pub(super) fn no_key(place: Place) -> Diagnostic {
    Diagnostic::error("null", place, sentence!("a key is missing")).hint(sentence!(
        "write a key before the colon; an empty text is \"\""
    ))
}

pub(super) fn no_value(place: Place) -> Diagnostic {
    Diagnostic::error("null", place, sentence!("a value is missing")).hint(sentence!(
        "write a value, or leave the key out; an empty text is \"\""
    ))
}

pub(super) fn duplicate_key(place: Place, first: Place, key: &str) -> Diagnostic {
    let message = sentence!("the key `{key}` stands here twice", key);
    Diagnostic::error("duplicate-key", place, message)
        .also(first, "first here")
        .hint(sentence!("keep one of the two"))
}

/// `info` is the parser's own sentence.
pub(super) fn syntax(place: Place, info: &str) -> Diagnostic {
    let message = sentence!("this is not YAML: {info}", info);
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
