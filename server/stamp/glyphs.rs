//! How stamps are misread.
//!
//! Costs are negative natural logarithms of probabilities. Letters stand for both cases.
//! They are read from `tables/glyphs.yml` in [`super::glyph_table`]; what they mean for a
//! text is [`super::find`].

use std::collections::HashMap;

use super::typed::{HARD_BLANK, folded};

/// Costs of all that can happen to a glyph.
#[derive(Clone, Debug)]
pub struct Glyphs {
    pub(super) other: f64,
    pub(super) lost: f64,
    pub(super) extra: f64,
    pub(super) separator: Separator,
    pub(super) pairs: HashMap<(char, char), f64>,
    pub(super) lost_of: HashMap<char, f64>,
    pub(super) extra_of: HashMap<char, f64>,
    pub(super) splits: HashMap<char, Vec<([char; 2], f64)>>,
    /// Two neighbours the wrong way round.
    pub swapped: f64,
    /// The other case, where case matters.
    pub case: f64,
    /// The beginning of the stamp is missing.
    pub missing_start: f64,
    /// The end is missing.
    pub missing_end: f64,
    /// The share of texts that are misread or not whole, above 0 and below 1.
    pub misread: f64,
    /// The share of texts that are markings of no scheme here.
    pub unknown_share: f64,
    /// How many glyphs such a marking is made of.
    pub unknown_glyphs: f64,
}

/// Costs of what parts one sign from the next.
#[derive(Clone, Copy, Debug)]
pub(super) struct Separator {
    pub(super) lost: f64,
    pub(super) extra: f64,
    pub(super) changed: f64,
}

impl Glyphs {
    /// The cost of taking the glyph `meant` for `seen`; nothing where they are the same
    /// letter.
    pub fn substitution(&self, meant: char, seen: char) -> f64 {
        let (meant, seen) = (folded(meant), folded(seen));
        if meant == seen || (is_blank(meant) && is_blank(seen)) {
            0.0
        } else if let Some(cost) = self.pairs.get(&(meant, seen)) {
            *cost
        } else if is_separator(meant) && is_separator(seen) {
            self.separator.changed
        } else {
            self.other
        }
    }

    /// The cost of not seeing a glyph.
    pub fn lost(&self, meant: char) -> f64 {
        let general = if is_separator(meant) {
            self.separator.lost
        } else {
            self.lost
        };
        self.lost_of.get(&folded(meant)).copied().unwrap_or(general)
    }

    /// The cost of seeing a glyph that was never struck.
    pub fn extra(&self, seen: char) -> f64 {
        let general = if is_separator(seen) {
            self.separator.extra
        } else {
            self.extra
        };
        self.extra_of.get(&folded(seen)).copied().unwrap_or(general)
    }

    /// Whether a glyph falls apart into two at all.
    pub fn can_split(&self, meant: char) -> bool {
        self.splits.contains_key(&folded(meant))
    }

    /// The cost of taking one glyph for these two, where the table names it.
    pub fn split(&self, meant: char, seen: [char; 2]) -> Option<f64> {
        let seen = seen.map(folded);
        let splits = self.splits.get(&folded(meant))?;
        splits
            .iter()
            .find(|(pair, _)| *pair == seen)
            .map(|(_, cost)| *cost)
    }
}

fn is_blank(glyph: char) -> bool {
    matches!(glyph, ' ' | HARD_BLANK)
}

/// Whether a glyph only parts one sign from the next.
pub(super) fn is_separator(glyph: char) -> bool {
    is_blank(glyph) || matches!(glyph, '-' | '/' | '.' | ',' | ':' | ';' | '_' | '+')
}
