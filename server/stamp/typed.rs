//! A marking as a person typed it, brought to one form.
//!
//! Compatibility forms are resolved (Unicode NFKC), all dashes are one hyphen, a run of
//! blanks is one blank, `1½` is `1 1/2`, `×` is `x`. Each glyph remembers which characters
//! it came from, so that a segment can be shown as it was typed. Case is kept; [`folded`]
//! folds it where it does not matter.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::canonical_combining_class;

/// The most characters that a marking may have; longer ones are nobody's stamp.
pub const LONGEST: usize = 128;

/// A blank of a spelling that may be a hyphen but not left out. It is never typed: blanks
/// of every kind are typed as plain ones.
pub(super) const HARD_BLANK: char = '\u{A0}';

/// A marking in one form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Typed {
    /// The glyphs.
    pub glyphs: Vec<char>,
    /// For each glyph the first character it came from, and one past the last.
    origin: Vec<(usize, usize)>,
}

impl Typed {
    /// The marking in one form, without blanks at its ends.
    ///
    /// ```
    /// let typed = counterbore::stamp::Typed::of(" 4–2½ K ");
    /// assert_eq!(typed.text(), "4-2 1/2 K");
    /// ```
    pub fn of(text: &str) -> Self {
        let mut typed = Self::default();
        if text.is_ascii() {
            typed.take_ascii(text);
        } else {
            typed.take_clusters(text);
        }
        if typed.glyphs.last() == Some(&' ') {
            typed.glyphs.pop();
            typed.origin.pop();
        }
        typed
    }

    /// How many glyphs there are.
    pub fn len(&self) -> usize {
        self.glyphs.len()
    }

    /// Whether nothing was typed.
    pub fn is_empty(&self) -> bool {
        self.glyphs.is_empty()
    }

    /// The glyphs as text.
    pub fn text(&self) -> String {
        self.glyphs.iter().collect()
    }

    /// The characters, as typed, that the glyphs from `start` to before `end` came from:
    /// the first, and how many.
    pub fn stretch(&self, start: usize, end: usize) -> (usize, usize) {
        if start >= end {
            return (
                self.origin
                    .get(start)
                    .map_or_else(|| self.typed_length(), |from| from.0),
                0,
            );
        }
        let (first, last) = (self.origin[start].0, self.origin[end - 1].1);
        (first, last - first)
    }

    /// The glyphs from `start` to before `end` as a marking of their own, which still knows
    /// the characters of the whole.
    pub fn part(&self, start: usize, end: usize) -> Self {
        Self {
            glyphs: self.glyphs[start..end].to_vec(),
            origin: self.origin[start..end].to_vec(),
        }
    }

    /// The stamps of several parts, between which ` + ` stands.
    pub fn pieces(&self) -> Vec<Self> {
        let mut pieces = Vec::new();
        let mut start = 0;
        for at in 0..self.len().saturating_sub(JOINT.len() - 1) {
            if at >= start && self.glyphs[at..].starts_with(&JOINT) {
                pieces.push(self.part(start, at));
                start = at + JOINT.len();
            }
        }
        pieces.push(self.part(start, self.len()));
        pieces
    }

    /// The same where the joint lacks its blanks, as `A+B`: cut at every `+`.
    pub fn loose_pieces(&self) -> Vec<Self> {
        let joints = (0..self.len()).filter(|&at| self.glyphs[at] == '+');
        let mut pieces = Vec::new();
        let mut start = 0;
        for end in joints.chain([self.len()]) {
            pieces.push(self.trimmed(start, end));
            start = end + 1;
        }
        pieces
    }

    /// A part without the blanks at its ends.
    fn trimmed(&self, mut start: usize, mut end: usize) -> Self {
        let blank = |at: usize| self.glyphs[at] == ' ';
        while start < end && blank(start) {
            start += 1;
        }
        while start < end && blank(end - 1) {
            end -= 1;
        }
        self.part(start, end)
    }

    fn typed_length(&self) -> usize {
        self.origin.last().map_or(0, |last| last.1)
    }

    /// What is in one form but for its blanks.
    fn take_ascii(&mut self, text: &str) {
        self.glyphs.reserve_exact(text.len());
        self.origin.reserve_exact(text.len());
        for (place, byte) in text.bytes().enumerate() {
            match byte {
                b' ' | b'\t'..=b'\r' => self.push(' ', (place, place + 1)),
                byte if byte.is_ascii_control() => {}
                byte => {
                    self.glyphs.push(byte.into());
                    self.origin.push((place, place + 1));
                }
            }
        }
    }

    fn take_clusters(&mut self, text: &str) {
        let characters: Vec<char> = text.chars().collect();
        let mut start = 0;
        while start < characters.len() {
            let end = cluster_end(&characters, start);
            self.take(&characters[start..end], (start, end));
            start = end;
        }
    }

    fn take(&mut self, cluster: &[char], origin: (usize, usize)) {
        let composed: Vec<char> = cluster.iter().map(|&one| simple(one)).nfkc().collect();
        let fraction = composed.contains(&FRACTION_SLASH) && cluster != [FRACTION_SLASH];
        if fraction && self.glyphs.last().is_some_and(char::is_ascii_digit) {
            self.push(' ', origin);
        }
        composed
            .into_iter()
            .filter(|one| !is_unseen(*one))
            .for_each(|one| self.push(plain(one), origin));
    }

    fn push(&mut self, glyph: char, origin: (usize, usize)) {
        if glyph != ' ' {
            self.glyphs.push(glyph);
            self.origin.push(origin);
        } else if self.glyphs.last() == Some(&' ') {
            let last = self.origin.last_mut().expect("a glyph has its origin");
            last.1 = origin.1;
        } else if !self.is_empty() {
            self.glyphs.push(glyph);
            self.origin.push(origin);
        }
    }
}

/// What stands between the stamps of two parts.
const JOINT: [char; 3] = [' ', '+', ' '];

const FRACTION_SLASH: char = '\u{2044}';

/// Where the character at `start` with all that combines with it ends.
fn cluster_end(characters: &[char], start: usize) -> usize {
    let combining = characters[start + 1..]
        .iter()
        .take_while(|&&one| canonical_combining_class(one) != 0);
    start + 1 + combining.count()
}

/// Signs whose compatibility form would be two signs where one was meant.
fn simple(character: char) -> char {
    match character {
        '\u{2033}' | '\u{201C}' | '\u{201D}' => '"',
        '\u{2032}' | '\u{2018}' | '\u{2019}' | '\u{00B4}' => '\'',
        other => other,
    }
}

fn plain(character: char) -> char {
    match character {
        '\u{2010}'..='\u{2015}' | '\u{2212}' | '\u{2E3A}' | '\u{2E3B}' => '-',
        FRACTION_SLASH | '\u{2215}' => '/',
        '×' => 'x',
        one if one.is_whitespace() => ' ',
        other => other,
    }
}

/// Characters that leave no mark: soft hyphen, joiners, byte order mark, controls.
fn is_unseen(character: char) -> bool {
    let format = matches!(
        character,
        '\u{00AD}' | '\u{200B}'..='\u{200F}' | '\u{2060}' | '\u{FEFF}'
    );
    format || (character.is_control() && !character.is_whitespace())
}

/// The glyph without its case: the capital where there is one of one character.
#[inline]
pub fn folded(glyph: char) -> char {
    if glyph.is_ascii() {
        return glyph.to_ascii_uppercase();
    }
    let mut upper = glyph.to_uppercase();
    match (upper.next(), upper.next()) {
        (Some(one), None) => one,
        _ => glyph,
    }
}
