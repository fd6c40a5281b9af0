//! A gauge value as a person types it: `rim inner diameter@inner edge=16.2±0.1mm`, or limits:
//! `throat diameter=passes drill 27, not drill 26`. Limits stay limits, a range `9.0..10.0 mm` too: no
//! middle is made of them.

use std::sync::Arc;

use crate::method::{Method, Methods, Quantity};
use crate::problem::{Kind, Problem};
use crate::route::{Limited, Stated};
use crate::scheme::{Tables, implausible};
use crate::uncertainty::{Distribution, Estimate, Interval, Source};
use crate::unit::{AmountWithSpread, Spread};

/// A gauge value that was read.
#[derive(Clone, Debug)]
pub enum Gauge {
    /// A value, as a piece would state it.
    Value(Stated),
    /// Limits: a drill passes and another does not.
    Limits(Limited),
}

impl Gauge {
    /// Where the gauge was put.
    pub fn method(&self) -> &Method {
        match self {
            Self::Value(stated) => &stated.method,
            Self::Limits(limited) => &limited.method,
        }
    }

    /// The figure that it states; none where it only gives limits.
    pub fn value(&self) -> Option<&Stated> {
        match self {
            Self::Value(stated) => Some(stated),
            Self::Limits(_) => None,
        }
    }

    /// The limits that it gives; none where it states a figure.
    pub fn limits(&self) -> Option<&Limited> {
        match self {
            Self::Value(_) => None,
            Self::Limits(limited) => Some(limited),
        }
    }
}

/// Reads one gauge value. `place` counts the gauges of one question, so that each has its own
/// source of doubt.
///
/// # Errors
/// What cannot be read, and how it is written.
pub fn gauge(text: &str, place: usize, tables: &Tables) -> Result<Gauge, Problem> {
    let bad = |why: String| {
        Problem::new(Kind::BadGauge, format!("gauge `{text}`: {why}"))
            .hint("write it like `rim inner diameter@inner edge=16.2±0.1mm`, or `throat diameter=passes drill 27, not drill 26`")
    };
    let (what, value) = text
        .split_once('=')
        .ok_or_else(|| bad("there is no `=`".into()))?;
    let (quantity, method) = what.split_once('@').unwrap_or((what, ""));
    let quantity = Quantity::named(quantity).ok_or_else(|| bad(unknown_quantity(quantity)))?;
    let method = named(&tables.methods, quantity, method).map_err(bad)?;
    let read = |text: &str, which: &str| {
        let amount = amount(text.trim(), quantity, tables)?;
        let key = format!("gauge {place}{which}");
        let label = format!("the gauge at the counter, {what}{which}");
        Ok(estimate(&amount, quantity, key, label))
    };
    let (given, source) = (value.trim().to_owned(), "the counter".to_owned());
    Ok(match ends(&given) {
        Some((low, high)) => {
            let unit = range_unit(&given);
            let end = |text: Option<&str>, which| {
                let with_unit =
                    |text: &str| match unit.filter(|_| !text.contains(char::is_alphabetic)) {
                        Some(unit) => read(&format!("{text} {unit}"), which),
                        None => read(text, which),
                    };
                text.map(with_unit).transpose()
            };
            let low = end(low, ", lower end").map_err(bad)?;
            let high = end(high, ", upper end").map_err(bad)?;
            let interval = Interval::new(low, high).map_err(|fault| {
                let unit = quantity.dimension().base_unit().symbol;
                bad(format!("{fault} {unit}"))
            })?;
            if let (Some(low), Some(high)) = (interval.low(), interval.high())
                && low.value() == high.value()
            {
                return Err(bad(format!("`{given}` leaves nothing between its limits")));
            }
            Gauge::Limits(Limited {
                method,
                interval,
                given,
                source,
            })
        }
        None => Gauge::Value(Stated {
            method,
            estimate: read(&given, "").map_err(bad)?,
            given,
            source,
        }),
    })
}

/// The unit of a range, which is written once for both ends.
fn range_unit(text: &str) -> Option<&'static str> {
    text.contains("..")
        .then(|| AmountWithSpread::parse(text).ok())?
        .map(|read| read.amount.unit.symbol)
}

/// The texts of the lower and the upper end, where limits are written: `at least A`, `at most B`,
/// `between A and B`, `A..B`, `passes A, not B` or either half of it. A bore that a gauge passes is at
/// least as wide as the gauge.
fn ends(text: &str) -> Option<(Option<&str>, Option<&str>)> {
    if let Some((low, high)) = text
        .strip_prefix("between ")
        .and_then(|ends| ends.split_once(" and "))
    {
        return Some((Some(low), Some(high)));
    }
    if let Some((low, high)) = text.split_once("..") {
        return Some((Some(low), Some(high)));
    }
    let (mut low, mut high) = (None, None);
    for part in text.split(',').map(str::trim) {
        let from = part
            .strip_prefix("passes ")
            .or_else(|| part.strip_prefix("at least "));
        let to = part
            .strip_prefix("not ")
            .or_else(|| part.strip_prefix("at most "));
        match (from, to) {
            (Some(from), _) if low.is_none() => low = Some(from),
            (_, Some(to)) if high.is_none() => high = Some(to),
            _ => return None,
        }
    }
    Some((low, high))
}

fn estimate(read: &AmountWithSpread, quantity: Quantity, key: String, label: String) -> Estimate {
    let unit = quantity.dimension().base_unit().symbol;
    let source = |distribution| Arc::new(Source::new(key, label, distribution).in_unit(unit));
    let half_width = read.amount.resolution / 2.0;
    let value = read.amount.value;
    match read.spread.unwrap_or(Spread::Limits { half_width }) {
        Spread::Standard { u } => Estimate::new(value, u, source(Distribution::Normal)),
        Spread::Limits { half_width } => {
            Estimate::rectangular(value, half_width, source(Distribution::Rectangular))
        }
    }
}

fn named(methods: &Methods, quantity: Quantity, text: &str) -> Result<Method, String> {
    if text.trim().is_empty() {
        return methods
            .neutral(quantity)
            .ok_or_else(|| format!("no method is named for {quantity}"));
    }
    methods.parse(quantity, text)
}

fn unknown_quantity(found: &str) -> String {
    let known: Vec<&str> = Quantity::ALL
        .iter()
        .map(|quantity| quantity.name())
        .collect();
    format!(
        "`{}` is no quantity; there are: {}",
        found.trim(),
        known.join(", ")
    )
}

/// An amount with its unit, or a drill: `drill 27`, `drill E`.
fn amount(text: &str, quantity: Quantity, tables: &Tables) -> Result<AmountWithSpread, String> {
    if let Some(name) = text.strip_prefix("drill ") {
        let gauge = tables
            .gauges
            .iter()
            .find_map(|table| table.by_name(name.trim()).ok());
        let gauge = gauge.ok_or_else(|| format!("no drill `{}` in the tables", name.trim()))?;
        if let Some(why) = implausible(quantity, gauge.size_mm) {
            return Err(why);
        }
        return Ok(AmountWithSpread {
            amount: gauge.given.clone(),
            spread: None,
        });
    }
    let amount = AmountWithSpread::parse(text).map_err(|fault| fault.to_string())?;
    if amount.amount.dimension != quantity.dimension() {
        return Err(format!(
            "{quantity} is a {}, and `{text}` is a {}",
            quantity.dimension().name(),
            amount.amount.dimension.name()
        ));
    }
    if let Some(why) = implausible(quantity, amount.amount.value) {
        return Err(why);
    }
    believable(amount)
}

/// Limits, mm or mm³, below which nobody reads a gauge at a counter. Judged; no source.
const FINEST: f64 = 0.0005;

fn believable(amount: AmountWithSpread) -> Result<AmountWithSpread, String> {
    match amount.spread.map(Spread::standard_uncertainty) {
        Some(u) if u < FINEST => Err("its limits are finer than any gauge at a counter".into()),
        Some(u) if u > amount.amount.value => Err("its limits are wider than the value".into()),
        _ => Ok(amount),
    }
}
