//! What is meant by a figure, whoever measures it.

use std::fmt;

use crate::language::Word;
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
            Self::RimInnerDiameter => word!("rim inner diameter"),
            Self::RimOuterDiameter => word!("rim outer diameter"),
            Self::CupDepth => word!("cup depth"),
            Self::CupVolume => word!("cup volume"),
            Self::ThroatDiameter => word!("throat diameter"),
            Self::BackboreBore => word!("backbore bore"),
            Self::DiscDepth => word!("disc depth"),
            Self::RimWidth => word!("rim width"),
            Self::CushionWidth => word!("cushion width"),
            Self::EdgeRadius => word!("edge radius"),
            Self::ThroatLength => word!("throat length"),
            Self::BackboreLength => word!("backbore length"),
            Self::ExitDiameter => word!("exit diameter"),
            Self::PlugDepth => word!("plug depth"),
            Self::ShankDiameter => word!("shank diameter"),
            Self::ShankTaper => word!("shank taper"),
            Self::ShankLength => word!("shank length"),
            Self::InsertionDepth => word!("insertion depth"),
        }
    }

    /// Its name in the language in which it is shown, for a sentence that is kept.
    pub fn in_words(self) -> Word<&'static str> {
        Word(self.name())
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

    /// Words for more and less of it: word!("larger"), word!("smaller").
    pub fn directions(self) -> (&'static str, &'static str) {
        match self {
            Self::CupDepth | Self::DiscDepth | Self::PlugDepth | Self::InsertionDepth => {
                (word!("deeper"), word!("shallower"))
            }
            Self::ThroatDiameter | Self::BackboreBore | Self::ExitDiameter => {
                (word!("more open"), word!("tighter"))
            }
            Self::ThroatLength | Self::BackboreLength | Self::ShankLength => {
                (word!("longer"), word!("shorter"))
            }
            Self::RimWidth | Self::CushionWidth => (word!("wider"), word!("narrower")),
            Self::EdgeRadius => (word!("rounder"), word!("sharper")),
            Self::ShankTaper => (word!("steeper"), word!("flatter")),
            _ => (word!("larger"), word!("smaller")),
        }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}
