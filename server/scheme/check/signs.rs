//! The signs of a figure: numbers, fractions, drills, running numbers or words.

use super::names::Spellings;
use super::{fractions, grid};
use crate::method::Quantity;
use crate::scheme::amounts;
use crate::scheme::faults::{Faults, Finding, Spot};
use crate::scheme::figure::{Sign, Signs};
use crate::scheme::tables::Tables;
use crate::scheme::written;
use crate::unit::{AmountWithSpread, Dimension, GaugeTable, Scale};
use crate::yaml::{OneOrMany, Ordered, Path, Text};

/// More signs than this no figure has; each is looked at when a stamp is read.
pub(super) const MOST_SIGNS: usize = 10_000;

/// Too many signs, said in one way.
pub(super) fn too_many(count: i128) -> Finding {
    let message = sentence!(
        "{count} signs; a figure may have {most_signs}",
        count,
        most_signs = MOST_SIGNS
    );
    Finding::new("too-many-signs", message)
        .hint(sentence!("make the steps larger or the range smaller"))
}

/// What the signs of one figure are checked against.
pub(super) struct Context<'a> {
    pub path: &'a Path,
    pub quantity: Quantity,
    pub scale: Option<&'a Scale>,
    /// Whether there is a unit, be it faulty.
    pub unit_given: bool,
    pub case_matters: bool,
    pub tables: &'a Tables,
}

impl Context<'_> {
    fn dimension(&self) -> Dimension {
        self.quantity.dimension()
    }
}

/// The signs; none where they are faulty.
pub(super) fn signs(
    figure: &written::Figure,
    context: &Context<'_>,
    faults: &mut Faults<'_>,
) -> Option<Signs> {
    only_one(figure, context.path, faults)?;
    let values = figure.values.as_ref();
    if values.is_none() && !figure.also_spelled.is_empty() {
        let message = sentence!("only `values` can be spelled in other ways");
        let finding =
            Finding::new("also-spelled", message).hint(sentence!("delete `also_spelled`"));
        faults.error_on(&Spot::Key(context.path.key("also_spelled")), finding);
    }
    if let Some(written) = &figure.grid {
        let path = context.path.key("grid");
        let scale = needed_unit(context, faults)?;
        grid::grid(written, scale, &path, faults).map(Signs::Grid)
    } else if let Some(written) = &figure.fractions {
        let path = context.path.key("fractions");
        let scale = needed_unit(context, faults)?;
        fractions::fractions(written, scale, &path, faults).map(listed)
    } else if let Some(written) = &figure.gauge {
        gauge(written, context, faults).map(listed)
    } else if let Some(written) = &figure.steps {
        let path = context.path.key("steps");
        grid::steps(written, context.dimension(), &path, faults).map(Signs::Grid)
    } else if let Some(written) = values {
        words(written, &figure.also_spelled, context, faults).map(Signs::Listed)
    } else {
        Some(Signs::None)
    }
}

fn listed(signs: Vec<Sign>) -> Signs {
    Signs::Listed(signs.into_iter().map(|sign| (sign, Vec::new())).collect())
}

fn only_one(figure: &written::Figure, path: &Path, faults: &mut Faults<'_>) -> Option<()> {
    let given = [
        ("grid", figure.grid.is_some()),
        ("fractions", figure.fractions.is_some()),
        ("gauge", figure.gauge.is_some()),
        ("steps", figure.steps.is_some()),
        ("values", figure.values.is_some()),
    ];
    let mut given = given
        .into_iter()
        .filter(|(_, given)| *given)
        .map(|(key, _)| key);
    let (Some(first), Some(second)) = (given.next(), given.next()) else {
        return Some(());
    };
    let message = sentence!(
        "`{first}` and `{second}` both say what the signs are",
        first = first.to_owned(),
        second = second.to_owned()
    );
    let finding = Finding::new("two-kinds-of-signs", message).hint(sentence!("keep one of them"));
    faults.twice(
        &Spot::Key(path.key(second)),
        &Spot::Key(path.key(first)),
        finding,
    );
    None
}

fn needed_unit<'a>(context: &Context<'a>, faults: &mut Faults<'_>) -> Option<&'a Scale> {
    if context.scale.is_none() && !context.unit_given {
        let finding = Finding::new(
            "no-unit",
            sentence!("a number is stamped, and no `unit` says of what"),
        )
        .hint(sentence!(
            "add `unit: mm`, `0.1 mm`, `0.01 mm`, `inch`, `thou` or `ml`"
        ));
        faults.error_on(&Spot::Key(context.path.clone()), finding);
    }
    context.scale
}

fn gauge(
    written: &written::Gauge,
    context: &Context<'_>,
    faults: &mut Faults<'_>,
) -> Option<Vec<Sign>> {
    let path = context.path.key("gauge");
    if context.dimension() != Dimension::Length {
        let message = sentence!(
            "a drill has a diameter, not a {quantity}",
            quantity = context.quantity.in_words()
        );
        faults.error(&path, Finding::new("wrong-dimension", message));
        return None;
    }
    let table = faults.keep(&path.key("table"), context.tables.gauge(&written.table))?;
    let last = table.gauges().len() - 1;
    let from = drill(&written.from, 0, table, &path.key("from"), faults);
    let to = drill(&written.to, last, table, &path.key("to"), faults);
    let (from, to) = (from?, to?);
    let drills = &table.gauges()[from.min(to)..=from.max(to)];
    let sign = |gauge: &crate::unit::Gauge| {
        let (amount, spread) = (gauge.given.clone(), None);
        Sign::size(gauge.name.clone(), AmountWithSpread { amount, spread })
    };
    let signs = drills.iter().map(sign);
    Some(if from <= to {
        signs.collect()
    } else {
        signs.rev().collect()
    })
}

fn drill(
    written: &Option<Text>,
    fallback: usize,
    table: &GaugeTable,
    path: &Path,
    faults: &mut Faults<'_>,
) -> Option<usize> {
    let Some(name) = written else {
        return Some(fallback);
    };
    let found = table
        .by_name(name)
        .map_err(|error| Finding::new("unknown-gauge", error.to_string()));
    let found = faults.keep(path, found)?;
    table.gauges().iter().position(|gauge| gauge == found)
}

type Listed = Vec<(Sign, Vec<String>)>;

fn words(
    written: &Ordered<Text>,
    also_spelled: &Ordered<OneOrMany<Text>>,
    context: &Context<'_>,
    faults: &mut Faults<'_>,
) -> Option<Listed> {
    let (path, also_path) = (context.path.key("values"), context.path.key("also_spelled"));
    if written.len() > MOST_SIGNS {
        faults.error(&path, too_many(written.len() as i128));
        return None;
    }
    let before = faults.errors();
    let mut spellings = Spellings::new(context.case_matters);
    let mut list = Listed::new();
    for (word, text) in written.iter() {
        let path = path.key(word);
        spellings.add(word, SIGN, Spot::Key(path.clone()), faults);
        let sign = amounts::sign(word, text, context.scale, context.dimension());
        let sign = faults.keep(&path, sign);
        list.extend(sign.map(|sign| (sign, Vec::new())));
    }
    for (word, others) in also_spelled.iter() {
        let path = also_path.key(word);
        for (place, other) in others.iter().enumerate() {
            spellings.add(other, SIGN, Spot::Item(path.clone(), place), faults);
        }
        match list.iter_mut().find(|(sign, _)| sign.text == word.as_str()) {
            Some((_, also)) => also.extend(others.iter().map(Text::to_string)),
            None if faults.errors() > before => {}
            None => {
                let all = written.iter().map(|(word, _)| word.as_str());
                let finding =
                    Finding::unknown("unknown-sign", sentence!("value of this figure"), word, all);
                faults.error_on(&Spot::Key(path), finding);
            }
        }
    }
    (faults.errors() == before).then_some(list)
}

const SIGN: &str = word!("sign of this figure");
