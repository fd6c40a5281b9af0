//! Offsets between methods that somebody states.

use std::sync::Arc;

use super::Common;
use super::figures::quantity;
use super::held;
use crate::language::Digits;
use crate::method::InWords;
use crate::method::{Method, Quantity};
use crate::route;
use crate::scheme::amounts;
use crate::scheme::faults::{Faults, Finding, Spot};
use crate::scheme::meant::{Declaration, Series};
use crate::scheme::written;
use crate::uncertainty::{Distribution, Estimate, Source};
use crate::unit::{Amount, Dimension, Spread};
use crate::yaml::{Path, Text};

/// All offsets that have no fault.
pub(super) fn declared(
    written: &[written::Declared],
    series: &[Series],
    common: &Common<'_>,
    faults: &mut Faults<'_>,
) -> Vec<Declaration> {
    let above = Path::root().key("declared");
    let mut one = |(place, one): (usize, &written::Declared)| {
        let path = above.index(place);
        let series = holds_for(one, series, &path, faults);
        let offset = offset(one, place, (common, &path), faults)?;
        Some(Declaration {
            offset: Arc::new(offset),
            series,
        })
    };
    let all: Vec<(usize, Declaration)> = written
        .iter()
        .enumerate()
        .filter_map(|(place, written)| Some((place, one((place, written))?)))
        .collect();
    for (at, (place, later)) in all.iter().enumerate() {
        for (earlier_place, earlier) in &all[..at] {
            if let Some(finding) = contradiction(earlier, later) {
                let spot = |place: usize| Spot::Value(above.index(place).key("add"));
                faults.twice(&spot(*place), &spot(*earlier_place), finding);
            }
        }
    }
    all.into_iter().map(|(_, one)| one).collect()
}

/// Two offsets between the same two methods, for values and series that both hold for, which
/// cannot both be right.
fn contradiction(earlier: &Declaration, later: &Declaration) -> Option<Finding> {
    let (one, other) = (&earlier.offset, &later.offset);
    let sign = match (one.from == other.from, one.from == other.to) {
        (true, _) if one.to == other.to => 1.0,
        (_, true) if one.to == other.from => -1.0,
        _ => return None,
    };
    let add = sign * other.offset.value();
    // The range of a way back, by the method that it leads to.
    let back = if sign > 0.0 { 0.0 } else { -add };
    let (low, high) = (other.range.0 + back, other.range.1 + back);
    let overlap = high.min(one.range.1) - low.max(one.range.0);
    let (earlier, later) = (&earlier.series, &later.series);
    let shared =
        earlier.is_empty() || later.is_empty() || earlier.iter().any(|one| later.contains(one));
    let apart = (add - one.offset.value()).abs();
    let most = LARGEST_DISAGREEMENT * one.offset.u().hypot(other.offset.u());
    if !shared || overlap <= TOUCHING || apart <= most {
        return None;
    }
    let quantity = one.from.quantity();
    let text = |base: f64| shown(base, quantity);
    let message = format!(
        "from {} to {} this adds {} and another offset {}; {} apart, and their doubt allows {}",
        one.from,
        one.to,
        text(add),
        text(one.offset.value()),
        text(apart),
        text(most)
    );
    let hint = sentence!("keep the surer of the two, or make a range smaller");
    Some(Finding::new("offsets-contradict", message).hint(hint))
}

/// In standard uncertainties of the difference of two offsets.
const LARGEST_DISAGREEMENT: f64 = 3.0;

/// Ranges that share no more than an end follow each other, mm or mm³.
const TOUCHING: f64 = 1e-6;

/// An amount in base units for a message, which is not a result.
fn shown(base: f64, quantity: Quantity) -> Digits {
    Digits(match quantity.dimension() {
        Dimension::Volume => format!("{:.3} ml", base / 1000.0),
        _ => format!("{base:.3} mm"),
    })
}

/// Between no two methods lies more, mm or mm³: judged by this project.
fn largest(quantity: Quantity) -> f64 {
    match quantity {
        Quantity::RimInnerDiameter => 3.0,
        other if other.dimension() == Dimension::Volume => 15_000.0,
        _ => 15.0,
    }
}

fn of_possible_size(
    quantity: Quantity,
    (amount, spread): (Amount, Spread),
) -> Result<(Amount, Spread), Finding> {
    let most = largest(quantity);
    let doubt = match spread {
        Spread::Limits { half_width } => half_width,
        Spread::Standard { u } => u,
    };
    if amount.value.abs() <= most && doubt <= most {
        return Ok((amount, spread));
    }
    let (value, most) = (shown(amount.value, quantity), shown(most, quantity));
    let message = sentence!(
        "an offset of {value} ± {quantity}; expected at most {most} either way",
        value,
        quantity = shown(doubt, quantity),
        most
    );
    Err(Finding::new("not-plausible", message))
}

fn holds_for(
    one: &written::Declared,
    series: &[Series],
    path: &Path,
    faults: &mut Faults<'_>,
) -> Vec<usize> {
    let path = path.key("series");
    let mut places = Vec::new();
    for (place, name) in one.series.iter().enumerate() {
        match series.iter().position(|one| one.name == name.as_str()) {
            Some(found) => places.push(found),
            None => {
                let all = series.iter().map(|one| one.name.as_str());
                faults.error_on(
                    &Spot::Item(path.clone(), place),
                    Finding::unknown("unknown-series", sentence!("series"), name, all),
                );
            }
        }
    }
    places
}

fn offset(
    one: &written::Declared,
    place: usize,
    (common, path): (&Common<'_>, &Path),
    faults: &mut Faults<'_>,
) -> Option<route::Declared> {
    let quantity = faults.keep(&path.key("quantity"), quantity(&one.quantity))?;
    let from = faults.keep(&path.key("from"), method(&one.from, quantity, common));
    let to = faults.keep(&path.key("to"), method(&one.to, quantity, common));
    let add = faults.keep(
        &path.key("add"),
        amounts::limited(&one.add, quantity.dimension())
            .and_then(|add| of_possible_size(quantity, add)),
    );
    let range = faults.keep(
        &path.key("range"),
        amounts::range(&one.range, quantity.dimension()),
    );
    let (from, to, (amount, spread), range) = (from?, to?, add?, range?);
    if from == to {
        let message = sentence!(
            "both methods are `{from}`, and nothing lies between them",
            from
        );
        faults.error(&path.key("to"), Finding::new("same-method", message));
        return None;
    }
    let unit = quantity.dimension().base_unit().symbol;
    let key = format!("{}/declared/{place}", common.scheme);
    let label = sentence!(
        "offset from {from} to {to} that {scheme} states",
        from = InWords(from.clone()),
        to = InWords(to.clone()),
        scheme = common.title.to_owned()
    );
    let source = |distribution| Arc::new(Source::new(key, label, distribution).in_unit(unit));
    let offset = match spread {
        Spread::Limits { half_width } => {
            Estimate::rectangular(amount.value, half_width, source(Distribution::Rectangular))
        }
        Spread::Standard { u } => Estimate::new(amount.value, u, source(Distribution::Normal)),
    };
    let offset = route::Declared {
        from,
        to,
        offset,
        range,
        source: common.source(&one.source),
    };
    let possible = held::impossible(&offset).map_or(Ok(offset), Err);
    faults.keep(&path.key("add"), possible)
}

fn method(text: &Text, quantity: Quantity, common: &Common<'_>) -> Result<Method, Finding> {
    common
        .tables
        .methods
        .parse(quantity, text)
        .map_err(|fault| Finding::new("unknown-method", fault))
}
