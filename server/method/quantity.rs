//! What is meant by a figure, whoever measures it.

use std::fmt;

use crate::unit::Dimension;

/// A quantity in the sense of the VIM: what is to be measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Quantity {
    /// Inside diameter of the rim.
    RimInnerDiameter,
    /// Outside diameter of the rim.
    RimOuterDiameter,
    /// Depth of the cup, at the centre or as a mean.
    CupDepth,
    /// Volume of the cup.
    CupVolume,
    /// Diameter of the throat.
    ThroatDiameter,
    /// Bore of the backbore, as a mean.
    BackboreBore,
}

impl Quantity {
    /// All quantities, in the order in which people read them.
    pub const ALL: [Self; 6] = [
        Self::RimInnerDiameter,
        Self::CupDepth,
        Self::CupVolume,
        Self::ThroatDiameter,
        Self::BackboreBore,
        Self::RimOuterDiameter,
    ];

    /// The words for it, everywhere.
    pub fn name(self) -> &'static str {
        match self {
            Self::RimInnerDiameter => "rim inner diameter",
            Self::RimOuterDiameter => "rim outer diameter",
            Self::CupDepth => "cup depth",
            Self::CupVolume => "cup volume",
            Self::ThroatDiameter => "throat diameter",
            Self::BackboreBore => "backbore bore",
        }
    }

    /// The quantity of that name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|quantity| quantity.name().eq_ignore_ascii_case(name.trim()))
    }

    /// Length or volume.
    pub fn dimension(self) -> Dimension {
        match self {
            Self::CupVolume => Dimension::Volume,
            _ => Dimension::Length,
        }
    }

    /// Words for more and less of it: "larger", "smaller".
    pub fn directions(self) -> (&'static str, &'static str) {
        match self {
            Self::CupDepth => ("deeper", "shallower"),
            Self::ThroatDiameter | Self::BackboreBore => ("more open", "tighter"),
            _ => ("larger", "smaller"),
        }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}
