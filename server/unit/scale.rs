//! What one step of a stamped figure is worth.
//!
//! A maker may stamp 1612 for 16.12 mm, 165 for 16.5 mm or 5/8 for 5/8 inch. A
//! scale turns such a figure into an amount, exactly.
//!
//! Figures from a gauge table or a lookup are not scales.

use super::number::{Figure, Number};
use super::{Amount, AmountError, Unit};

/// How a figure becomes an amount.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    step: Number,
    unit: Unit,
    fractions: bool,
}

impl Scale {
    /// Reads `0.01 mm`, `1/64 in`, `thou`, `inch`; `hundredths` (of a
    /// millimetre); `inch fraction`. `tenths` is refused as ambiguous.
    ///
    /// # Errors
    /// [`AmountError`], as for amounts; a step of zero or less.
    pub fn parse(text: &str) -> Result<Self, AmountError> {
        match text.trim().to_lowercase().as_str() {
            "hundredths" => Ok(Self::of(Number::HUNDREDTH, Unit::MILLIMETRE)),
            "inch fraction" => Ok(Self {
                fractions: true,
                ..Self::of(Number::ONE, Unit::INCH)
            }),
            word if word.starts_with(|first: char| first.is_alphabetic()) => {
                Ok(Self::of(Number::ONE, Unit::named(word)?))
            }
            written => Self::steps(written),
        }
    }

    fn of(step: Number, unit: Unit) -> Self {
        Self {
            step,
            unit,
            fractions: false,
        }
    }

    fn steps(written: &str) -> Result<Self, AmountError> {
        let figure = Figure::read(written)?;
        let found = || written.to_owned();
        if !figure.number.is_positive() {
            return Err(AmountError::StepNotPositive { found: found() });
        }
        let unit = figure
            .unit
            .ok_or_else(|| AmountError::NoUnit { found: found() })?;
        Ok(Self::of(figure.number, unit))
    }

    /// Base units in one step.
    pub fn factor(&self) -> f64 {
        self.step.of_unit(self.unit)
    }

    /// The unit that the step is written in.
    pub fn unit(&self) -> Unit {
        self.unit
    }

    /// Whether figures are whole numbers and fractions only, as for `inch fraction`.
    pub fn takes_fractions_only(&self) -> bool {
        self.fractions
    }

    /// The amount that a figure names; `given` is the figure as stamped.
    ///
    /// ```
    /// let hundredths = counterbore::unit::Scale::parse("0.01 mm")?;
    /// assert_eq!(hundredths.amount("1612")?.value, 16.12);
    /// # Ok::<(), counterbore::unit::AmountError>(())
    /// ```
    ///
    /// # Errors
    /// [`AmountError`]: no number, a unit behind it, or a decimal on a scale of fractions.
    pub fn amount(&self, figure: &str) -> Result<Amount, AmountError> {
        let read = Figure::read(figure)?;
        if let Some(unit) = read.unit {
            return Err(AmountError::UnitNotWanted {
                found: unit.symbol.to_owned(),
            });
        }
        if self.fractions && read.number.has_decimals() {
            return Err(AmountError::NotAFraction {
                found: figure.trim().to_owned(),
            });
        }
        let amount = Amount::of(figure, read.number.times(self.step), self.unit);
        let resolution = read.number.last_digit().times(self.step).of_unit(self.unit);
        Ok(Amount {
            resolution,
            ..amount
        })
    }
}
