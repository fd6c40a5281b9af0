//! Named forms of the backbore.
//!
//! A form is a few figures by neutral methods; what the metal between them reads by other methods, the bore by volume
//! say, follows as for figures that are stamped. All pieces on one form share its doubt.

use std::collections::HashSet;
use std::sync::Arc;

use super::Common;
use crate::method::Quantity;
use crate::route::Stated;
use crate::scheme::amounts;
use crate::scheme::faults::{Faults, Finding};
use crate::scheme::written;
use crate::uncertainty::{Distribution, Estimate, Source};
use crate::unit::{Dimension, Spread};
use crate::yaml::{Ordered, Path, Text};

/// A form and what it states.
pub(super) struct Backbore {
    name: String,
    stated: Vec<Stated>,
}

/// All forms, by place.
pub(super) fn backbores(
    written: &Ordered<written::Backbore>,
    common: &Common<'_>,
    faults: &mut Faults<'_>,
) -> Vec<Backbore> {
    let above = Path::root().key("backbores");
    let form = |(name, one): &(Text, written::Backbore)| {
        let path = above.key(name);
        let stated: Vec<Stated> = figures(one)
            .into_iter()
            .filter_map(|(key, quantity, text)| {
                let read = stated(name, (key, quantity, text.as_ref()?), one, common);
                faults.keep(&path.key(key), read)
            })
            .collect();
        let name = name.to_string();
        Backbore { name, stated }
    };
    written.iter().map(form).collect()
}

/// Warns of forms that no series has.
pub(super) fn unused(written: &written::Scheme, faults: &mut Faults<'_>) {
    let series = written.series.iter();
    let used: HashSet<&str> = series
        .filter_map(|(_, one)| one.backbore.as_ref().map(Text::as_str))
        .collect();
    let all = written.backbores.iter().map(|(name, _)| name);
    for name in all.filter(|name| !used.contains(name.as_str())) {
        let finding = Finding::new(
            "unused",
            sentence!("no series has the backbore `{name}`", name),
        )
        .hint(sentence!("name it in a series, or take it out"));
        faults.warning(&Path::root().key("backbores").key(name), finding);
    }
}

/// What the form of that name states.
pub(super) fn named(all: &[Backbore], name: &str) -> Result<Vec<Stated>, Finding> {
    let found = all.iter().find(|one| one.name == name);
    let names = all.iter().map(|one| one.name.as_str());
    found
        .map(|one| one.stated.clone())
        .ok_or_else(|| Finding::unknown("unknown-backbore", sentence!("backbore"), name, names))
}

fn figures(one: &written::Backbore) -> [(&'static str, Quantity, &Option<Text>); 4] {
    [
        ("throat_length", Quantity::ThroatLength, &one.throat_length),
        ("length", Quantity::BackboreLength, &one.length),
        ("bore", Quantity::BackboreBore, &one.bore),
        ("exit", Quantity::ExitDiameter, &one.exit),
    ]
}

fn stated(
    name: &str,
    (key, quantity, text): (&str, Quantity, &Text),
    form: &written::Backbore,
    common: &Common<'_>,
) -> Result<Stated, Finding> {
    let (amount, spread) = amounts::limited(text, Dimension::Length)?;
    amounts::plausible(quantity, amount.value)?;
    let none = || {
        Finding::new(
            "no-neutral",
            sentence!(
                "the tables have no neutral method for {quantity}",
                quantity = quantity.in_words()
            ),
        )
    };
    let method = common.tables.methods.neutral(quantity).ok_or_else(none)?;
    let source = |distribution| {
        let key = format!("{}/backbore/{name}/{key}", common.scheme);
        let label = sentence!(
            "{quantity} of {scheme}, backbore {name}",
            quantity = quantity.in_words(),
            scheme = common.title.to_owned(),
            name
        );
        let unit = quantity.dimension().base_unit().symbol;
        Arc::new(Source::new(key, label, distribution).in_unit(unit))
    };
    let estimate = match spread {
        Spread::Limits { half_width } => {
            Estimate::rectangular(amount.value, half_width, source(Distribution::Rectangular))
        }
        Spread::Standard { u } => Estimate::new(amount.value, u, source(Distribution::Normal)),
    };
    Ok(Stated {
        method,
        estimate,
        given: text.as_str().into(),
        source: sentence!(
            "{scheme}, backbore {name}, {source}",
            scheme = common.title.to_owned(),
            name,
            source = common.source(&form.source)
        ),
    })
}
