//! The parameters of a measuring method.

use std::f64::consts::PI;

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
}

impl Parameter {
    /// The word for it in plug-ins and on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Self::Angle => "angle",
            Self::At => "at",
            Self::From => "from",
            Self::Across => "across",
        }
    }

    /// The parameter of that name.
    pub fn named(name: &str) -> Option<Self> {
        [Self::Angle, Self::At, Self::From, Self::Across]
            .into_iter()
            .find(|one| one.name() == name)
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
}

impl Default for Parameters {
    fn default() -> Self {
        Self {
            angle_deg: EDGE_DEGREES,
            at_mm: None,
            from: From::Crest,
            across: None,
        }
    }
}

impl Parameters {
    /// The tangent angle in radians.
    pub fn angle_rad(&self) -> f64 {
        self.angle_deg * PI / 180.0
    }

    /// Takes one parameter from its text; the error is a plain sentence.
    pub fn set(&mut self, parameter: Parameter, text: &str) -> Result<(), String> {
        match parameter {
            Parameter::Angle => {
                self.angle_deg = bounded(text, Dimension::Angle, 0.0, 90.0, "45 deg")?;
            }
            Parameter::At => {
                self.at_mm = Some(bounded(text, Dimension::Length, 0.0, 30.0, "1.0 mm")?);
            }
            Parameter::From => self.from = from(text)?,
            Parameter::Across => self.across = Some(across(text)?),
        }
        Ok(())
    }

    /// The parameter as text, as [`Self::set`] reads it; none where it is not set.
    pub fn text(&self, parameter: Parameter) -> Option<String> {
        match parameter {
            Parameter::Angle => Some(format!("{} deg", self.angle_deg)),
            Parameter::At => self.at_mm.map(|at| format!("{at} mm")),
            Parameter::From => Some(match self.from {
                From::Crest => "crest".into(),
                From::Seam => "seam".into(),
            }),
            Parameter::Across => self.across.map(|across| match across {
                Across::Crest => "crest".into(),
                Across::InnerEdge => "inner edge".into(),
                Across::Seam => "seam".into(),
            }),
        }
    }
}

fn bounded(
    text: &str,
    dimension: Dimension,
    low: f64,
    high: f64,
    like: &str,
) -> Result<f64, String> {
    let amount = Amount::parse(text).map_err(|fault| format!("{fault}; write it like `{like}`"))?;
    if amount.dimension != dimension {
        return Err(format!(
            "`{text}` is not of the right kind; write it like `{like}`"
        ));
    }
    if !(low < amount.value && amount.value < high) {
        return Err(format!("`{text}` is outside {low} to {high}"));
    }
    Ok(amount.value)
}

fn from(text: &str) -> Result<From, String> {
    match text.trim() {
        "crest" => Ok(From::Crest),
        "seam" => Ok(From::Seam),
        other => Err(format!(
            "a depth is taken from `crest` or `seam`, not from `{other}`"
        )),
    }
}

fn across(text: &str) -> Result<Across, String> {
    match text.trim() {
        "crest" => Ok(Across::Crest),
        "inner edge" => Ok(Across::InnerEdge),
        "seam" => Ok(Across::Seam),
        other => Err(format!(
            "a mouth is at `crest`, `inner edge` or `seam`, not at `{other}`"
        )),
    }
}
