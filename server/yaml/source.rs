//! A file's text, and where its lines begin.

use std::ops::Range;
use std::sync::Arc;

use super::cursor::u32_of;
use crate::diagnostic::Place;

/// The text of one file with its name.
#[derive(Debug)]
pub(super) struct Source {
    pub file: Arc<str>,
    pub text: String,
    /// The byte at which each line begins.
    lines: Vec<u32>,
}

impl Source {
    /// The text must be under 4 GiB; the gate's limits see to that.
    pub fn new(file: &str, mut text: String) -> Self {
        // Readers differ over a block of text that ends without a line end.
        if !text.is_empty() && !text.ends_with('\n') {
            text.push('\n');
        }
        let next = text.match_indices('\n').map(|(at, _)| u32_of(at + 1));
        let lines = std::iter::once(0).chain(next).collect();
        Self {
            file: file.into(),
            text,
            lines,
        }
    }

    /// The line, from 1, in which a byte stands.
    pub fn line(&self, byte: usize) -> usize {
        self.lines.partition_point(|start| *start as usize <= byte)
    }

    /// The place of a stretch of bytes, cut off at the end of its first line.
    pub fn place(&self, bytes: Range<usize>) -> Place {
        let line = self.line(bytes.start);
        let start = self.lines[line - 1] as usize;
        let rest = &self.text[bytes.start..bytes.end.max(bytes.start)];
        let rest = rest
            .lines()
            .next()
            .unwrap_or_default()
            .trim_end_matches(' ');
        Place {
            file: self.file.clone(),
            line,
            column: self.text[start..bytes.start].chars().count() + 1,
            length: rest.chars().count().max(1),
        }
    }
}
