//! An amount as a person wrote it: a number and a unit.
//!
//! The text stays beside the value, and so does how finely it was written: that
//! is all that is known of a figure that comes without an uncertainty.
//!
//! What may follow the amount (`± 0.1`) is [`super::spread`].

use super::number::{Figure, Number};
use super::{AmountError, Dimension, Unit};

/// A number with its unit, and the text it came from.
#[derive(Debug, Clone, PartialEq)]
pub struct Amount {
    /// The text, without spaces at its ends.
    pub given: String,
    /// In base units of the dimension: the float nearest to what was written.
    pub value: f64,
    /// One unit of the last digit written, in base units. For a fraction one
    /// step of its denominator, as on a rule with such marks: `5/8 in` may
    /// have been read to the nearest eighth, and nothing finer can be known.
    pub resolution: f64,
    /// What it is an amount of.
    pub dimension: Dimension,
    /// The unit it was written in.
    pub unit: Unit,
}

impl Amount {
    /// Reads `16.34 mm`, `16,34mm`, `5/8 in`, `1 1/16"`, `1½ in`.
    ///
    /// A comma is always the decimal sign; thousands are never grouped. At most
    /// 24 characters and 15 digits.
    ///
    /// ```
    /// let seam = counterbore::unit::Amount::parse("16.34 mm")?;
    /// assert_eq!((seam.value, seam.resolution), (16.34, 0.01));
    /// # Ok::<(), counterbore::unit::AmountError>(())
    /// ```
    ///
    /// # Errors
    /// [`AmountError`] with what was found and what was expected; a text without
    /// unit is one.
    pub fn parse(text: &str) -> Result<Self, AmountError> {
        Self::read(text, None)
    }

    /// As [`Amount::parse`]; a text without unit is in `unit`, and a unit in
    /// the text must be of the same dimension.
    ///
    /// # Errors
    /// As [`Amount::parse`], and [`AmountError::OtherDimension`].
    pub fn parse_in(text: &str, unit: Unit) -> Result<Self, AmountError> {
        Self::read(text, Some(unit))
    }

    fn read(text: &str, fallback: Option<Unit>) -> Result<Self, AmountError> {
        let figure = Figure::read(text)?;
        let unit = unit_of(text, figure.unit, fallback)?;
        Ok(Self::of(text, figure.number, unit))
    }

    pub(super) fn of(text: &str, number: Number, unit: Unit) -> Self {
        Self {
            given: text.trim().to_owned(),
            value: number.of_unit(unit),
            resolution: number.last_digit().of_unit(unit),
            dimension: unit.dimension,
            unit,
        }
    }
}

/// The unit that counts: the one written, or else the fallback.
pub(super) fn unit_of(
    text: &str,
    written: Option<Unit>,
    fallback: Option<Unit>,
) -> Result<Unit, AmountError> {
    match (written, fallback) {
        (Some(written), Some(fallback)) => same_dimension(written, fallback.dimension),
        (Some(unit), None) | (None, Some(unit)) => Ok(unit),
        (None, None) => Err(AmountError::NoUnit {
            found: text.trim().to_owned(),
        }),
    }
}

/// The unit, if it is of the dimension expected.
pub(super) fn same_dimension(unit: Unit, expected: Dimension) -> Result<Unit, AmountError> {
    if unit.dimension == expected {
        return Ok(unit);
    }
    Err(AmountError::OtherDimension {
        found: unit.dimension,
        expected,
    })
}
