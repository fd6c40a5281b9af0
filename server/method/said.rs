//! The text of a method in the language in force.

use std::fmt;

use super::Method;
use crate::language::{number, word};

impl Method {
    /// The method in the language in force, as its `Display` is in English.
    pub fn said(&self) -> String {
        let parameters = self.beside_defaults();
        let parameters = parameters.map(|(name, text)| parameter(name, &text));
        let said: Vec<String> = std::iter::once(word(&self.row.name))
            .chain(parameters)
            .collect();
        said.join(" ")
    }
}

/// A method in the language in which it is shown, for a sentence that is kept.
#[derive(Clone, Debug)]
pub struct InWords(pub Method);

impl fmt::Display for InWords {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.0.said())
    }
}

/// The text that answers have for a method: the name of its row and the names of its parameters as words, the values with their decimal
/// sign: "inner edge, angle 40°" is "Innenkante, Winkel 40°" in German.
pub fn said(text: &str) -> String {
    let mut parts = text.split(", ");
    let row = word(parts.next().unwrap_or_default());
    let named = |part: &str| match part.split_once(' ') {
        Some((name, value)) => parameter(name, value),
        None => word(part),
    };
    let said: Vec<String> = std::iter::once(row).chain(parts.map(named)).collect();
    said.join(", ")
}

fn parameter(name: &str, value: &str) -> String {
    format!("{} {}", word(name), number(word(value)))
}
