//! A gauge value as a person types it: `rim inner diameter@inner edge=16.2±0.1mm`.

use std::sync::Arc;

use crate::method::{Methods, Quantity};
use crate::problem::{Kind, Problem};
use crate::route::Stated;
use crate::scheme::{Tables, implausible};
use crate::uncertainty::{Distribution, Estimate, Source};
use crate::unit::{AmountWithSpread, Spread};

/// A gauge value that was read.
#[derive(Clone, Debug)]
pub struct Gauge {
    /// The figure, as a piece would state it.
    pub stated: Stated,
}

/// Reads one gauge value. `place` counts the gauges of one question, so that each has its own
/// source of doubt.
///
/// # Errors
/// What cannot be read, and how it is written.
pub fn gauge(text: &str, place: usize, tables: &Tables) -> Result<Gauge, Problem> {
    let bad = |why: String| {
        Problem::new(Kind::BadGauge, format!("gauge `{text}`: {why}"))
            .hint("write it like `rim inner diameter@inner edge=16.2±0.1mm`")
    };
    let (what, value) = text
        .split_once('=')
        .ok_or_else(|| bad("there is no `=`".into()))?;
    let (quantity, method) = what.split_once('@').unwrap_or((what, ""));
    let quantity = Quantity::named(quantity).ok_or_else(|| bad(unknown_quantity(quantity)))?;
    let method = named(&tables.methods, quantity, method).map_err(bad)?;
    let amount = amount(value.trim(), quantity, tables).map_err(bad)?;
    let source = |distribution| {
        Arc::new(Source::new(
            format!("gauge {place}"),
            format!("the gauge at the counter, {what}"),
            distribution,
        ))
    };
    let read = amount.amount.value;
    let estimate = match amount.spread {
        Some(Spread::Standard { u }) => Estimate::new(read, u, source(Distribution::Normal)),
        Some(Spread::Limits { half_width }) => {
            Estimate::rectangular(read, half_width, source(Distribution::Rectangular))
        }
        None => Estimate::rectangular(
            read,
            amount.amount.resolution / 2.0,
            source(Distribution::Rectangular),
        ),
    };
    let stated = Stated {
        method,
        estimate,
        given: value.trim().to_owned(),
        source: "the counter".into(),
    };
    Ok(Gauge { stated })
}

fn named(
    methods: &Methods,
    quantity: Quantity,
    text: &str,
) -> Result<crate::method::Method, String> {
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
