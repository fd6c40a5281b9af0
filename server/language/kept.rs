//! A sentence that outlives the question: its pattern and what fills it, said when it is shown.
//!
//! What is kept from question to question (routes, sources of uncertainty, problems in files) has
//! these in place of text, so that each reader has it in the own language. Words of plug-ins
//! are text and stay as they are.

use std::fmt;
use std::sync::Arc;

use super::pattern::write_filled;
use super::{number, sentence, word};

/// What fills a name in braces: said each time it is shown.
type Filling = Arc<dyn fmt::Display + Send + Sync>;

/// A sentence, or a text that is no language's.
#[derive(Clone)]
pub struct Sentence(Kept);

#[derive(Clone)]
enum Kept {
    Text(Arc<str>),
    Pattern(&'static str, Arc<[(&'static str, Filling)]>),
}

impl Sentence {
    /// From an English pattern and what fills it; [`sentence!`](crate::sentence) holds the catalogues
    /// to have it.
    #[doc(hidden)]
    pub fn of(pattern: &'static str, fillings: Vec<(&'static str, Filling)>) -> Self {
        Self(Kept::Pattern(pattern, fillings.into()))
    }

    /// What says itself in the language in which it is shown, as an error does.
    pub fn showing(it: impl fmt::Display + Send + Sync + 'static) -> Self {
        Self::of("{it}", vec![("it", Arc::new(it))])
    }
}

impl From<String> for Sentence {
    fn from(text: String) -> Self {
        Self(Kept::Text(text.into()))
    }
}

impl From<&str> for Sentence {
    fn from(text: &str) -> Self {
        Self(Kept::Text(text.into()))
    }
}

impl fmt::Display for Sentence {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0 {
            Kept::Text(text) => out.write_str(text),
            Kept::Pattern(pattern, fillings) => {
                let filling = |name: &str| {
                    let mut fillings = fillings.iter();
                    let known = fillings.find(|(known, _)| *known == name)?;
                    Some(&*known.1 as &dyn fmt::Display)
                };
                write_filled(out, &sentence(pattern), filling)
            }
        }
    }
}

impl fmt::Debug for Sentence {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:?}", self.to_string())
    }
}

impl PartialEq for Sentence {
    fn eq(&self, other: &Self) -> bool {
        match (&self.0, &other.0) {
            (Kept::Pattern(one, _), Kept::Pattern(other, _)) if one != other => false,
            _ => self.to_string() == other.to_string(),
        }
    }
}

impl Eq for Sentence {}

impl PartialEq<&str> for Sentence {
    fn eq(&self, other: &&str) -> bool {
        self.to_string() == **other
    }
}

/// The word of a constant or a table, in the language in which it is shown.
#[derive(Clone, Debug)]
pub struct Word<T>(pub T);

impl<T: AsRef<str>> fmt::Display for Word<T> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&word(self.0.as_ref()))
    }
}

/// Digits with a point, shown with the decimal sign of the language in force.
#[derive(Clone, Debug)]
pub struct Digits(pub String);

impl fmt::Display for Digits {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&number(self.0.as_str()))
    }
}

/// Sentences one behind the other, with a sign or a word between them.
#[derive(Clone, Debug)]
pub struct Row(pub Vec<Sentence>, pub &'static str);

impl fmt::Display for Row {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, one) in self.0.iter().enumerate() {
            if place > 0 {
                out.write_str(&word(self.1))?;
            }
            one.fmt(out)?;
        }
        Ok(())
    }
}
