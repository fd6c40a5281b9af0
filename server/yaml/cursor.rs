//! From the parser's counts of characters to bytes.

use saphyr_parser::{Marker, Span};

/// Where the last question was. Events come nearly in order, so the way to the
/// next one is short, however long the line.
pub(super) struct Cursor<'a> {
    text: &'a str,
    ascii: bool,
    character: usize,
    byte: usize,
}

impl<'a> Cursor<'a> {
    /// At the beginning of a text under 4 GiB.
    pub fn new(text: &'a str) -> Self {
        Self {
            text,
            ascii: text.is_ascii(),
            character: 0,
            byte: 0,
        }
    }

    /// A span in bytes.
    pub fn bytes(&mut self, span: Span) -> (u32, u32) {
        let start = self.byte(span.start);
        (start, self.byte(span.end).max(start))
    }

    fn byte(&mut self, marker: Marker) -> u32 {
        if self.ascii {
            return u32_of(marker.index().min(self.text.len()));
        }
        if marker.index() >= self.character {
            self.forward(marker.index() - self.character);
        } else {
            self.back(self.character - marker.index());
        }
        u32_of(self.byte)
    }

    fn forward(&mut self, characters: usize) {
        let bytes = self.text.as_bytes().get(self.byte..self.byte + characters);
        if bytes.is_some_and(<[u8]>::is_ascii) {
            self.byte += characters;
            self.character += characters;
            return;
        }
        for found in self.text[self.byte..].chars().take(characters) {
            self.byte += found.len_utf8();
            self.character += 1;
        }
    }

    fn back(&mut self, characters: usize) {
        for found in self.text[..self.byte].chars().rev().take(characters) {
            self.byte -= found.len_utf8();
            self.character -= 1;
        }
    }
}

/// The gate lets in less than 4 GiB, and nothing is counted more often than
/// there are bytes.
pub(super) fn u32_of(number: usize) -> u32 {
    u32::try_from(number).expect("a file is under 4 GiB")
}
