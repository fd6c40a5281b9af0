//! A number as it leaves the program: with unit, method, uncertainty and route.

use schemars::JsonSchema;
use serde::Serialize;

use super::limits::Limits;
use crate::language::{Sentence, number};
use crate::method::{Method, Quantity};
use crate::route::{Carried, Known, Measured, Piece, Route, RouteKind, Within};
use crate::uncertainty::{Estimate, Expanded, shown};
use crate::unit::{Dimension, Unit};

/// A value with standard and expanded uncertainty, the unit in the names of the fields.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum Amount {
    /// A length.
    Length {
        /// Best estimate, mm.
        value_mm: f64,
        /// Standard uncertainty, mm.
        u_mm: f64,
        /// Expanded uncertainty, mm.
        expanded_mm: f64,
        /// Coverage factor of the expanded uncertainty.
        k: f64,
    },
    /// A volume.
    Volume {
        /// Best estimate, ml.
        value_ml: f64,
        /// Standard uncertainty, ml.
        u_ml: f64,
        /// Expanded uncertainty, ml.
        expanded_ml: f64,
        /// Coverage factor of the expanded uncertainty.
        k: f64,
    },
}

/// Cubic millimetres in a millilitre.
const MM3_IN_ML: f64 = 1000.0;

impl Amount {
    /// From an estimate of a quantity in its base unit.
    pub fn of(quantity: Quantity, estimate: &Estimate) -> Self {
        Self::expanded(quantity, Expanded::from(estimate))
    }

    /// The same where its expanded uncertainty is known already.
    pub fn expanded(quantity: Quantity, known: Expanded) -> Self {
        let Expanded {
            value,
            u,
            expanded,
            k,
        } = known;
        match quantity.dimension() {
            Dimension::Volume => Self::Volume {
                value_ml: steady(value / MM3_IN_ML),
                u_ml: steady(u / MM3_IN_ML),
                expanded_ml: steady(expanded / MM3_IN_ML),
                k,
            },
            _ => Self::Length {
                value_mm: steady(value),
                u_mm: steady(u),
                expanded_mm: steady(expanded),
                k,
            },
        }
    }

    /// Value and expanded uncertainty in the unit in which it is shown.
    pub fn parts(&self) -> (f64, f64) {
        match *self {
            Self::Length {
                value_mm,
                expanded_mm,
                ..
            } => (value_mm, expanded_mm),
            Self::Volume {
                value_ml,
                expanded_ml,
                ..
            } => (value_ml, expanded_ml),
        }
    }

    /// The coverage factor.
    pub fn k(&self) -> f64 {
        match *self {
            Self::Length { k, .. } | Self::Volume { k, .. } => k,
        }
    }

    /// The unit in which it is shown.
    pub fn unit(&self) -> &'static str {
        match self {
            Self::Length { .. } => Unit::MILLIMETRE.symbol,
            Self::Volume { .. } => Unit::MILLILITRE.symbol,
        }
    }

    /// Value and expanded uncertainty, rounded for people.
    pub fn shown(&self) -> (String, String) {
        let (value, expanded) = self.parts();
        rounded(value, expanded)
    }

    /// The same in inches, for lengths. What is exact in millimetres is shown to 0.0001 in.
    pub fn shown_inch(&self) -> Option<(String, String)> {
        match *self {
            Self::Length {
                value_mm,
                expanded_mm: 0.0,
                ..
            } => Some((number(format!("{:.4}", value_mm / 25.4)), "0".into())),
            Self::Length {
                value_mm,
                expanded_mm,
                ..
            } => Some(rounded(value_mm / 25.4, expanded_mm / 25.4)),
            Self::Volume { .. } => None,
        }
    }
}

/// Nanometres (or nanolitres) end the digits: what is smaller is noise of the arithmetic.
fn steady(value: f64) -> f64 {
    (value * 1e6).round() / 1e6 + 0.0
}

fn rounded(value: f64, expanded: f64) -> (String, String) {
    match shown(value, expanded) {
        Ok(shown) => (number(shown.value_for_people()), number(shown.expanded)),
        Err(why) => (why.to_string(), why.to_string()),
    }
}

/// One link of a route.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct StepAnswer {
    /// What is done.
    pub says: String,
    /// Who says so.
    pub source: String,
}

/// The chain by which a value reached its method.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RouteAnswer {
    /// traced, stated, paired, declared, contour or generic: the weakest link.
    pub kind: String,
    /// The chain in words.
    pub text: String,
    /// The chain, link by link.
    pub steps: Vec<StepAnswer>,
}

impl RouteAnswer {
    fn of(route: &Route) -> Self {
        let step = |step: &crate::route::Step| StepAnswer {
            says: step.says.to_string(),
            source: step.source.to_string(),
        };
        Self {
            kind: route.kind.name().into(),
            text: route.to_string(),
            steps: route.steps.iter().map(step).collect(),
        }
    }

    /// Of the ends of limits, which may have taken two routes.
    fn of_ends(routes: &[Route]) -> Self {
        let weakest = routes.iter().map(|route| route.kind).max();
        let mut ways: Vec<Self> = routes.iter().map(Self::of).collect();
        let text: Vec<String> = ways.iter().map(|way| way.text.clone()).collect();
        Self {
            kind: weakest.map_or("", RouteKind::name).into(),
            text: text.join(&say!("; the other end: ")),
            steps: ways
                .iter_mut()
                .flat_map(|way| way.steps.drain(..))
                .collect(),
        }
    }
}

/// A value rounded for people, and as it is.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Shown {
    /// Value, uncertainties and coverage factor.
    #[serde(flatten)]
    pub amount: Amount,
    /// The value, rounded to the place of its expanded uncertainty.
    pub value: String,
    /// The expanded uncertainty to two significant digits.
    pub plus_minus: String,
    /// Both in inches, for lengths.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub inch: Option<String>,
}

impl Shown {
    /// From an estimate of a quantity in its base unit.
    pub fn of(quantity: Quantity, estimate: &Estimate) -> Self {
        let amount = Amount::of(quantity, estimate);
        let (value, plus_minus) = amount.shown();
        let inch = amount
            .shown_inch()
            .map(|(value, expanded)| [&value, " in ± ", &expanded, " in"].concat());
        Self {
            amount,
            value,
            plus_minus,
            inch,
        }
    }

    /// "16.34 mm ± 0.11 mm", for where k stands in its own place.
    pub fn plain(&self) -> String {
        plain(&self.value, &self.plus_minus, self.amount.unit())
    }

    /// "16.34 mm ± 0.11 mm (k 1.96)".
    pub fn text(&self) -> String {
        let (value, unit) = (&self.value, self.amount.unit());
        with_unit(value, &self.plus_minus, unit, self.amount.k())
    }

    /// Whether there is no uncertainty, as of an end that a maker lays down.
    pub(super) fn is_exact(&self) -> bool {
        self.amount.parts().1 == 0.0
    }
}

/// What a figure is: a value, or limits where nothing is known of where it lies between.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum Reads {
    /// A value.
    Value(Shown),
    /// Limits.
    Limits(Limits),
}

/// A value by a method, or its limits.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Figure {
    /// What is meant.
    pub quantity: String,
    /// Where and how the gauge is put.
    pub method: String,
    /// The value with its uncertainty, or `limits` with `low` and `high`.
    #[serde(flatten)]
    pub reads: Reads,
    /// The unit in which all of it is shown.
    pub unit: String,
    /// How it got there. Of limits: how both ends did.
    pub route: RouteAnswer,
    /// Routes that were not taken, the next best first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub not_taken: Vec<NotTaken>,
}

/// A route that was not taken and the value it would have given.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NotTaken {
    /// The value by that route.
    #[serde(flatten)]
    pub amount: Amount,
    /// The route.
    pub route: RouteAnswer,
}

impl Figure {
    /// From a measured value and the routes that were not taken.
    pub fn of(best: &Measured, others: &[Measured]) -> Self {
        Self::named(method_text(&best.method), best, others)
    }

    /// The same, where the text of its method is known.
    fn named(method: String, best: &Measured, others: &[Measured]) -> Self {
        let quantity = best.method.quantity();
        let shown = Shown::of(quantity, &best.estimate);
        let not_taken = others.iter().map(|other| NotTaken {
            amount: Amount::of(quantity, &other.estimate),
            route: RouteAnswer::of(&other.route),
        });
        Self {
            quantity: quantity.name().into(),
            method,
            unit: shown.amount.unit().into(),
            reads: Reads::Value(shown),
            route: RouteAnswer::of(&best.route),
            not_taken: not_taken.collect(),
        }
    }

    /// The value; none where only limits are known.
    pub fn amount(&self) -> Option<&Amount> {
        match &self.reads {
            Reads::Value(shown) => Some(&shown.amount),
            Reads::Limits(_) => None,
        }
    }

    /// From what is known.
    pub fn known(known: &Known) -> Self {
        Self::known_by(method_text(known.method()), known)
    }

    /// The same, where the text of its method is known.
    pub(super) fn known_by(method: String, known: &Known) -> Self {
        match known {
            Known::Value(measured) => Self::named(method, measured, &[]),
            Known::Limits(within) => Self::within(method, within),
        }
    }

    fn within(method: String, within: &Within) -> Self {
        let quantity = within.method.quantity();
        Self {
            quantity: quantity.name().into(),
            method,
            unit: quantity.dimension().shown_unit().symbol.into(),
            reads: Reads::Limits(Limits::of(quantity, &within.interval)),
            route: RouteAnswer::of_ends(&within.routes),
            not_taken: Vec::new(),
        }
    }

    /// What a method reads on a piece, with the routes that were not taken, or why it reads nothing.
    ///
    /// # Errors
    /// What is missing, in words.
    pub fn read(piece: &Piece, method: &Method) -> Result<Self, Sentence> {
        match piece.carry(method) {
            Carried::By(best, others) => Ok(Self::of(&best, &others)),
            Carried::CannotBeCompared(_) => Ok(Self::known(&piece.known(method)?)),
        }
    }

    /// "16.34 mm ± 0.11 mm", for where k stands in its own place.
    pub fn plain(&self) -> String {
        match &self.reads {
            Reads::Value(shown) => shown.plain(),
            Reads::Limits(limits) => limits.plain(),
        }
    }

    /// "16.34 mm ± 0.11 mm (k 1.96)", "between 9 mm and 10 mm".
    pub fn text(&self) -> String {
        match &self.reads {
            Reads::Value(shown) => shown.text(),
            Reads::Limits(limits) => limits.text(),
        }
    }

    /// "k 1.96"; of limits those of their ends, and nothing where the ends are exact.
    pub fn factors(&self) -> String {
        match &self.reads {
            Reads::Value(shown) => format!("k {}", factor(shown.amount.k())),
            Reads::Limits(limits) => limits.factors(),
        }
    }
}

/// "16.34 mm ± 0.11 mm (k 1.96)".
pub(super) fn with_unit(value: &str, expanded: &str, unit: &str, k: f64) -> String {
    [&plain(value, expanded, unit), " (k ", &factor(k), ")"].concat()
}

/// "16.34 mm ± 0.11 mm".
pub(super) fn plain(value: &str, expanded: &str, unit: &str) -> String {
    [value, " ", unit, " ± ", expanded, " ", unit].concat()
}

/// A coverage factor with its two digits after the point.
pub fn factor(k: f64) -> String {
    number(format!("{k:.2}"))
}

/// A method in words, parameters and all.
pub fn method_text(method: &Method) -> String {
    let parameters = method.stated_parameters();
    let words: Vec<String> = parameters
        .iter()
        .map(|(name, text)| format!("{name} {text}"))
        .collect();
    if words.is_empty() {
        method.row.name.clone()
    } else {
        format!("{}, {}", method.row.name, words.join(", "))
    }
}
