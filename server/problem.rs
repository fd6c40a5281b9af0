//! What can go wrong with a question, in one table.
//!
//! Each problem has a code that never changes once released, an HTTP status, an exit
//! code, one sentence, and a hint where there is something to do. "Nothing found"
//! at the counter is an answer with exit code 1; "cannot be compared" is no problem at
//! all. Causes inside the machine go to the log and not to the client.

use crate::language::{Sentence, word};
use serde::Serialize;

/// Exit codes of the command line.
pub mod exit {
    /// Done.
    pub const DONE: u8 = 0;
    /// The answer is no: nothing matches, a table is wrong.
    pub const NO: u8 = 1;
    /// Wrong usage.
    pub const USAGE: u8 = 2;
    /// Could not: input or output, a port that is taken.
    pub const COULD_NOT: u8 = 3;
}

/// The kinds of problem.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// No scheme reads the stamp.
    NothingMatches,
    /// No scheme of that name.
    UnknownScheme,
    /// There is no such page or question.
    NotFound,
    /// Nothing was asked.
    Empty,
    /// More text than a stamp can have.
    TooLong,
    /// A gauge value that cannot be read.
    BadGauge,
    /// A wish that cannot be read, says nothing or contradicts another.
    BadWish,
    /// A parameter that cannot be read.
    BadParameter,
    /// A table is wrong.
    BadTable,
    /// Another question takes all that there is to give.
    Busy,
    /// Reading or writing failed.
    CouldNot,
}

impl Kind {
    /// Code, HTTP status, exit code.
    fn row(self) -> (&'static str, u16, u8) {
        match self {
            Self::NothingMatches => ("nothing-matches", 404, exit::NO),
            Self::UnknownScheme => ("unknown-scheme", 404, exit::USAGE),
            Self::NotFound => ("not-found", 404, exit::USAGE),
            Self::Empty => ("empty", 400, exit::USAGE),
            Self::TooLong => ("too-long", 400, exit::USAGE),
            Self::BadGauge => ("bad-gauge", 400, exit::USAGE),
            Self::BadWish => ("bad-wish", 400, exit::USAGE),
            Self::BadParameter => ("bad-parameter", 400, exit::USAGE),
            Self::BadTable => ("bad-table", 422, exit::NO),
            Self::Busy => ("busy", 503, exit::COULD_NOT),
            Self::CouldNot => ("could-not", 500, exit::COULD_NOT),
        }
    }
}

/// A problem, as data.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Of which kind.
    pub kind: Kind,
    /// One sentence, said when it is shown.
    pub message: Sentence,
    /// What to do.
    pub hint: Option<Sentence>,
}

impl Problem {
    /// A problem in one sentence.
    pub fn new(kind: Kind, message: impl Into<Sentence>) -> Self {
        Self {
            kind,
            message: message.into(),
            hint: None,
        }
    }

    /// With something to do.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<Sentence>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// The code, for programs.
    pub fn code(&self) -> &'static str {
        self.kind.row().0
    }

    /// The HTTP status.
    pub fn status(&self) -> u16 {
        self.kind.row().1
    }

    /// The exit code.
    pub fn exit(&self) -> u8 {
        self.kind.row().2
    }

    /// As problem details (RFC 9457), in the language in force.
    pub fn details(&self) -> ProblemDetails {
        ProblemDetails {
            kind: format!("/help#{}", self.code()),
            title: word(&self.code().replace('-', " ")),
            status: self.status(),
            code: self.code().to_owned(),
            detail: self.message.to_string(),
            hint: self.hint.as_ref().map(Sentence::to_string),
        }
    }
}

/// A problem as it leaves the program in JSON (RFC 9457).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct ProblemDetails {
    /// Where the code is explained.
    #[serde(rename = "type")]
    pub kind: String,
    /// The code in words.
    pub title: String,
    /// HTTP status.
    pub status: u16,
    /// The code.
    pub code: String,
    /// One sentence.
    pub detail: String,
    /// What to do.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hint: Option<String>,
}
