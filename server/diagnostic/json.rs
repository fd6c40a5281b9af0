//! A problem as JSON, for editors and the programming interface.
//!
//! ```text
//! {"file": "plugins/tarnbeck.yml", "line": 14, "column": 17, "end_column": 21,
//!  "severity": "error", "code": "grid-end", "message": "...", "hint": "...", "also": null}
//! ```
//!
//! Every key is always there. `also` has a place and a message of its own.

use crate::language::Sentence;
use serde::{Serialize, Serializer};

use super::{Diagnostic, Place};

#[derive(Serialize)]
struct Shape<'a> {
    file: &'a str,
    line: usize,
    column: usize,
    end_column: usize,
    severity: &'static str,
    code: &'static str,
    message: String,
    hint: Option<String>,
    also: Option<Also<'a>>,
}

#[derive(Serialize)]
struct Also<'a> {
    file: &'a str,
    line: usize,
    column: usize,
    end_column: usize,
    message: String,
}

impl Serialize for Diagnostic {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let place = &self.place;
        Shape {
            file: &place.file,
            line: place.line,
            column: place.column,
            end_column: place.end_column(),
            severity: self.severity.word(),
            code: self.code,
            message: self.message.to_string(),
            hint: self.hint.as_ref().map(Sentence::to_string),
            also: self.also.as_ref().map(also),
        }
        .serialize(serializer)
    }
}

fn also((place, message): &(Place, Sentence)) -> Also<'_> {
    Also {
        file: &place.file,
        line: place.line,
        column: place.column,
        end_column: place.end_column(),
        message: message.to_string(),
    }
}
