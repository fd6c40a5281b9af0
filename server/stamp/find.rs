//! Worn stamps: what a text most probably was, the most probable first.
//!
//! A person types what can be seen: `?` for one glyph that cannot be read, `*` for a
//! stretch. What is legible as it stands comes first, then what was misread, each ordered by
//! cost: the prior of the stamp and what was taken for what. Of each stamp the cheapest
//! way to read the text so counts; other ways, other stamps, and markings of no scheme here
//! share the rest of the probability.
//!
//! Stamps of several parts with ` + ` between them are found together: of one scheme, each
//! on another part. There the order is that of the best few of each part.
//!
//! The order itself is made in [`super::search`]; free words are [`crate::words`]'s; what a
//! gauge says is not known here.

use std::fmt;
use std::sync::Arc;

use super::automaton::Automaton;
use super::hunt::Seeking;
use super::query::Hand;
use super::reading::Reading;
use super::search::Search;
use super::struck::Struck;
use super::taken::Taken;
use super::together::together;
use super::typed::{LONGEST, Typed};
use crate::scheme::{Binding, Scheme};

/// What a text may have been.
#[derive(Clone, Debug)]
pub struct Found {
    /// The best readings, the legible ones first, then by cost.
    pub readings: Vec<FoundReading>,
    /// The probability that the text is a marking of no scheme here.
    pub unexplained: f64,
    /// The probability of the text, whatever it was: by it that of a text typed for another reason
    /// can be set beside the readings.
    pub evidence: f64,
    /// Whether all schemes were searched; false where the work was cut short.
    pub complete: bool,
}

/// One stamp that a text may have been.
#[derive(Clone, Debug)]
pub struct FoundReading {
    /// The scheme.
    pub scheme: Arc<Scheme>,
    /// The whole stamp in its canonical spelling.
    pub text: String,
    /// The reading of that spelling; its segments are those of the spelling.
    pub reading: Reading,
    /// What it says.
    pub bindings: Vec<Binding>,
    /// Negative natural logarithm of the probability that this stamp is made and is read so.
    pub cost: f64,
    /// The part of the cost that is misreading; near 0 where the text is legible.
    pub misreading: f64,
    /// How usual what it says is: the logarithm of its share over that of mean values.
    pub usual: f64,
    /// Whether the text is this stamp just as it stands.
    pub legible: bool,
    /// The probability of this reading, given the text.
    pub probability: f64,
    /// What was taken for what.
    pub taken: Vec<Taken>,
    /// What each place of the text is taken for.
    pub struck: Vec<Struck>,
}

/// Why nothing was looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FindError {
    /// Nothing was typed.
    Empty,
    /// Nothing was typed that says anything.
    NothingSeen,
    /// More than [`LONGEST`] characters were typed; so many.
    TooLong(usize),
}

impl fmt::Display for FindError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => out.write_str("nothing was typed; type what is on the metal"),
            Self::NothingSeen => out
                .write_str("`*` alone can be any stamp; type at least one glyph that can be seen"),
            Self::TooLong(length) => write!(
                out,
                "{length} characters are no stamp; at most {LONGEST} are read"
            ),
        }
    }
}

impl std::error::Error for FindError {}

/// More names of large catalogues are not laid for one text.
const MOST_NAMES: usize = 512;

/// What one text may have been, before it is known how probable anything is.
pub(super) struct Answer {
    /// The best readings; their probability is not set.
    pub readings: Vec<FoundReading>,
    /// For each scheme, the probability that it made a stamp that is read so.
    pub made: Vec<f64>,
    /// The probability that another marking is read so.
    pub unknown: f64,
    /// Whether all schemes were searched.
    pub complete: bool,
}

impl Answer {
    /// With what is probable.
    fn found(mut self) -> Found {
        let total = self.unknown + self.made.iter().sum::<f64>();
        for reading in &mut self.readings {
            reading.probability = (-reading.cost).exp() / total;
        }
        Found {
            readings: self.readings,
            unexplained: self.unknown / total,
            evidence: total,
            complete: self.complete,
        }
    }
}

impl Automaton {
    /// The `limit` best readings of what was typed.
    ///
    /// # Errors
    /// [`FindError`], where there is nothing to look for.
    pub fn find(&self, partial: &str, limit: usize) -> Result<Found, FindError> {
        self.found(partial, limit, Seeking::ByBounds)
    }

    /// The same, with every name of large catalogues aligned with the text: what bounds are
    /// held against. It takes as long as the names are many.
    ///
    /// # Errors
    /// [`FindError`], where there is nothing to look for.
    pub fn find_by_scan(&self, partial: &str, limit: usize) -> Result<Found, FindError> {
        self.found(partial, limit, Seeking::ByScan)
    }

    fn found(&self, partial: &str, limit: usize, way: Seeking) -> Result<Found, FindError> {
        let length = partial.chars().count();
        if length > LONGEST {
            return Err(FindError::TooLong(length));
        }
        let typed = Typed::of(partial);
        if typed.is_empty() {
            return Err(FindError::Empty);
        }
        if typed.glyphs.iter().all(|glyph| matches!(glyph, '*' | ' ')) {
            return Err(FindError::NothingSeen);
        }
        let of_parts = together(self, &typed.pieces(), limit, way);
        Ok(of_parts
            .unwrap_or_else(|| self.answer(&typed, limit, way))
            .found())
    }

    /// The best readings of one stamp.
    pub(super) fn answer(&self, typed: &Typed, limit: usize, way: Seeking) -> Answer {
        let mut made = vec![0.0; self.schemes.len()];
        let mut readings = Vec::new();
        let mut complete = true;
        for hand in [Hand::Legible, Hand::Worn] {
            let (search, found, certain) = self.searched(typed, hand, (limit, way), &readings);
            search.add_made(&mut made);
            readings = found;
            complete &= certain;
        }
        Answer {
            readings,
            made,
            unknown: self.unknown(typed),
            complete,
        }
    }

    /// A search by one hand, the readings with what it adds, and whether they are certain.
    /// Spellings of one entry are one reading, and some are of no year: then more names are
    /// laid, but not without end.
    fn searched<'a>(
        &'a self,
        typed: &'a Typed,
        hand: Hand,
        (limit, way): (usize, Seeking),
        known: &[FoundReading],
    ) -> (Search<'a>, Vec<FoundReading>, bool) {
        let mut names = limit.max(1) + known.len();
        loop {
            let search = Search::new(self, typed, hand, (names, way));
            let mut readings = known.to_vec();
            let certain = search.best(limit, &mut readings);
            let is_short = search.is_short(limit - known.len(), &readings[known.len()..]);
            // what was cut short once would be again, at as much cost
            if !certain || !is_short || names > MOST_NAMES {
                return (search, readings, certain && !is_short);
            }
            names *= 4;
        }
    }

    /// The probability of the text as a marking of no scheme here.
    fn unknown(&self, typed: &Typed) -> f64 {
        let seen = typed
            .glyphs
            .iter()
            .filter(|glyph| !matches!(glyph, ' ' | '?' | '*'))
            .count();
        self.glyphs.unknown_share * self.glyphs.unknown_glyphs.powi(-(seen as i32))
    }
}
