//! Why a text is no amount: what was found, and what was expected.
//!
//! One enum for amounts, spreads and scales. Sentences stand alone, in small
//! letters, without a full stop. Where the text stood is the caller's to say.

use super::Dimension;
use std::fmt;

/// The most characters that one amount may have.
pub(super) const MOST_CHARACTERS: usize = 24;

/// The most digits that one number may have: what a float can keep.
pub(super) const MOST_DIGITS: usize = 15;

/// The largest denominator of a fraction.
pub(super) const LARGEST_DENOMINATOR: i128 = 1000;

/// What is wrong with a text that should be an amount.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum AmountError {
    /// Nothing but spaces.
    Empty,
    /// More than 24 characters.
    TooLong {
        /// How many there are.
        characters: usize,
    },
    /// More than 15 digits.
    TooManyDigits {
        /// How many there are.
        digits: usize,
    },
    /// No number where one should start.
    NoNumber {
        /// What stands there.
        found: String,
    },
    /// A decimal sign without a digit after it.
    NoDecimals {
        /// The number.
        found: String,
    },
    /// A second number or separator follows the first.
    SecondNumber {
        /// What follows.
        found: String,
    },
    /// A denominator of zero, of more than 1000, or none.
    Denominator {
        /// The fraction.
        found: String,
    },
    /// A whole number with a fraction of one or more.
    ImproperFraction {
        /// The fraction.
        found: String,
    },
    /// A decimal where the scale has whole numbers and fractions.
    NotAFraction {
        /// The figure.
        found: String,
    },
    /// No unit, and none to fall back on.
    NoUnit {
        /// The number.
        found: String,
    },
    /// A unit after a figure whose unit is fixed.
    UnitNotWanted {
        /// The unit.
        found: String,
    },
    /// No unit of that spelling.
    UnknownUnit {
        /// The spelling.
        found: String,
    },
    /// A spelling that means two things.
    AmbiguousUnit {
        /// The spelling.
        found: String,
        /// What it may mean, with what to write instead.
        readings: &'static str,
    },
    /// A unit of another dimension than the one wanted.
    OtherDimension {
        /// The dimension that was written.
        found: Dimension,
        /// The dimension that was wanted.
        expected: Dimension,
    },
    /// A spread below zero.
    NegativeSpread {
        /// The spread.
        found: String,
    },
    /// A range that does not rise.
    RangeNotRising {
        /// The range.
        found: String,
    },
    /// A range whose ends have two units.
    RangeOfTwoUnits {
        /// The range.
        found: String,
    },
    /// A scale whose step is zero or less.
    StepNotPositive {
        /// The step.
        found: String,
    },
}

impl fmt::Display for AmountError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => out.write_str(&say!("found nothing; expected a number and a unit")),
            Self::TooLong { characters } => out.write_str(&say!("found {characters} characters; expected at most {most_characters}", characters, most_characters = MOST_CHARACTERS)),
            Self::TooManyDigits { digits } => {
                out.write_str(&say!("found {digits} digits; expected at most {most_digits}", digits, most_digits = MOST_DIGITS))
            }
            Self::NoNumber { found } => out.write_str(&say!("found `{found}`; expected a number such as 16.34, 16,34 or 5/8", found)),
            Self::NoDecimals { found } => out.write_str(&say!("found `{found}`; expected a digit after the decimal sign", found)),
            Self::SecondNumber { found } => out.write_str(&say!("found `{found}` after the number; expected one number with one decimal sign and no thousands separator", found)),
            Self::Denominator { found } => out.write_str(&say!("found `{found}`; expected a denominator from 1 to {largest_denominator}", found, largest_denominator = LARGEST_DENOMINATOR)),
            Self::ImproperFraction { found } => out.write_str(&say!("found `{found}` after a whole number; expected a fraction below one", found)),
            Self::NotAFraction { found } => out.write_str(&say!("found `{found}`; expected a whole number or a fraction such as 5/8", found)),
            Self::NoUnit { found } => {
                out.write_str(&say!("found `{found}` without a unit; expected one such as mm or in", found))
            }
            Self::UnitNotWanted { found } => {
                out.write_str(&say!("found `{found}` after the figure; expected the figure alone", found))
            }
            Self::UnknownUnit { found } => out.write_str(&say!("found `{found}`; expected a unit such as mm, in, thou, °, ml, g or %", found)),
            Self::AmbiguousUnit { found, readings } => {
                out.write_str(&say!("found `{found}`, which can mean two things; expected {readings}", found, readings = crate::language::word(readings)))
            }
            Self::OtherDimension { found, expected } => {
                out.write_str(&say!("found {found}; expected {expected}", found = phrase(*found), expected = phrase(*expected)))
            }
            Self::NegativeSpread { found } => {
                out.write_str(&say!("found a spread of `{found}`; expected zero or more", found))
            }
            Self::RangeNotRising { found } => out.write_str(&say!("found `{found}`; expected the smaller end first and the larger after it", found)),
            Self::RangeOfTwoUnits { found } => {
                out.write_str(&say!("found `{found}`; expected one unit for both ends", found))
            }
            Self::StepNotPositive { found } => {
                out.write_str(&say!("found a step of `{found}`; expected more than zero", found))
            }
        }
    }
}

impl std::error::Error for AmountError {}

/// The dimension with its article.
fn phrase(dimension: Dimension) -> String {
    match dimension {
        Dimension::Length => say!("a length"),
        Dimension::Angle => say!("an angle"),
        Dimension::Volume => say!("a volume"),
        Dimension::Mass => say!("a mass"),
        Dimension::Ratio => say!("a ratio"),
    }
}
