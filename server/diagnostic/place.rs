//! Where something stands in a file.
//!
//! Lines and columns count from one, columns and lengths in characters, as
//! editors show them. Line 0 means the file as a whole.

use std::fmt;
use std::sync::Arc;

/// A stretch of one line of one file.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// The name a person knows the file by; it need not be a path.
    pub file: Arc<str>,
    /// From 1; 0 for the whole file.
    pub line: usize,
    /// From 1, in characters; 0 for the whole file.
    pub column: usize,
    /// In characters; it never goes past the end of the line.
    pub length: usize,
}

impl Place {
    /// The file as a whole, for what has no line.
    pub fn whole(file: impl Into<Arc<str>>) -> Self {
        Self {
            file: file.into(),
            line: 0,
            column: 0,
            length: 0,
        }
    }

    /// Whether this means the file and no line of it.
    pub fn is_whole(&self) -> bool {
        self.line == 0
    }

    /// The column just past the last character.
    pub fn end_column(&self) -> usize {
        self.column + self.length
    }
}

impl fmt::Display for Place {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_whole() {
            return out.write_str(&self.file);
        }
        write!(out, "{}:{}:{}", self.file, self.line, self.column)
    }
}
