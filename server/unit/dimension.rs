//! What can be measured, and the units it is written in.
//!
//! Five dimensions, each with one base unit; a unit is an exact decimal number
//! of base units. 1 inch = 25.4 mm exactly since 1 July 1959 (addendum to NBS
//! Circular 572).
//!
//! `mil` is refused, since some trades say it for a thousandth of an inch and
//! some for a millimetre. No feet, no fluid ounces, no radians.

use super::{AmountError, Decimal};

/// What an amount is an amount of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dimension {
    /// Base unit millimetre.
    Length,
    /// Base unit degree.
    Angle,
    /// Base unit cubic millimetre; people are shown millilitres.
    Volume,
    /// Base unit gram.
    Mass,
    /// Base unit one.
    Ratio,
}

impl Dimension {
    /// The unit that values are held in.
    pub fn base_unit(self) -> Unit {
        match self {
            Self::Length => Unit::MILLIMETRE,
            Self::Angle => Unit::DEGREE,
            Self::Volume => Unit::CUBIC_MILLIMETRE,
            Self::Mass => Unit::GRAM,
            Self::Ratio => Unit::ONE,
        }
    }

    /// The unit that people are shown: the base unit, but millilitres for volumes.
    pub fn shown_unit(self) -> Unit {
        match self {
            Self::Volume => Unit::MILLILITRE,
            other => other.base_unit(),
        }
    }

    /// The word for a sentence.
    pub fn name(self) -> &'static str {
        match self {
            Self::Length => word!("length"),
            Self::Angle => word!("angle"),
            Self::Volume => word!("volume"),
            Self::Mass => word!("mass"),
            Self::Ratio => word!("ratio"),
        }
    }
}

/// A unit of one dimension.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unit {
    /// As it is written after a number; empty for the unit one.
    pub symbol: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// How many base units one of it is, exactly.
    pub in_base: Decimal,
}

impl Unit {
    /// Base unit of length.
    pub const MILLIMETRE: Self = Self::of("mm", Dimension::Length, 1, 0);
    /// 0.001 mm.
    pub const MICROMETRE: Self = Self::of("µm", Dimension::Length, 1, -3);
    /// 10 mm.
    pub const CENTIMETRE: Self = Self::of("cm", Dimension::Length, 1, 1);
    /// 1000 mm.
    pub const METRE: Self = Self::of("m", Dimension::Length, 1, 3);
    /// 25.4 mm.
    pub const INCH: Self = Self::of("in", Dimension::Length, 254, -1);
    /// A thousandth of an inch, 0.0254 mm.
    pub const THOU: Self = Self::of("thou", Dimension::Length, 254, -4);
    /// Base unit of angle.
    pub const DEGREE: Self = Self::of("°", Dimension::Angle, 1, 0);
    /// Base unit of volume.
    pub const CUBIC_MILLIMETRE: Self = Self::of("mm³", Dimension::Volume, 1, 0);
    /// 1000 mm³, the same as a cubic centimetre.
    pub const MILLILITRE: Self = Self::of("ml", Dimension::Volume, 1, 3);
    /// Base unit of mass.
    pub const GRAM: Self = Self::of("g", Dimension::Mass, 1, 0);
    /// 0.001 g.
    pub const MILLIGRAM: Self = Self::of("mg", Dimension::Mass, 1, -3);
    /// 1000 g.
    pub const KILOGRAM: Self = Self::of("kg", Dimension::Mass, 1, 3);
    /// Base unit of ratios, written as nothing.
    pub const ONE: Self = Self::of("", Dimension::Ratio, 1, 0);
    /// 0.01.
    pub const PERCENT: Self = Self::of("%", Dimension::Ratio, 1, -2);

    const fn of(symbol: &'static str, dimension: Dimension, digits: i128, exponent: i32) -> Self {
        Self {
            symbol,
            dimension,
            in_base: Decimal::new(digits, exponent),
        }
    }

    /// Every spelling that is read, in small letters.
    pub fn spellings() -> impl Iterator<Item = &'static str> {
        SPELLINGS
            .iter()
            .flat_map(|(_, words)| words.iter().copied())
    }

    /// The unit of this spelling, small or capital letters alike.
    ///
    /// # Errors
    /// [`AmountError::AmbiguousUnit`] for `mil`, [`AmountError::UnknownUnit`] for all else.
    pub fn named(spelling: &str) -> Result<Self, AmountError> {
        let wanted = spelling.trim().to_lowercase();
        if let Some((_, readings)) = AMBIGUOUS.iter().find(|(word, _)| *word == wanted) {
            return Err(AmountError::AmbiguousUnit {
                found: wanted,
                readings,
            });
        }
        SPELLINGS
            .iter()
            .find(|(_, words)| words.contains(&wanted.as_str()))
            .map(|(unit, _)| *unit)
            .ok_or(AmountError::UnknownUnit { found: wanted })
    }
}

/// Words that two trades use for two things.
const AMBIGUOUS: [(&str, &str); 3] = [
    ("mil", MIL_READINGS),
    ("mils", MIL_READINGS),
    (
        "tenths",
        word!("tenths of a millimetre (`0.1 mm`) or ten-thousandths of an inch (`0.1 thou`)"),
    ),
];

const MIL_READINGS: &str = word!("thousandths of an inch (`thou`) or millimetres (`mm`)");

/// Every spelling that is read, in small letters. The Greek letter and the
/// micro sign look the same and are both typed.
const SPELLINGS: [(Unit, &[&str]); 13] = [
    (
        Unit::MILLIMETRE,
        &[
            "mm",
            "millimetre",
            "millimetres",
            "millimeter",
            "millimeters",
        ],
    ),
    (Unit::MICROMETRE, &["µm", "μm", "um"]),
    (Unit::CENTIMETRE, &["cm"]),
    (Unit::METRE, &["m"]),
    (Unit::INCH, &["in", "inch", "inches", "\"", "″", "”", "''"]),
    (Unit::THOU, &["thou"]),
    (Unit::DEGREE, &["°", "deg", "degree", "degrees"]),
    (Unit::CUBIC_MILLIMETRE, &["mm³", "mm3", "mm^3"]),
    (
        Unit::MILLILITRE,
        &[
            "ml",
            "cm³",
            "cm3",
            "cm^3",
            "cc",
            "millilitre",
            "millilitres",
        ],
    ),
    (Unit::GRAM, &["g", "gram", "grams"]),
    (Unit::MILLIGRAM, &["mg"]),
    (Unit::KILOGRAM, &["kg"]),
    (Unit::PERCENT, &["%"]),
];
