//! A sentence with names in braces.
//!
//! `{name}` stands for an argument; a brace that belongs to the sentence is written twice, as
//! for `format!`. No widths and no digits: a number is text before it comes here.

use std::fmt::{self, Display, Write};

/// One piece of a sentence.
enum Piece<'a> {
    Text(&'a str),
    Name(&'a str),
}

fn pieces(pattern: &str) -> impl Iterator<Item = Piece<'_>> {
    let mut rest = pattern;
    std::iter::from_fn(move || {
        let (piece, length) = first(rest)?;
        rest = &rest[length..];
        Some(piece)
    })
}

/// The first piece and its length in the pattern.
fn first(rest: &str) -> Option<(Piece<'_>, usize)> {
    if rest.is_empty() {
        return None;
    }
    if rest.starts_with("{{") || rest.starts_with("}}") {
        return Some((Piece::Text(&rest[..1]), 2));
    }
    if let Some(name) = rest.strip_prefix('{').and_then(name) {
        return Some((Piece::Name(name), name.len() + 2));
    }
    // A single brace that begins no name is text.
    let brace = |sign: char| matches!(sign, '{' | '}');
    let mut later = rest.char_indices().skip(1);
    let end = later
        .find(|(_, sign)| brace(*sign))
        .map_or(rest.len(), |(at, _)| at);
    Some((Piece::Text(&rest[..end]), end))
}

/// The name that ends at the next brace.
fn name(rest: &str) -> Option<&str> {
    let name = &rest[..rest.find('}')?];
    let sign = |sign: char| sign.is_ascii_lowercase() || sign == '_';
    (!name.is_empty() && name.chars().all(sign)).then_some(name)
}

/// The names in braces, sorted, each once.
pub fn names(pattern: &str) -> Vec<&str> {
    let mut names: Vec<&str> = pieces(pattern)
        .filter_map(|piece| match piece {
            Piece::Name(name) => Some(name),
            Piece::Text(_) => None,
        })
        .collect();
    names.sort_unstable();
    names.dedup();
    names
}

/// The sentence with its arguments; a name without one is left as it stands.
pub fn filled(pattern: &str, arguments: &[(&str, &dyn Display)]) -> String {
    let mut filled = String::with_capacity(pattern.len());
    let argument = |name: &str| {
        let mut arguments = arguments.iter();
        Some(arguments.find(|(known, _)| *known == name)?.1)
    };
    // Writing into a String does not fail.
    let _ = write_filled(&mut filled, pattern, argument);
    filled
}

/// The same, written out.
pub(super) fn write_filled<'a>(
    out: &mut impl Write,
    pattern: &str,
    argument: impl Fn(&str) -> Option<&'a dyn Display>,
) -> fmt::Result {
    for piece in pieces(pattern) {
        match piece {
            Piece::Text(text) => out.write_str(text)?,
            Piece::Name(name) => match argument(name) {
                Some(value) => write!(out, "{value}")?,
                None => write!(out, "{{{name}}}")?,
            },
        }
    }
    Ok(())
}
