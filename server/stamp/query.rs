//! What was typed, priced against every glyph that can have been meant.
//!
//! The text is a row of places: an open beginning, what was typed, an open end. For each
//! place and each symbol of the automaton a table says what it costs that the symbol was
//! meant there, or was lost there. Two hands price differently: for the legible hand what is
//! typed is right, and only blanks and the scheme's own separators may differ; the worn
//! hand takes glyphs for others, loses, adds, swaps and splits them, and sees only a part.

use super::automaton::{Automaton, Symbol};
use super::glyphs::Glyphs;
use super::typed::{HARD_BLANK, Typed, folded};

/// How a text is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Hand {
    /// As it stands.
    Legible,
    /// Nothing is certain.
    Worn,
}

/// What stands at one place of a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Seen {
    /// A glyph.
    Glyph(char),
    /// One glyph that cannot be read.
    Any,
    /// A stretch that cannot be read, of any length or none.
    Stretch,
    /// The open beginning or end.
    Open,
}

/// A text with its prices.
#[derive(Debug)]
pub(super) struct Query {
    /// The places: open, what was typed, open.
    pub seen: Vec<Seen>,
    /// Which glyph of the typed text each place is; the last for the open end.
    pub typed: Vec<usize>,
    /// For each symbol and place, the cost of meaning the one at the other.
    substitution: Vec<f64>,
    /// For each symbol, and each number of places gone by, the cost of losing it there.
    lost: Vec<f64>,
    /// For each place, the cost of passing it by.
    pub passed: Vec<f64>,
    /// For each symbol, the places at which it falls apart into two, with the cost.
    splits: Vec<Vec<(usize, f64)>>,
    /// For each symbol, the places at which it stands just as it was meant.
    plain: Vec<Vec<usize>>,
    /// Two neighbours the wrong way round.
    pub swapped: f64,
    /// The cost of beginning inside the stamp.
    pub missing_start: f64,
}

impl Query {
    /// Prices a text.
    pub fn new(automaton: &Automaton, text: &Typed, hand: Hand) -> Self {
        let (seen, typed) = places(text);
        let pricing = Pricing {
            glyphs: &automaton.glyphs,
            seen: &seen,
            hand,
        };
        let symbols = &automaton.symbols;
        let substitution: Vec<f64> = symbols
            .iter()
            .flat_map(|symbol| pricing.substitutions(symbol))
            .collect();
        let rows = substitution.chunks(seen.len() + 1);
        Self {
            plain: rows.map(|row| pricing.plain(row)).collect(),
            substitution,
            lost: symbols
                .iter()
                .flat_map(|symbol| pricing.losses(symbol))
                .collect(),
            passed: (0..seen.len()).map(|place| pricing.passed(place)).collect(),
            splits: symbols
                .iter()
                .map(|symbol| pricing.splits(symbol))
                .collect(),
            swapped: if hand == Hand::Worn {
                automaton.glyphs.swapped
            } else {
                f64::INFINITY
            },
            missing_start: pricing.open(true),
            seen,
            typed,
        }
    }

    /// Whether every glyph was typed: no `?`, no `*`.
    pub fn is_whole(&self) -> bool {
        !self
            .seen
            .iter()
            .any(|seen| matches!(seen, Seen::Any | Seen::Stretch))
    }

    /// How many symbols there are.
    pub fn symbols(&self) -> u32 {
        self.plain.len() as u32
    }

    /// How many costs belong to a rest: one for each number of places gone by.
    pub fn width(&self) -> usize {
        self.seen.len() + 1
    }

    /// The places gone by where all that was typed is: before the open end, and after.
    pub fn ends(&self) -> [usize; 2] {
        [self.seen.len() - 1, self.seen.len()]
    }

    /// The costs of meaning a symbol at each place; the last, beyond all places, is infinite.
    pub fn substitution(&self, symbol: u32) -> &[f64] {
        &self.substitution[symbol as usize * self.width()..][..self.width()]
    }

    /// The costs of losing a symbol before each place and after the last.
    pub fn lost(&self, symbol: u32) -> &[f64] {
        &self.lost[symbol as usize * self.width()..][..self.width()]
    }

    /// Where a symbol falls apart into two, with the cost.
    pub fn splits(&self, symbol: u32) -> &[(usize, f64)] {
        &self.splits[symbol as usize]
    }

    /// Where a symbol stands as it was meant.
    pub fn plain(&self, symbol: u32) -> &[usize] {
        &self.plain[symbol as usize]
    }
}

/// The places of a text. Stretches that meet are one, and one at an end is the open end.
fn places(text: &Typed) -> (Vec<Seen>, Vec<usize>) {
    let (mut seen, mut typed) = (vec![Seen::Open], vec![0]);
    for (place, &glyph) in text.glyphs.iter().enumerate() {
        let one = match glyph {
            '?' => Seen::Any,
            '*' => Seen::Stretch,
            other => Seen::Glyph(other),
        };
        if one != Seen::Stretch || seen.last() != Some(&Seen::Stretch) {
            seen.push(one);
            typed.push(place);
        }
    }
    seen.push(Seen::Open);
    typed.push(text.len());
    (seen, typed)
}

struct Pricing<'a> {
    glyphs: &'a Glyphs,
    seen: &'a [Seen],
    hand: Hand,
}

impl Pricing<'_> {
    fn worn(&self, cost: impl FnOnce() -> f64) -> f64 {
        if self.hand == Hand::Worn {
            cost()
        } else {
            f64::INFINITY
        }
    }

    /// The costs of taking each place for a symbol, and none beyond the last.
    fn substitutions(&self, symbol: &Symbol) -> impl Iterator<Item = f64> {
        let places = self.seen.iter().map(|seen| match seen {
            Seen::Glyph(seen) => self.taken(symbol, *seen),
            Seen::Any => 0.0,
            Seen::Stretch | Seen::Open => f64::INFINITY,
        });
        places.chain([f64::INFINITY])
    }

    fn taken(&self, symbol: &Symbol, seen: char) -> f64 {
        let blank = symbol.glyph == HARD_BLANK && seen == ' ';
        if symbol.glyph == seen || blank || (!symbol.exact && symbol.glyph == folded(seen)) {
            0.0
        } else if symbol.stand_ins.contains(&seen) {
            self.glyphs
                .substitution(symbol.glyph, seen)
                .min(self.glyphs.separator.changed)
        } else if symbol.exact && folded(symbol.glyph) == folded(seen) {
            self.worn(|| self.glyphs.case)
        } else {
            self.worn(|| self.glyphs.substitution(symbol.glyph, seen))
        }
    }

    /// The costs of losing a symbol before each place and after the last.
    fn losses(&self, symbol: &Symbol) -> impl Iterator<Item = f64> {
        let lost = self.glyphs.lost(symbol.glyph);
        let general = match symbol.may_vanish {
            true => lost.min(self.glyphs.separator.lost),
            false => self.worn(|| lost),
        };
        let open = self.worn(|| 0.0);
        let places = self
            .seen
            .iter()
            .enumerate()
            .map(move |(gone_by, seen)| match seen {
                Seen::Stretch => 0.0,
                Seen::Open if gone_by == 0 => open,
                _ => general,
            });
        places.chain([open])
    }

    fn passed(&self, place: usize) -> f64 {
        match self.seen[place] {
            Seen::Stretch => 0.0,
            Seen::Any => f64::INFINITY,
            Seen::Glyph(seen) => self.worn(|| self.glyphs.extra(seen)),
            Seen::Open if place == 0 => 0.0,
            Seen::Open => self.open(false),
        }
    }

    /// The cost of an open beginning or end; a stretch that was typed there does its work.
    fn open(&self, start: bool) -> f64 {
        let beside = if start {
            self.seen[1]
        } else {
            self.seen[self.seen.len() - 2]
        };
        let cost = if start {
            self.glyphs.missing_start
        } else {
            self.glyphs.missing_end
        };
        if beside == Seen::Stretch {
            f64::INFINITY
        } else {
            self.worn(|| cost)
        }
    }

    fn splits(&self, symbol: &Symbol) -> Vec<(usize, f64)> {
        if self.hand == Hand::Legible || !self.glyphs.can_split(symbol.glyph) {
            return Vec::new();
        }
        let pairs = self.seen.windows(2).enumerate();
        let found = pairs.filter_map(|(place, pair)| match pair {
            [Seen::Glyph(one), Seen::Glyph(other)] => {
                Some((place, self.glyphs.split(symbol.glyph, [*one, *other])?))
            }
            _ => None,
        });
        found.collect()
    }

    /// The places that cost nothing to take, among the glyphs that can be read.
    fn plain(&self, substitutions: &[f64]) -> Vec<usize> {
        let places = self.seen.iter().zip(substitutions).enumerate();
        let same =
            places.filter(|(_, (seen, cost))| matches!(seen, Seen::Glyph(_)) && **cost == 0.0);
        same.map(|(place, _)| place).collect()
    }
}
