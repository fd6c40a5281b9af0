//! The parameters of a measuring method.

use std::f64::consts::PI;

use crate::language::Sentence;
use crate::unit::{Amount, Dimension};

/// Where a depth begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub enum From {
    /// The plane that touches the crest.
    #[default]
    Crest,
    /// The plane of the seam.
    Seam,
}

/// Which circle is the mouth over which a mean is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Across {
    /// The crest circle.
    Crest,
    /// Where the tangent makes 45° with the axis.
    InnerEdge,
    /// The circle at the seam.
    Seam,
}

/// The name of a parameter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Parameter {
    /// Tangent angle with the axis.
    Angle,
    /// Depth below the crest at which a diameter is taken.
    At,
    /// Where a depth begins.
    From,
    /// The mouth of a mean.
    Across,
    /// Diameter of a disc or plug.
    Diameter,
    /// Distance from the shank's end.
    Distance,
    /// Length over which a taper is stated.
    Over,
    /// Diameter of a receiver's mouth.
    Receiver,
    /// How much a receiver narrows over the stated length.
    Narrows,
    /// Whether a width counts one side of the rim or both.
    Sides,
}

impl Parameter {
    /// All of them.
    pub const ALL: [Self; 10] = [
        Self::Angle,
        Self::At,
        Self::From,
        Self::Across,
        Self::Diameter,
        Self::Distance,
        Self::Over,
        Self::Receiver,
        Self::Narrows,
        Self::Sides,
    ];

    /// The word for it in plug-ins and on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Self::Angle => word!("angle"),
            Self::At => word!("at"),
            Self::From => word!("from"),
            Self::Across => word!("across"),
            Self::Diameter => word!("diameter"),
            Self::Distance => word!("distance"),
            Self::Over => word!("over"),
            Self::Receiver => word!("receiver"),
            Self::Narrows => word!("narrows"),
            Self::Sides => word!("sides"),
        }
    }

    /// Texts that [`Parameters::set`] reads, for a person who has to write one.
    pub fn like(self) -> &'static [&'static str] {
        match self {
            Self::Angle => &["45 deg"],
            Self::At => &["1.0 mm"],
            Self::From => &["crest", "seam"],
            Self::Across => &["crest", "inner edge", "seam"],
            Self::Diameter => &["16.0 mm"],
            Self::Distance => &["5 mm"],
            Self::Over => &["10 mm"],
            Self::Receiver => &["11.0 mm"],
            Self::Narrows => &["0.5 mm"],
            Self::Sides => &["one", "both"],
        }
    }

    /// The parameter of that name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.name() == name)
    }
}

/// The inner edge where no angle is stated: the tangent at 45° with the axis.
const EDGE_DEGREES: f64 = 45.0;

/// Values of all parameters; a method reads those that it has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Parameters {
    /// Degrees.
    pub angle_deg: f64,
    /// Millimetres below the crest; none until stated.
    pub at_mm: Option<f64>,
    /// Where a depth begins.
    pub from: From,
    /// The mouth of a mean; none until stated.
    pub across: Option<Across>,
    /// Diameter of a disc or plug, mm; none until stated.
    pub diameter_mm: Option<f64>,
    /// Millimetres from the shank's end; none until stated.
    pub distance_mm: Option<f64>,
    /// Millimetres over which a taper is stated.
    pub over_mm: f64,
    /// Diameter of a receiver's mouth, mm; none until stated.
    pub receiver_mm: Option<f64>,
    /// How much a receiver narrows over that length, mm; none until stated.
    pub narrows_mm: Option<f64>,
    /// Sides of the rim that a width counts: 1 or 2.
    pub sides: u8,
}

/// Over so much a taper is stated where no length is, mm.
const TAPER_OVER_MM: f64 = 10.0;

impl Default for Parameters {
    fn default() -> Self {
        Self {
            angle_deg: EDGE_DEGREES,
            at_mm: None,
            from: From::Crest,
            across: None,
            diameter_mm: None,
            distance_mm: None,
            over_mm: TAPER_OVER_MM,
            receiver_mm: None,
            narrows_mm: None,
            sides: 1,
        }
    }
}

impl Parameters {
    /// The tangent angle in radians.
    pub fn angle_rad(&self) -> f64 {
        self.angle_deg * PI / 180.0
    }

    /// Takes one parameter from its text; the error is a plain sentence.
    pub fn set(&mut self, parameter: Parameter, text: &str) -> Result<(), Sentence> {
        let like = parameter.like()[0];
        let length = |longest: f64| bounded(text, Dimension::Length, (0.0, longest), like);
        match parameter {
            Parameter::Angle => {
                self.angle_deg = bounded(text, Dimension::Angle, (0.0, 90.0), like)?;
            }
            Parameter::At => self.at_mm = Some(length(30.0)?),
            Parameter::From => self.from = from(text)?,
            Parameter::Across => self.across = Some(across(text)?),
            Parameter::Diameter => self.diameter_mm = Some(length(60.0)?),
            Parameter::Distance => self.distance_mm = Some(length(60.0)?),
            Parameter::Over => self.over_mm = length(100.0)?,
            Parameter::Receiver => self.receiver_mm = Some(length(30.0)?),
            Parameter::Narrows => self.narrows_mm = Some(length(10.0)?),
            Parameter::Sides => self.sides = sides(text)?,
        }
        Ok(())
    }

    /// The parameter as text, as [`Self::set`] reads it; none where it is not set.
    pub fn text(&self, parameter: Parameter) -> Option<String> {
        let length = |value: Option<f64>| value.map(|value| format!("{value} mm"));
        match parameter {
            Parameter::Angle => Some(format!("{} deg", self.angle_deg)),
            Parameter::At => length(self.at_mm),
            Parameter::From => Some(match self.from {
                From::Crest => "crest".into(),
                From::Seam => "seam".into(),
            }),
            Parameter::Across => self.across.map(|across| match across {
                Across::Crest => "crest".into(),
                Across::InnerEdge => "inner edge".into(),
                Across::Seam => "seam".into(),
            }),
            Parameter::Diameter => length(self.diameter_mm),
            Parameter::Distance => length(self.distance_mm),
            Parameter::Over => length(Some(self.over_mm)),
            Parameter::Receiver => length(self.receiver_mm),
            Parameter::Narrows => length(self.narrows_mm),
            Parameter::Sides => Some(if self.sides == 2 { "both" } else { "one" }.into()),
        }
    }
}

fn sides(text: &str) -> Result<u8, Sentence> {
    match text.trim() {
        "one" => Ok(1),
        "both" => Ok(2),
        other => Err(sentence!(
            "a width counts `one` side of the rim or `both`, not `{other}`",
            other
        )),
    }
}

fn bounded(
    text: &str,
    dimension: Dimension,
    (low, high): (f64, f64),
    like: &str,
) -> Result<f64, Sentence> {
    let amount = Amount::parse(text).map_err(|fault| {
        sentence!(
            "{fault}; write it like `{like}`",
            fault = fault.to_string(),
            like
        )
    })?;
    if amount.dimension != dimension {
        return Err(sentence!(
            "`{text}` is not of the right kind; write it like `{like}`",
            text,
            like
        ));
    }
    if !(low < amount.value && amount.value < high) {
        return Err(sentence!(
            "`{text}` is outside {low} to {high}",
            text,
            low,
            high
        ));
    }
    Ok(amount.value)
}

fn from(text: &str) -> Result<From, Sentence> {
    match text.trim() {
        "crest" => Ok(From::Crest),
        "seam" => Ok(From::Seam),
        other => Err(sentence!(
            "a depth is taken from `crest` or `seam`, not from `{other}`",
            other
        )),
    }
}

fn across(text: &str) -> Result<Across, Sentence> {
    match text.trim() {
        "crest" => Ok(Across::Crest),
        "inner edge" => Ok(Across::InnerEdge),
        "seam" => Ok(Across::Seam),
        other => Err(sentence!(
            "a mouth is at `crest`, `inner edge` or `seam`, not at `{other}`",
            other
        )),
    }
}
