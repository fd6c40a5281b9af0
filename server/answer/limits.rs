//! Limits as they leave the program: each end with its unit and uncertainty, and no middle.
//!
//! An end that is exact, as where a maker lays down what a word means, is shown without ±.

use schemars::JsonSchema;
use serde::Serialize;

use super::figure::{Shown, factor};
use crate::language;
use crate::method::Quantity;
use crate::uncertainty::Interval;

/// Between which ends something lies. Nothing is known of where within, so there is no value and no ±.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Limits {
    /// between, at least or at most; open where neither end is known.
    pub limits: String,
    /// The lower end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low: Option<Shown>,
    /// The upper end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub high: Option<Shown>,
}

impl Limits {
    /// From an interval of a quantity in its base unit.
    pub fn of(quantity: Quantity, interval: &Interval) -> Self {
        let shown = |end| Shown::of(quantity, end);
        Self::between(interval.low().map(shown), interval.high().map(shown))
    }

    /// Of what nothing is known.
    pub fn open() -> Self {
        Self::between(None, None)
    }

    fn between(low: Option<Shown>, high: Option<Shown>) -> Self {
        let limits = match (&low, &high) {
            (Some(_), Some(_)) => word!("between"),
            (Some(_), None) => word!("at least"),
            (None, Some(_)) => word!("at most"),
            (None, None) => word!("open"),
        };
        let limits = limits.into();
        Self { limits, low, high }
    }

    /// "between 9.2 mm ± 0.1 mm and 10.1 mm ± 0.1 mm".
    pub fn plain(&self) -> String {
        self.said(|end| doubted(end, Shown::plain))
    }

    /// "between 9.2 mm ± 0.1 mm (k 1.96) and 10.1 mm ± 0.1 mm (k 1.96)".
    pub fn text(&self) -> String {
        self.said(|end| doubted(end, Shown::text))
    }

    /// [`Limits::text`] of a difference, with a sign before each end.
    pub fn signed(&self) -> String {
        self.said(|end| format!("{}{}", plus(end), doubted(end, Shown::text)))
    }

    /// [`Limits::plain`] of a difference, with a sign before each end.
    pub fn signed_plain(&self) -> String {
        self.said(|end| format!("{}{}", plus(end), doubted(end, Shown::plain)))
    }

    /// [`Limits::signed_plain`] in inches; none where an end is no length or none is known.
    pub fn signed_inch(&self) -> Option<String> {
        let mut ends = [&self.low, &self.high].into_iter().flatten().peekable();
        ends.peek()?;
        let lengths = ends.all(|end| end.inch.is_some());
        let inch = |end: &Shown| {
            let text = end.inch.as_deref().unwrap_or_default();
            format!("{}{}", plus(end), text.trim_end_matches(" ± 0 in"))
        };
        lengths.then(|| self.said(inch))
    }

    fn said(&self, end: impl Fn(&Shown) -> String) -> String {
        match (&self.low, &self.high) {
            (Some(low), Some(high)) => {
                say!("between {low} and {high}", low = end(low), high = end(high))
            }
            (Some(one), None) | (None, Some(one)) => {
                format!("{} {}", language::word(&self.limits), end(one))
            }
            (None, None) => say!("not known"),
        }
    }

    /// "k 1.65 and 1.96", the factors of the ends; nothing where the ends are exact.
    pub fn factors(&self) -> String {
        let ends = [&self.low, &self.high].into_iter().flatten();
        let doubted = ends.filter(|end| !end.is_exact());
        let mut factors: Vec<String> = doubted.map(|end| factor(end.amount.k())).collect();
        factors.dedup();
        match factors.is_empty() {
            true => String::new(),
            false => format!("k {}", factors.join(&say!(" and "))),
        }
    }
}

/// An end with its uncertainty; "9 mm" where it is exact.
fn doubted(end: &Shown, text: fn(&Shown) -> String) -> String {
    match end.is_exact() {
        true => [&end.value, " ", end.amount.unit()].concat(),
        false => text(end),
    }
}

/// The sign of an end that is above nought as it is shown.
fn plus(end: &Shown) -> &'static str {
    let digit = |sign: char| ('1'..='9').contains(&sign);
    match end.amount.parts().0 > 0.0 && end.value.contains(digit) {
        true => "+",
        false => "",
    }
}
