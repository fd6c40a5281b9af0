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
    /// How deep a disc of stated diameter sinks into the rim.
    DiscDepth,
    /// Width of the rim from an inner circle to the outside.
    RimWidth,
    /// Width of the cushion.
    CushionWidth,
    /// Radius of the inner edge's rounding.
    EdgeRadius,
    /// Length of the throat's cylinder.
    ThroatLength,
    /// Length of the backbore.
    BackboreLength,
    /// Diameter of the backbore's exit.
    ExitDiameter,
    /// How deep a plug of stated diameter enters the backbore.
    PlugDepth,
    /// Diameter of the shank.
    ShankDiameter,
    /// How much the shank grows over a length.
    ShankTaper,
    /// Length of the shank.
    ShankLength,
    /// How far the shank goes into a receiver.
    InsertionDepth,
}

impl Quantity {
    /// All quantities, in the order in which people read them.
    pub const ALL: [Self; 18] = [
        Self::RimInnerDiameter,
        Self::CupDepth,
        Self::CupVolume,
        Self::ThroatDiameter,
        Self::BackboreBore,
        Self::RimOuterDiameter,
        Self::DiscDepth,
        Self::RimWidth,
        Self::CushionWidth,
        Self::EdgeRadius,
        Self::ThroatLength,
        Self::BackboreLength,
        Self::ExitDiameter,
        Self::PlugDepth,
        Self::ShankDiameter,
        Self::ShankTaper,
        Self::ShankLength,
        Self::InsertionDepth,
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
            Self::DiscDepth => "disc depth",
            Self::RimWidth => "rim width",
            Self::CushionWidth => "cushion width",
            Self::EdgeRadius => "edge radius",
            Self::ThroatLength => "throat length",
            Self::BackboreLength => "backbore length",
            Self::ExitDiameter => "exit diameter",
            Self::PlugDepth => "plug depth",
            Self::ShankDiameter => "shank diameter",
            Self::ShankTaper => "shank taper",
            Self::ShankLength => "shank length",
            Self::InsertionDepth => "insertion depth",
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
            Self::CupDepth | Self::DiscDepth | Self::PlugDepth | Self::InsertionDepth => {
                ("deeper", "shallower")
            }
            Self::ThroatDiameter | Self::BackboreBore | Self::ExitDiameter => {
                ("more open", "tighter")
            }
            Self::ThroatLength | Self::BackboreLength | Self::ShankLength => ("longer", "shorter"),
            Self::RimWidth | Self::CushionWidth => ("wider", "narrower"),
            Self::EdgeRadius => ("rounder", "sharper"),
            Self::ShankTaper => ("steeper", "flatter"),
            _ => ("larger", "smaller"),
        }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}
