//! The functionals: what each measuring method reads on a section.
//!
//! Lengths in mm, volumes in mm³. A functional that needs metal which the section
//! does not have reads nothing. The rim and cup are read here, what lies beyond them in
//! [`super::beyond`].

use super::beyond;
use super::parameters::{Across, From, Parameter, Parameters};
use super::quantity::Quantity;
use crate::profile::{Number, Section, Tangent};

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
    /// How deep a disc of stated `diameter` sinks, `from` a plane.
    DepthAtDiameter,
    /// Radius of the inner edge's rounding.
    EdgeRadius,
    /// Width of the cushion's flat.
    Flat,
    /// Width of the cushion at a depth below the crest, on both sides of it.
    CushionAtDepth,
    /// Diameter of the outside of the rim.
    RimOuter,
    /// The rim from an inner circle (`across`) to the outside, on one side or both.
    RimWidth,
    /// The same from the inner circle `at` a depth.
    RimWidthAtDepth,
    /// Depth of the throat's upper end.
    DepthAtCentre,
    /// Area of the half-section over the radius of the mouth.
    DepthBySection,
    /// Volume over the area of the mouth.
    DepthByArea,
    /// Volume by geometry.
    Volume,
    /// Diameter of the throat.
    Throat,
    /// Length of the throat's cylinder.
    ThroatLength,
    /// Mean of the diameters along the backbore.
    MeanBore,
    /// Diameter of the cylinder of the backbore's volume and length.
    EquivalentBore,
    /// Diameter of the exit.
    Exit,
    /// Length of the backbore.
    BackboreLength,
    /// How deep a plug of stated `diameter` enters from the exit.
    PlugDepth,
    /// Diameter of the shank at a `distance` from its end.
    ShankAtDistance,
    /// How much the shank grows `over` a length.
    ShankTaper,
    /// Length of the shank.
    ShankLength,
    /// How far the shank goes into a receiver.
    Insertion,
    /// A figure that nothing on the section is solved from: it is as it is stated, and
    /// compares with figures of its own method only.
    AsStated,
}

/// The tangent angle of the inner edge as the mouth of a mean, radians.
const EDGE: f64 = std::f64::consts::FRAC_PI_4;

impl Functional {
    /// All, with their words in `tables/methods.yml` and the quantities they can be of.
    pub const ALL: [(Self, &'static str, &'static [Quantity]); 27] = {
        use Quantity::*;
        [
            (Self::RimAtCrest, "rim at the crest", &[RimInnerDiameter]),
            (Self::RimAtTangent, "rim at a tangent", &[RimInnerDiameter]),
            (Self::RimAtSeam, "rim at the seam", &[RimInnerDiameter]),
            (Self::RimAtDepth, "rim at a depth", &[RimInnerDiameter]),
            (
                Self::DepthAtDiameter,
                "depth at a diameter",
                &[DiscDepth, CupDepth],
            ),
            (Self::EdgeRadius, "radius of the edge", &[EdgeRadius]),
            (Self::Flat, "flat of the cushion", &[CushionWidth]),
            (Self::CushionAtDepth, "cushion at a depth", &[CushionWidth]),
            (Self::RimOuter, "outside of the rim", &[RimOuterDiameter]),
            (Self::RimWidth, "width of the rim", &[RimWidth]),
            (
                Self::RimWidthAtDepth,
                "width of the rim at a depth",
                &[RimWidth],
            ),
            (Self::DepthAtCentre, "depth at the centre", &[CupDepth]),
            (Self::DepthBySection, "depth by the section", &[CupDepth]),
            (Self::DepthByArea, "depth by the area", &[CupDepth]),
            (Self::Volume, "volume", &[CupVolume]),
            (Self::Throat, "throat", &[ThroatDiameter]),
            (Self::ThroatLength, "length of the throat", &[ThroatLength]),
            (Self::MeanBore, "mean bore", &[BackboreBore]),
            (Self::EquivalentBore, "bore by volume", &[BackboreBore]),
            (Self::Exit, "exit", &[ExitDiameter]),
            (
                Self::BackboreLength,
                "length of the backbore",
                &[BackboreLength],
            ),
            (Self::PlugDepth, "plug in the backbore", &[PlugDepth]),
            (
                Self::ShankAtDistance,
                "shank at a distance",
                &[ShankDiameter],
            ),
            (Self::ShankTaper, "taper of the shank", &[ShankTaper]),
            (Self::ShankLength, "length of the shank", &[ShankLength]),
            (Self::Insertion, "insertion", &[InsertionDepth]),
            (Self::AsStated, "as stated", &Quantity::ALL),
        ]
    };

    /// The parameters that this functional reads.
    pub fn parameters(self) -> &'static [Parameter] {
        match self {
            Self::RimAtTangent => &[Parameter::Angle],
            Self::RimAtDepth | Self::CushionAtDepth => &[Parameter::At],
            Self::DepthAtDiameter => &[Parameter::Diameter, Parameter::From],
            Self::RimWidth => &[Parameter::Across, Parameter::Sides],
            Self::RimWidthAtDepth => &[Parameter::At, Parameter::Sides],
            Self::DepthAtCentre | Self::Volume => &[Parameter::From],
            Self::DepthBySection | Self::DepthByArea => &[Parameter::From, Parameter::Across],
            Self::PlugDepth => &[Parameter::Diameter],
            Self::ShankAtDistance => &[Parameter::Distance],
            Self::ShankTaper => &[Parameter::Over],
            Self::Insertion => &[Parameter::Receiver, Parameter::Narrows, Parameter::Over],
            _ => &[],
        }
    }

    /// What this method reads on `section` with `parameters`.
    pub fn read<D: Number>(self, parameters: &Parameters, section: &Section<D>) -> Option<D> {
        let from_seam = parameters.from == From::Seam;
        match self {
            Self::RimAtCrest => section.crest().map(twice),
            Self::RimAtTangent => section.radius_at_tangent(parameters.angle_rad()).map(twice),
            Self::RimAtSeam => section.seam().map(|(radius, _)| twice(radius)),
            Self::RimAtDepth => section.radius_at(parameters.at_mm?).map(twice),
            Self::DepthAtDiameter => {
                let depth = section.depth_at_radius(parameters.diameter_mm? / 2.0)?;
                below(from_seam, depth, section)
            }
            Self::EdgeRadius => section.edge_radius(),
            Self::DepthAtCentre => below(from_seam, section.throat_depth()?, section),
            Self::DepthBySection => {
                Some(section.area(from_seam)? / mouth(parameters.across?, section)?)
            }
            Self::DepthByArea => {
                let radius = mouth(parameters.across?, section)?;
                Some(section.volume(from_seam)? / (radius * radius * std::f64::consts::PI))
            }
            Self::Volume => section.volume(from_seam),
            Self::AsStated => None,
            _ => beyond::read(self, parameters, section),
        }
    }
}

impl Functional {
    /// The tangent of the rim at which it reads.
    pub fn tangent(self, parameters: &Parameters) -> Option<Tangent> {
        let is_read = self == Self::RimAtTangent;
        let angle = match is_read {
            true => parameters.angle_rad(),
            false => (parameters.across == Some(Across::InnerEdge)).then_some(EDGE)?,
        };
        Some(Tangent { angle, is_read })
    }

    /// Between what this method reads of all metal whose bore lies between two sections, where more bore
    /// reads more; none by another method. A tangent may lie anywhere between.
    pub fn bounds(
        self,
        parameters: &Parameters,
        narrow: &Section<f64>,
        wide: &Section<f64>,
    ) -> Option<(f64, f64)> {
        let from_seam = parameters.from == From::Seam;
        let over = |power: i32, amount: [Option<f64>; 2], mouth: [f64; 2]| {
            let [low, high] = amount;
            Some((low? / mouth[1].powi(power), high? / mouth[0].powi(power)))
        };
        let mouths = || match parameters.across? {
            Across::InnerEdge => None,
            across => Some([mouth(across, narrow)?, mouth(across, wide)?]),
        };
        match self {
            Self::RimAtSeam | Self::RimAtDepth | Self::DepthAtDiameter | Self::Volume => {
                Some((self.read(parameters, narrow)?, self.read(parameters, wide)?))
            }
            Self::DepthBySection => {
                over(1, [narrow, wide].map(|one| one.area(from_seam)), mouths()?)
            }
            Self::DepthByArea => {
                let volume =
                    |one: &Section<f64>| Some(one.volume(from_seam)? / std::f64::consts::PI);
                over(2, [narrow, wide].map(volume), mouths()?)
            }
            _ => None,
        }
    }
}

fn twice<D: Number>(radius: D) -> D {
    radius * 2.0
}

/// A depth below the crest plane, from the plane that is stated.
fn below<D: Number>(from_seam: bool, depth: D, section: &Section<D>) -> Option<D> {
    match from_seam {
        true => section.seam().map(|(_, seam)| depth - seam),
        false => Some(depth),
    }
}

/// Radius of the circle that is the mouth.
pub(super) fn mouth<D: Number>(across: Across, section: &Section<D>) -> Option<D> {
    match across {
        Across::Crest => section.crest(),
        Across::InnerEdge => section.radius_at_tangent(EDGE),
        Across::Seam => section.seam().map(|(radius, _)| radius),
    }
}
