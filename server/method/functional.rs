//! The functionals: what each measuring method reads on a section.
//!
//! Lengths in mm, volumes in mm³. A functional that needs metal which the section
//! does not have reads nothing.

use super::parameters::{Across, From, Parameter, Parameters};
use super::quantity::Quantity;
use crate::profile::{Number, Section};

/// The code behind a measuring method.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Functional {
    /// Diameter of the crest circle.
    RimAtCrest,
    /// Diameter where the rim's tangent makes `angle` with the axis.
    RimAtTangent,
    /// Diameter at the seam.
    RimAtSeam,
    /// Diameter `at` a depth below the crest.
    RimAtDepth,
    /// Depth of the throat's upper end.
    DepthAtCentre,
    /// Area of the half-section over the radius of the mouth.
    DepthBySection,
    /// Volume over the area of the mouth.
    DepthByArea,
    /// Volume by geometry.
    Volume,
    /// A figure that nothing on the section is solved from: it is as it is stated, and
    /// compares with figures of its own method only.
    AsStated,
}

/// The tangent angle of the inner edge as the mouth of a mean, radians.
const EDGE: f64 = std::f64::consts::FRAC_PI_4;

impl Functional {
    /// All, with their words in `tables/methods.yml` and the quantities they can be of.
    pub const ALL: [(Self, &'static str, &'static [Quantity]); 9] = [
        (
            Self::RimAtCrest,
            "rim at the crest",
            &[Quantity::RimInnerDiameter],
        ),
        (
            Self::RimAtTangent,
            "rim at a tangent",
            &[Quantity::RimInnerDiameter],
        ),
        (
            Self::RimAtSeam,
            "rim at the seam",
            &[Quantity::RimInnerDiameter],
        ),
        (
            Self::RimAtDepth,
            "rim at a depth",
            &[Quantity::RimInnerDiameter],
        ),
        (
            Self::DepthAtCentre,
            "depth at the centre",
            &[Quantity::CupDepth],
        ),
        (
            Self::DepthBySection,
            "depth by the section",
            &[Quantity::CupDepth],
        ),
        (
            Self::DepthByArea,
            "depth by the area",
            &[Quantity::CupDepth],
        ),
        (Self::Volume, "volume", &[Quantity::CupVolume]),
        (
            Self::AsStated,
            "as stated",
            &[
                Quantity::ThroatDiameter,
                Quantity::BackboreBore,
                Quantity::RimOuterDiameter,
            ],
        ),
    ];

    /// The parameters that this functional reads.
    pub fn parameters(self) -> &'static [Parameter] {
        match self {
            Self::RimAtTangent => &[Parameter::Angle],
            Self::RimAtDepth => &[Parameter::At],
            Self::DepthAtCentre | Self::Volume => &[Parameter::From],
            Self::DepthBySection | Self::DepthByArea => &[Parameter::From, Parameter::Across],
            _ => &[],
        }
    }

    /// What this method reads on `section` with `parameters`.
    pub fn read<D: Number>(self, parameters: &Parameters, section: &Section<D>) -> Option<D> {
        let from_seam = parameters.from == From::Seam;
        match self {
            Self::RimAtCrest => Some(section.crest_radius() * 2.0),
            Self::RimAtTangent => section
                .radius_at_tangent(parameters.angle_rad())
                .map(|r| r * 2.0),
            Self::RimAtSeam => Some(section.seam_radius() * 2.0),
            Self::RimAtDepth => section.radius_at(parameters.at_mm?).map(|r| r * 2.0),
            Self::DepthAtCentre => {
                let depth = section.throat_depth()?;
                Some(if from_seam {
                    depth - section.seam_depth()
                } else {
                    depth
                })
            }
            Self::DepthBySection => {
                Some(section.area(from_seam)? / mouth(parameters.across?, section)?)
            }
            Self::DepthByArea => {
                let radius = mouth(parameters.across?, section)?;
                Some(section.volume(from_seam)? / (radius * radius * std::f64::consts::PI))
            }
            Self::Volume => section.volume(from_seam),
            Self::AsStated => None,
        }
    }
}

fn mouth<D: Number>(across: Across, section: &Section<D>) -> Option<D> {
    match across {
        Across::Crest => Some(section.crest_radius()),
        Across::InnerEdge => section.radius_at_tangent(EDGE),
        Across::Seam => Some(section.seam_radius()),
    }
}
