//! An amount and what is said of how sure it is.
//!
//! | written | meaning |
//! |---|---|
//! | `16.2 mm ± 0.1`, `16.2 +/- 0.1 mm`, `16.2+-0.1mm` | surely within these limits: rectangular |
//! | `16.2 mm u 0.05` | a standard uncertainty |
//! | `9.5..10.5 mm` | the middle, surely within these ends: rectangular, where a number is needed |
//!
//! Where a range is a statement of limits, as a word of a scheme is, no middle is made of it: see
//! [`super::Span`] and [`crate::uncertainty::Interval`].
//!
//! A part without unit has the other part's: `16.2 ± 4 thou` is (16.2 ± 4) thou.
//! A spread in percent of the value is refused, and so is an expanded `U`,
//! since its coverage factor is not said.

use super::amount::{same_dimension, unit_of};
use super::number::{Figure, Number};
use super::{Amount, AmountError, Unit};

/// How far from the value the truth may be, in base units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spread {
    /// Within the half-width, anywhere equally likely.
    Limits {
        /// Half of the whole width.
        half_width: f64,
    },
    /// A standard uncertainty.
    Standard {
        /// One standard deviation.
        u: f64,
    },
}

impl Spread {
    /// One standard deviation, in base units: a / √3 for limits (JCGM 100, 4.3.7).
    pub fn standard_uncertainty(self) -> f64 {
        match self {
            Self::Limits { half_width } => half_width / 3_f64.sqrt(),
            Self::Standard { u } => u,
        }
    }
}

/// An amount, with its spread if one was written.
#[derive(Debug, Clone, PartialEq)]
pub struct AmountWithSpread {
    /// The amount; its `given` is the whole text, spread included. The middle
    /// of a range has the coarser resolution of the two ends.
    pub amount: Amount,
    /// None if nothing was said, which is not the same as zero.
    pub spread: Option<Spread>,
}

impl AmountWithSpread {
    /// Reads an amount with or without spread, or a range.
    ///
    /// # Errors
    /// [`AmountError`], for each part as in [`Amount::parse`]; a negative
    /// spread, a range that does not rise or has two units.
    pub fn parse(text: &str) -> Result<Self, AmountError> {
        Self::read(text, None)
    }

    /// As [`AmountWithSpread::parse`]; where neither part has a unit, it is `unit`.
    ///
    /// # Errors
    /// As [`AmountWithSpread::parse`], and [`AmountError::OtherDimension`].
    pub fn parse_in(text: &str, unit: Unit) -> Result<Self, AmountError> {
        Self::read(text, Some(unit))
    }

    fn read(text: &str, fallback: Option<Unit>) -> Result<Self, AmountError> {
        match Layout::of(text) {
            Layout::Alone => {
                let figure = Figure::read(text)?;
                let unit = unit_of(text, figure.unit, fallback)?;
                let amount = Amount::of(text, figure.number, unit);
                Ok(Self {
                    amount,
                    spread: None,
                })
            }
            Layout::Within(parts) => {
                Self::around(parts, fallback, |half_width| Spread::Limits { half_width })
            }
            Layout::Standard(parts) => Self::around(parts, fallback, |u| Spread::Standard { u }),
            Layout::Range(ends) => Self::between(ends, fallback),
        }
    }

    fn around(
        parts: Parts<'_>,
        fallback: Option<Unit>,
        spread_of: fn(f64) -> Spread,
    ) -> Result<Self, AmountError> {
        let value = Figure::read(parts.before)?;
        let spread = Figure::read(parts.after)?;
        let unit = unit_of(parts.whole, value.unit.or(spread.unit), fallback)?;
        let spread_unit = same_dimension(spread.unit.unwrap_or(unit), unit.dimension)?;
        if spread.number.is_negative() {
            return Err(AmountError::NegativeSpread {
                found: parts.after.trim().to_owned(),
            });
        }
        Ok(Self {
            amount: Amount::of(parts.whole, value.number, unit),
            spread: Some(spread_of(spread.number.of_unit(spread_unit))),
        })
    }

    fn between(ends: Parts<'_>, fallback: Option<Unit>) -> Result<Self, AmountError> {
        let (low, high) = (Figure::read(ends.before)?, Figure::read(ends.after)?);
        let found = || ends.whole.trim().to_owned();
        if low
            .unit
            .is_some_and(|unit| high.unit.is_some_and(|other| other != unit))
        {
            return Err(AmountError::RangeOfTwoUnits { found: found() });
        }
        let unit = unit_of(ends.whole, high.unit.or(low.unit), fallback)?;
        let half_width = high.number.half_above(low.number);
        if !half_width.is_positive() {
            return Err(AmountError::RangeNotRising { found: found() });
        }
        let step = |number: Number| number.last_digit().of_unit(unit);
        let middle = Amount::of(ends.whole, low.number.middle(high.number), unit);
        Ok(Self {
            amount: Amount {
                resolution: step(low.number).max(step(high.number)),
                ..middle
            },
            spread: Some(Spread::Limits {
                half_width: half_width.of_unit(unit),
            }),
        })
    }
}

/// The text, and what stands before and after its sign.
#[derive(Clone, Copy)]
struct Parts<'a> {
    whole: &'a str,
    before: &'a str,
    after: &'a str,
}

enum Layout<'a> {
    Alone,
    Within(Parts<'a>),
    Standard(Parts<'a>),
    Range(Parts<'a>),
}

impl<'a> Layout<'a> {
    fn of(text: &'a str) -> Self {
        let parts = |(before, after)| Parts {
            whole: text,
            before,
            after,
        };
        let limits = ["±", "+/-", "+-"]
            .iter()
            .find_map(|sign| text.split_once(sign));
        if let Some(split) = limits {
            Self::Within(parts(split))
        } else if let Some(split) = around_u(text) {
            Self::Standard(parts(split))
        } else if let Some(split) = text.split_once("..") {
            Self::Range(parts(split))
        } else {
            Self::Alone
        }
    }
}

/// Splits at a `u` that stands as a word of its own, so not at that of `um`.
fn around_u(text: &str) -> Option<(&str, &str)> {
    text.match_indices('u').find_map(|(place, letter)| {
        let (before, after) = (&text[..place], &text[place + letter.len()..]);
        let alone = before.ends_with(char::is_whitespace)
            && after.starts_with(|next: char| next.is_whitespace() || next.is_ascii_digit());
        alone.then_some((before, after))
    })
}
