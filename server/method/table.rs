//! Measuring methods as data, and a method with its parameters filled in.

use std::fmt;
use std::sync::Arc;

use super::functional::Functional;
use super::parameters::{Parameter, Parameters};
use super::quantity::Quantity;
use crate::language::Sentence;
use crate::profile::{Gauge, Number, Section, Tangent};

/// One row of `tables/methods.yml`.
#[derive(Clone, Debug, PartialEq)]
pub struct MethodRow {
    /// What it measures.
    pub quantity: Quantity,
    /// Its name among the methods of that quantity.
    pub name: String,
    /// The code behind it.
    pub functional: Functional,
    /// One sentence for a person.
    pub says: String,
    /// Whether the neutral frame states this quantity by this method.
    pub neutral: bool,
    /// Expanded uncertainty (k = 2) of one reading at a counter, mm or mm³; none where it is not read off a
    /// gauge but worked out.
    pub reading: Option<f64>,
    /// Where the row comes from.
    pub source: String,
    /// What its parameters are where a use states none.
    pub defaults: Parameters,
    /// What a reading by it is good for at a counter.
    pub at_the_counter: AtTheCounter,
}

/// What is known of every reading by a method, whoever takes it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AtTheCounter {
    /// How far the gauge may be off, whatever is read from it: half-width of limits, base unit. All
    /// readings by the method share that error.
    pub off: f64,
    /// Whether a drill that is named states that the bore was opened with it; otherwise that its shank is
    /// the largest that passes.
    pub drilled: bool,
}

impl MethodRow {
    /// Standard uncertainty of one reading at a counter, mm or mm³; none where it is not read off a gauge.
    pub fn standard_reading(&self) -> Option<f64> {
        Some(self.reading? / Self::READING_K)
    }

    /// The coverage factor of `reading` in the tables.
    pub const READING_K: f64 = 2.0;
}

/// A measuring method: where and how the gauge is put, parameters and all.
#[derive(Clone, Debug)]
pub struct Method {
    /// The row that describes it.
    pub row: Arc<MethodRow>,
    /// Its parameters.
    pub parameters: Parameters,
}

/// No gauge at a counter is put to a place more finely, mm (judged by this project, no source).
const ONE_PLACE_MM: f64 = 0.1;

/// Nor to a tangent, degrees (judged by this project, no source).
const ONE_PLACE_DEG: f64 = 3.0;

/// Two methods of one quantity are the same when they read the same on all metal.
impl PartialEq for Method {
    fn eq(&self, other: &Self) -> bool {
        self.is(other)
            || self.row.quantity == other.row.quantity
                && self.row.functional == other.row.functional
                && self
                    .own_parameters()
                    .all(|one| self.parameters.text(one) == other.parameters.text(one))
    }
}

impl Method {
    /// Whether it is the very same row with the same parameters.
    pub fn is(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.row, &other.row) && self.parameters == other.parameters
    }

    /// Whether the gauge stands in one place by both as far as anyone can put it: readings by both are repeats.
    pub fn is_near(&self, other: &Self) -> bool {
        let (one, two) = (&self.parameters, &other.parameters);
        let near = |one: Option<f64>, other: Option<f64>| match (one, other) {
            (Some(one), Some(other)) => (one - other).abs() < ONE_PLACE_MM,
            (one, other) => one.is_none() && other.is_none(),
        };
        let alike = |parameter: Parameter| match parameter {
            Parameter::Angle => (one.angle_deg - two.angle_deg).abs() < ONE_PLACE_DEG,
            Parameter::At => near(one.at_mm, two.at_mm),
            Parameter::Diameter => near(one.diameter_mm, two.diameter_mm),
            Parameter::Distance => near(one.distance_mm, two.distance_mm),
            Parameter::Receiver => near(one.receiver_mm, two.receiver_mm),
            other => self.parameters.text(other) == two.text(other),
        };
        self.row.quantity == other.row.quantity
            && self.row.functional == other.row.functional
            && self.own_parameters().all(alike)
    }

    /// What it measures.
    pub fn quantity(&self) -> Quantity {
        self.row.quantity
    }

    /// Whether it says the same of any metal. A seam lies where each maker cuts it, and a mean depth is the
    /// same of a deep cone and a shallow bowl: figures by such methods compare within one form only.
    pub fn holds_for_any_form(&self) -> bool {
        let is_mean = matches!(
            self.row.functional,
            Functional::DepthBySection | Functional::DepthByArea
        );
        let at_seam = self.row.functional == Functional::RimAtSeam;
        let from_seam = self.own_parameters().any(|one| {
            matches!(one, Parameter::From | Parameter::Across)
                && self.parameters.text(one).as_deref() == Some("seam")
        });
        !(is_mean || at_seam || from_seam)
    }

    fn own_parameters(&self) -> impl Iterator<Item = Parameter> {
        self.row.functional.parameters().iter().copied()
    }

    /// The parameters that it has, as (name, text).
    pub fn stated_parameters(&self) -> Vec<(&'static str, String)> {
        self.own_parameters()
            .filter_map(|one| self.parameters.text(one).map(|text| (one.name(), text)))
            .collect()
    }

    /// Its parameters in which it differs from its row.
    pub(super) fn beside_defaults(&self) -> impl Iterator<Item = (&'static str, String)> {
        self.own_parameters().filter_map(|one| {
            let text = self.parameters.text(one)?;
            let differs = self.row.defaults.text(one).as_ref() != Some(&text);
            differs.then(|| (one.name(), text))
        })
    }

    /// The parameter that it needs and does not have.
    pub fn missing(&self) -> Option<Parameter> {
        self.own_parameters()
            .find(|&one| self.parameters.text(one).is_none())
    }
}

/// The name and what of its parameters differs from the row's, as [`Methods::parse`] reads it.
impl fmt::Display for Method {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.row.name)?;
        let mut parameters = self.beside_defaults();
        parameters.try_for_each(|(name, text)| write!(f, " {name} {text}"))
    }
}

impl Gauge for Method {
    fn read<D: Number>(&self, section: &Section<D>) -> Option<D> {
        self.row.functional.read(&self.parameters, section)
    }

    fn tangent(&self) -> Option<Tangent> {
        self.row.functional.tangent(&self.parameters)
    }

    fn bounds(&self, narrow: &Section<f64>, wide: &Section<f64>) -> Option<(f64, f64)> {
        let functional = self.row.functional;
        functional.bounds(&self.parameters, narrow, wide)
    }
}

/// All methods that the tables know.
#[derive(Clone, Debug, Default)]
pub struct Methods {
    rows: Vec<Arc<MethodRow>>,
}

impl Methods {
    /// From rows in table order.
    pub fn new(rows: Vec<MethodRow>) -> Self {
        Self {
            rows: rows.into_iter().map(Arc::new).collect(),
        }
    }

    /// The rows in table order.
    pub fn rows(&self) -> &[Arc<MethodRow>] {
        &self.rows
    }

    /// Names of the methods of one quantity.
    pub fn names(&self, quantity: Quantity) -> Vec<&str> {
        self.of(quantity).map(|row| row.name.as_str()).collect()
    }

    fn of(&self, quantity: Quantity) -> impl Iterator<Item = &Arc<MethodRow>> {
        self.rows.iter().filter(move |row| row.quantity == quantity)
    }

    /// The method of that name with the row's own parameters.
    pub fn named(&self, quantity: Quantity, name: &str) -> Option<Method> {
        let row = self
            .of(quantity)
            .find(|row| row.name.eq_ignore_ascii_case(name.trim()))?;
        Some(Method {
            row: row.clone(),
            parameters: row.defaults,
        })
    }

    /// By which method the neutral frame states a quantity.
    pub fn neutral(&self, quantity: Quantity) -> Option<Method> {
        let row = self.of(quantity).find(|row| row.neutral)?;
        Some(Method {
            row: row.clone(),
            parameters: row.defaults,
        })
    }

    /// Reads a name with parameters: `inner edge`, `depth at 1.0 mm`, `area mean from seam
    /// across seam`. The error is a plain sentence.
    pub fn parse(&self, quantity: Quantity, text: &str) -> Result<Method, Sentence> {
        let text = text.trim();
        let row = self
            .of(quantity)
            .filter(|row| starts_with_words(text, &row.name))
            .max_by_key(|row| row.name.len())
            .ok_or_else(|| {
                sentence!(
                    "no method `{text}` for {quantity}; there are: {other_quantity}",
                    text,
                    quantity = quantity.in_words(),
                    other_quantity = self.names(quantity).join(", ")
                )
            })?;
        let mut method = Method {
            row: row.clone(),
            parameters: row.defaults,
        };
        set_parameters(&mut method, &text[row.name.len()..])?;
        match method.missing() {
            Some(parameter) => Err(sentence!(
                "{quantity} by {row} needs `{parameter}`; write `{written}`",
                quantity = quantity.in_words(),
                row = row.name.to_string(),
                parameter = parameter.name().to_string(),
                written = format!(
                    "{quantity}@{} {} {}",
                    row.name,
                    parameter.name(),
                    parameter.like()[0]
                )
            )),
            None => Ok(method),
        }
    }
}

fn starts_with_words(text: &str, name: &str) -> bool {
    text.get(..name.len())
        .is_some_and(|head| head.eq_ignore_ascii_case(name))
        && text[name.len()..]
            .chars()
            .next()
            .is_none_or(|next| next.is_whitespace() || next == ',')
}

/// `at 1.0 mm across inner edge`: each parameter's name, then its text up to the next name. A comma may stand after
/// each, as it does where a method is shown.
fn set_parameters(method: &mut Method, text: &str) -> Result<(), Sentence> {
    let words = text.split_whitespace();
    let words = words.map(|word| word.trim_end_matches(','));
    let mut words = words.filter(|word| !word.is_empty()).peekable();
    while let Some(word) = words.next() {
        let parameter = Parameter::named(word)
            .filter(|one| method.row.functional.parameters().contains(one))
            .ok_or_else(|| {
                sentence!(
                    "{row} has no parameter `{word}`",
                    row = method.row.name.to_string(),
                    word
                )
            })?;
        let mut value = Vec::new();
        while let Some(next) = words.next_if(|next| Parameter::named(next).is_none()) {
            value.push(next);
        }
        method.parameters.set(parameter, &value.join(" "))?;
    }
    Ok(())
}
