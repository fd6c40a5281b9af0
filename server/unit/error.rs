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
            Self::Empty => write!(out, "found nothing; expected a number and a unit"),
            Self::TooLong { characters } => write!(
                out,
                "found {characters} characters; expected at most {MOST_CHARACTERS}"
            ),
            Self::TooManyDigits { digits } => {
                write!(out, "found {digits} digits; expected at most {MOST_DIGITS}")
            }
            Self::NoNumber { found } => write!(
                out,
                "found `{found}`; expected a number such as 16.34, 16,34 or 5/8"
            ),
            Self::NoDecimals { found } => write!(
                out,
                "found `{found}`; expected a digit after the decimal sign"
            ),
            Self::SecondNumber { found } => write!(
                out,
                "found `{found}` after the number; expected one number with one decimal sign and no thousands separator"
            ),
            Self::Denominator { found } => write!(
                out,
                "found `{found}`; expected a denominator from 1 to {LARGEST_DENOMINATOR}"
            ),
            Self::ImproperFraction { found } => write!(
                out,
                "found `{found}` after a whole number; expected a fraction below one"
            ),
            Self::NotAFraction { found } => write!(
                out,
                "found `{found}`; expected a whole number or a fraction such as 5/8"
            ),
            Self::NoUnit { found } => {
                write!(
                    out,
                    "found `{found}` without a unit; expected one such as mm or in"
                )
            }
            Self::UnitNotWanted { found } => {
                write!(
                    out,
                    "found `{found}` after the figure; expected the figure alone"
                )
            }
            Self::UnknownUnit { found } => write!(
                out,
                "found `{found}`; expected a unit such as mm, in, thou, °, ml, g or %"
            ),
            Self::AmbiguousUnit { found, readings } => {
                write!(
                    out,
                    "found `{found}`, which can mean two things; expected {readings}"
                )
            }
            Self::OtherDimension { found, expected } => {
                write!(
                    out,
                    "found {}; expected {}",
                    phrase(*found),
                    phrase(*expected)
                )
            }
            Self::NegativeSpread { found } => {
                write!(out, "found a spread of `{found}`; expected zero or more")
            }
            Self::RangeNotRising { found } => write!(
                out,
                "found `{found}`; expected the smaller end first and the larger after it"
            ),
            Self::RangeOfTwoUnits { found } => {
                write!(out, "found `{found}`; expected one unit for both ends")
            }
            Self::StepNotPositive { found } => {
                write!(out, "found a step of `{found}`; expected more than zero")
            }
        }
    }
}

impl std::error::Error for AmountError {}

/// The dimension with its article.
fn phrase(dimension: Dimension) -> String {
    let article = match dimension {
        Dimension::Angle => "an",
        _ => "a",
    };
    format!("{article} {}", dimension.name())
}
