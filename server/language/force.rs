//! The language in force on this thread.

use std::borrow::Cow;
use std::cell::RefCell;
use std::fmt::Display;
use std::sync::Arc;

use super::Catalogue;
use super::pattern::filled;

/// English, or a catalogue.
#[derive(Clone, Debug, Default)]
pub struct Language(Option<Arc<Catalogue>>);

impl PartialEq for Language {
    fn eq(&self, other: &Self) -> bool {
        self.tag() == other.tag()
    }
}

impl Language {
    /// What the sources are written in.
    pub const ENGLISH: Self = Self(None);

    pub(super) fn of(catalogue: Arc<Catalogue>) -> Self {
        Self(Some(catalogue))
    }

    /// Its tag (BCP 47).
    pub fn tag(&self) -> &str {
        self.0.as_ref().map_or("en", |catalogue| &catalogue.tag)
    }

    /// Its name in itself.
    pub fn name(&self) -> &str {
        self.0
            .as_ref()
            .map_or("English", |catalogue| &catalogue.name)
    }

    /// The English sentences that its catalogue has: plain ones, and those about a number of things.
    pub fn keys(&self) -> [Vec<&str>; 2] {
        let sentences = self.0.as_deref().map(Catalogue::sentences);
        let messages = sentences.map(|one| one.messages.keys().map(String::as_str).collect());
        let counted = sentences.map(|one| one.counted.keys().map(String::as_str).collect());
        [messages.unwrap_or_default(), counted.unwrap_or_default()]
    }

    /// What stands between units and tenths.
    pub fn decimal(&self) -> char {
        self.0.as_ref().map_or('.', |catalogue| catalogue.decimal)
    }
}

thread_local! {
    static IN_FORCE: RefCell<Language> = const { RefCell::new(Language::ENGLISH) };
}

/// Puts the language before back, also where the work breaks off.
struct Before(Language);

impl Drop for Before {
    fn drop(&mut self) {
        IN_FORCE.set(std::mem::take(&mut self.0));
    }
}

/// Does some work with a language in force on this thread; work that it hands to another
/// thread is in English there.
pub fn within<T>(language: &Language, work: impl FnOnce() -> T) -> T {
    let _before = Before(IN_FORCE.replace(language.clone()));
    work()
}

/// The language in force.
pub fn current() -> Language {
    IN_FORCE.with_borrow(Language::clone)
}

/// Whether that is English, as the sources are.
pub fn is_english() -> bool {
    IN_FORCE.with_borrow(|language| language.0.is_none())
}

fn with_catalogue<T>(work: impl FnOnce(&Catalogue) -> Option<T>) -> Option<T> {
    IN_FORCE.with_borrow(|language| language.0.as_deref().and_then(work))
}

/// What a constant or the word of a table is in the language in force; the word itself where no
/// catalogue has it. Braces in it are braces.
pub fn word(text: &str) -> String {
    sentence(text)
}

/// A text for a narrow place: long words with soft hyphens where the language in force says that they
/// may be broken.
pub fn breakable(text: &str) -> String {
    let broken = |catalogue: &Catalogue| {
        let breaks = catalogue.sentences().breaks.iter();
        Some(breaks.fold(text.to_owned(), |text, (word, broken)| {
            text.replace(word, broken)
        }))
    };
    with_catalogue(broken).unwrap_or_else(|| text.to_owned())
}

/// What stands between units and tenths in the language in force.
pub fn sign() -> char {
    with_catalogue(|catalogue| Some(catalogue.decimal)).unwrap_or('.')
}

/// Digits with a point, with the decimal sign of the language in force.
///
/// ```
/// assert_eq!(counterbore::language::number("16.34"), "16.34");
/// ```
pub fn number<'a>(digits: impl Into<Cow<'a, str>>) -> String {
    let digits = digits.into();
    match sign() {
        '.' => digits.into_owned(),
        sign => digits.replace('.', sign.encode_utf8(&mut [0; 4])),
    }
}

/// A sentence in the language in force with its names still in braces.
pub fn sentence(pattern: &str) -> String {
    with_catalogue(|catalogue| catalogue.sentences().messages.get(pattern).cloned())
        .unwrap_or_else(|| pattern.to_owned())
}

/// The same of a sentence about a number of things: for one, and for all others.
pub fn sentence_of([one, others]: [&str; 2], count: usize) -> String {
    let english = if count == 1 { one } else { others };
    with_catalogue(|catalogue| Some(catalogue.form(others, count)?.to_owned()))
        .unwrap_or_else(|| english.to_owned())
}

/// A sentence in the language in force; none in English, and none that the catalogue lacks.
#[doc(hidden)]
pub fn rendered(pattern: &str, arguments: &[(&str, &dyn Display)]) -> Option<String> {
    with_catalogue(|catalogue| {
        Some(filled(
            catalogue.sentences().messages.get(pattern)?,
            arguments,
        ))
    })
}

/// A sentence about a number of things in the language in force.
#[doc(hidden)]
pub fn rendered_count(
    patterns: [&str; 2],
    count: usize,
    arguments: &[(&str, &dyn Display)],
) -> String {
    filled(&sentence_of(patterns, count), arguments)
}
