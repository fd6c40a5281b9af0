//! One problem in a file that a person wrote.
//!
//! A [`Diagnostic`] says what was found and what was expected, where it stands
//! and, if there is one, what to do about it. It is read in three ways: as a
//! [`line`], as a [`snippet`] with a caret, and as [`json`].
//!
//! Nothing here finds problems or decides how many are shown; what goes wrong
//! while the program runs is not written in a file and does not belong here.

use crate::language::Sentence;

pub mod json;
pub mod line;
mod nearest;
mod place;
pub mod snippet;

pub use nearest::nearest;
pub use place::Place;

/// How much a problem matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The file cannot be used.
    Error,
    /// The file is used, but somebody should look.
    Warning,
}

impl Severity {
    /// The word for it: `error` or `warning`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Error => word!("error"),
            Self::Warning => word!("warning"),
        }
    }
}

/// One problem, complete in itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// Names the kind of problem, as `grid-end`; never changes once released.
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// Stands alone; lower case, no full stop.
    pub message: Sentence,
    /// Where the problem is.
    pub place: Place,
    /// A second place that belongs to it, with what is there: "first here".
    pub also: Option<(Place, Sentence)>,
    /// Something to do.
    pub hint: Option<Sentence>,
}

impl Diagnostic {
    /// A problem that makes the file unusable.
    pub fn error(code: &'static str, place: Place, message: impl Into<Sentence>) -> Self {
        Self::new(code, Severity::Error, place, message.into())
    }

    /// A problem that leaves the file usable.
    pub fn warning(code: &'static str, place: Place, message: impl Into<Sentence>) -> Self {
        Self::new(code, Severity::Warning, place, message.into())
    }

    /// The same with something to do.
    pub fn hint(mut self, hint: impl Into<Sentence>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// The same with a second place and what is there.
    pub fn also(mut self, place: Place, what: impl Into<Sentence>) -> Self {
        self.also = Some((place, what.into()));
        self
    }

    fn new(code: &'static str, severity: Severity, place: Place, message: Sentence) -> Self {
        Self {
            code,
            severity,
            message,
            place,
            also: None,
            hint: None,
        }
    }
}
