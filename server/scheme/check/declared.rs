//! Offsets between methods that somebody states.

use std::sync::Arc;

use super::Common;
use super::figures::quantity;
use crate::method::{Method, Quantity};
use crate::route;
use crate::scheme::amounts;
use crate::scheme::faults::{Faults, Finding, Spot};
use crate::scheme::meant::{Declaration, Series};
use crate::scheme::written;
use crate::uncertainty::{Distribution, Estimate, Source};
use crate::unit::Spread;
use crate::yaml::{Path, Text};

/// All offsets that have no fault.
pub(super) fn declared(
    written: &[written::Declared],
    series: &[Series],
    common: &Common<'_>,
    faults: &mut Faults<'_>,
) -> Vec<Declaration> {
    let above = Path::root().key("declared");
    let one = |(place, one): (usize, &written::Declared)| {
        let path = above.index(place);
        let series = holds_for(one, series, &path, faults);
        let offset = offset(one, place, (common, &path), faults)?;
        Some(Declaration {
            offset: Arc::new(offset),
            series,
        })
    };
    written.iter().enumerate().filter_map(one).collect()
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
                    Finding::unknown("unknown-series", "series", name, all),
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
        amounts::limited(&one.add, quantity.dimension()),
    );
    let range = faults.keep(
        &path.key("range"),
        amounts::range(&one.range, quantity.dimension()),
    );
    let (from, to, (amount, spread), range) = (from?, to?, add?, range?);
    if from == to {
        let message = format!("both methods are `{from}`, and nothing lies between them");
        faults.error(&path.key("to"), Finding::new("same-method", message));
        return None;
    }
    let key = format!("{}/declared/{place}", common.scheme);
    let label = format!("offset from {from} to {to} that {} states", common.title);
    let source = |distribution| Arc::new(Source::new(key, label, distribution));
    let offset = match spread {
        Spread::Limits { half_width } => {
            Estimate::rectangular(amount.value, half_width, source(Distribution::Rectangular))
        }
        Spread::Standard { u } => Estimate::new(amount.value, u, source(Distribution::Normal)),
    };
    Some(route::Declared {
        from,
        to,
        offset,
        range,
        source: common.source(&one.source),
    })
}

fn method(text: &Text, quantity: Quantity, common: &Common<'_>) -> Result<Method, Finding> {
    common
        .tables
        .methods
        .parse(quantity, text)
        .map_err(|fault| Finding::new("unknown-method", fault))
}
