//! All sizes that schemes can name, by one measure, on one corrected scale.
//!
//! A lane holds what stands on one scale of one scheme: its catalogue, or the signs of one figure in one series.
//! Every size is carried to the method that was asked for. Where the name of a size does not say the rim and the
//! method needs it, the size is carried with the smallest and with the largest rim of the scheme, and
//! what lies between is a source of its doubt. Marks are left out: they alter a size that is there.
//!
//! Where a size stands on paper is [`crate::paper`]'s.

use std::sync::Arc;

use schemars::JsonSchema;
use serde::Serialize;

use super::decode::SchemeName;
use super::figure::{Figure, method_text};
use super::limits::Limits;
use super::measure_name::measure;
use super::translate::{once_each, unknown};
use crate::method::{Method, Quantity};
use crate::problem::{Kind, Problem};
use crate::route::{Carried, Known, Measured, Piece, Step};
use crate::scheme::{Binding, Field, Scheme, Sign};
use crate::snapshot::Snapshot;
use crate::uncertainty::{Distribution, Estimate, Source};

/// Sizes of one value.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ChartSize {
    /// What they are called; more than one name where names share a size.
    pub names: Vec<String>,
    /// The size by the chart's method.
    pub figure: Figure,
}

/// Sizes that have no place on the scale.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NoPlace {
    /// What they are called.
    pub names: Vec<String>,
    /// Why they cannot be compared.
    pub why: String,
}

/// What stands on one scale of one scheme.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ChartLane {
    /// Of which scheme.
    pub scheme: SchemeName,
    /// `catalogue`, the part that bears them, or the series that have these sizes; empty where the scheme has no series.
    pub of: String,
    /// By value.
    pub sizes: Vec<ChartSize>,
    /// What has no place.
    pub no_place: Vec<NoPlace>,
}

/// A wall chart, as data.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ChartAnswer {
    /// What is charted.
    pub quantity: String,
    /// By which method.
    pub method: String,
    /// The method in a sentence.
    pub says: String,
    /// Lane by lane.
    pub lanes: Vec<ChartLane>,
    /// Schemes that name no size of it.
    pub without: Vec<String>,
    /// SHA-256 of all tables together.
    pub tables: String,
}

/// The sizes of schemes by one measure, `QUANTITY@METHOD`.
///
/// # Errors
/// No scheme is chosen, one is not there, or the measure is not known.
pub fn chart(
    snapshot: &Snapshot,
    schemes: &[&str],
    measure_asked: &str,
) -> Result<ChartAnswer, Problem> {
    let method = measure(measure_asked, &snapshot.tables)
        .map_err(|why| Problem::new(Kind::BadParameter, sentence!("measure: {why}", why = why)))?;
    if schemes.is_empty() {
        let problem = Problem::new(Kind::BadParameter, sentence!("no scheme is chosen"));
        return Err(problem.hint(sentence!("choose one or more")));
    }
    let chosen: Result<Vec<&Arc<Scheme>>, Problem> = once_each(schemes)
        .map(|id| snapshot.scheme(id).ok_or_else(|| unknown(snapshot, id)))
        .collect();
    let (mut lanes, mut without) = (Vec::new(), Vec::new());
    for scheme in chosen? {
        let of_scheme = lanes_of(snapshot, scheme, &method);
        if of_scheme.is_empty() {
            without.push(scheme.title.clone());
        }
        lanes.extend(of_scheme);
    }
    Ok(ChartAnswer {
        quantity: method.quantity().name().into(),
        says: method.row.says.clone(),
        method: method_text(&method),
        lanes,
        without,
        tables: snapshot.hash.clone(),
    })
}

fn lanes_of(snapshot: &Snapshot, scheme: &Scheme, method: &Method) -> Vec<ChartLane> {
    let name = SchemeName::of(snapshot, scheme);
    let lane = |of: String, named: Vec<(String, Carried)>| {
        let (sizes, no_place) = sorted(named);
        ChartLane {
            scheme: name.clone(),
            of,
            sizes,
            no_place,
        }
    };
    let mut lanes = Vec::new();
    let catalogue = catalogue(scheme, method);
    if !catalogue.is_empty() {
        lanes.push(lane(word!("catalogue").into(), catalogue));
    }
    for (place, figure) in scheme.figures.iter().enumerate() {
        if !tells(figure.method.quantity(), method.quantity()) {
            continue;
        }
        for (stamp, series) in shown(scheme, place) {
            let of = match series {
                Some(series) => scheme.series[series].words[0].0.clone(),
                None if scheme.series.is_empty() => String::new(),
                None => scheme.stamps[stamp].part.name().into(),
            };
            let named = signs(scheme, place).map(|sign| {
                let carried = carried(scheme, stamp, series, (place, &sign), method);
                (sign.text, carried)
            });
            lanes.push(lane(of, named.collect()));
        }
    }
    merged(lanes)
}

/// Whether a figure of one quantity can place a size of another.
fn tells(stated: Quantity, wanted: Quantity) -> bool {
    let cup = [Quantity::CupDepth, Quantity::CupVolume];
    stated == wanted || (cup.contains(&stated) && cup.contains(&wanted))
}

fn catalogue(scheme: &Scheme, method: &Method) -> Vec<(String, Carried)> {
    let stamp = scheme
        .stamps
        .iter()
        .position(|stamp| stamp.template.fields().contains(&Field::Entry));
    let stamps: Vec<usize> = stamp.into_iter().collect();
    let states = |entry: &crate::scheme::Entry| {
        let figures = entry
            .states
            .iter()
            .map(|(figure, _)| scheme.figures[*figure].method.quantity());
        figures
            .into_iter()
            .any(|stated| tells(stated, method.quantity()))
    };
    let entries = scheme
        .entries
        .iter()
        .enumerate()
        .filter(|(_, entry)| states(entry));
    let named = entries.map(|(place, entry)| {
        let made = scheme.make(&[Binding::Entry(place)], &stamps);
        let era = made
            .years
            .text()
            .map_or(String::new(), |years| format!(" ({years})"));
        (entry.name.clone() + &era, placed(&made.piece, method))
    });
    named.collect()
}

/// A value by the method; limits have no place on a scale of values, and say so with their ends.
fn placed(piece: &Piece, method: &Method) -> Carried {
    let carried = piece.carry(method);
    if let Carried::CannotBeCompared(_) = carried
        && let Ok(Known::Limits(within)) = piece.known(method)
    {
        let limits = Limits::of(method.quantity(), &within.interval).text();
        return Carried::CannotBeCompared(sentence!("only limits are known, {limits}", limits));
    }
    carried
}

/// The stamps that show a figure, each with the series that it can bear; one stamp a series.
fn shown(scheme: &Scheme, figure: usize) -> Vec<(usize, Option<usize>)> {
    let mut found: Vec<(usize, Option<usize>)> = Vec::new();
    for (stamp, fields) in scheme
        .stamps
        .iter()
        .map(|stamp| stamp.template.fields())
        .enumerate()
    {
        if !fields.contains(&Field::Figure(figure)) {
            continue;
        }
        let of: Vec<Option<usize>> = if fields.contains(&Field::Series) {
            (0..scheme.series.len()).map(Some).collect()
        } else {
            vec![None]
        };
        let new = |series: &Option<usize>| found.iter().all(|(_, known)| known != series);
        let more: Vec<_> = of
            .into_iter()
            .filter(new)
            .map(|series| (stamp, series))
            .collect();
        found.extend(more);
    }
    found
}

fn signs(scheme: &Scheme, figure: usize) -> impl Iterator<Item = Sign> {
    scheme.figures[figure]
        .signs
        .spellings()
        .map(|(sign, _)| sign)
}

/// A size by the method, with no rim or with each end of the scheme's rims.
fn carried(
    scheme: &Scheme,
    stamp: usize,
    series: Option<usize>,
    (figure, sign): (usize, &Sign),
    method: &Method,
) -> Carried {
    let with = |rim: Option<(usize, Sign)>| {
        let series = series.map(|series| Binding::Series { series, word: 0 });
        let size = Binding::Figure(figure, sign.clone());
        let rim = rim.map(|(rim, sign)| Binding::Figure(rim, sign));
        let bindings: Vec<Binding> = series.into_iter().chain([size]).chain(rim).collect();
        placed(&scheme.make(&bindings, &[stamp]).piece, method)
    };
    let alone = with(None);
    let rims = scheme
        .figures
        .iter()
        .enumerate()
        .find_map(|(place, figure)| {
            let is_rim = figure.method.quantity() == Quantity::RimInnerDiameter;
            let (low, high) = figure.signs.ends().filter(|_| is_rim)?;
            Some([(place, low), (place, high)])
        });
    match (&alone, rims) {
        (Carried::CannotBeCompared(_), Some([low, high])) => {
            let last = high.1.text.clone();
            match (with(Some(low)), with(Some(high))) {
                (Carried::By(low, _), Carried::By(high, _)) => {
                    Carried::By(between(&scheme.id, low, &high, &last), Vec::new())
                }
                _ => alone,
            }
        }
        _ => alone,
    }
}

/// The middle of two values of one size, and what lies between them as a source of doubt.
fn between(scheme: &str, mut low: Measured, high: &Measured, last: &str) -> Measured {
    low.route.steps.push(Step {
        says: sentence!(
            "half way to the same with the rim {rim}",
            rim = last.to_owned()
        ),
        source: sentence!("the ends of the scheme's rims"),
    });
    let middle = low.estimate.plus(&high.estimate).scaled(0.5);
    let apart = (high.estimate.value() - low.estimate.value()).abs() / 2.0;
    let unit = low.method.quantity().dimension().base_unit().symbol;
    let source = Source::new(
        format!("{scheme}/any rim"),
        sentence!("the rim, which the name of the size does not say"),
        Distribution::Rectangular,
    );
    let unsaid = Estimate::rectangular(0.0, apart, Arc::new(source.in_unit(unit)));
    Measured {
        estimate: middle.plus(&unsaid),
        ..low
    }
}

/// Values in order, names of one value together; and what has no place, by its reason.
fn sorted(named: Vec<(String, Carried)>) -> (Vec<ChartSize>, Vec<NoPlace>) {
    let (mut values, mut no_place) = (Vec::new(), Vec::<NoPlace>::new());
    for (name, carried) in named {
        match carried {
            Carried::By(best, _) => values.push((name, best)),
            Carried::CannotBeCompared(why) => {
                let why = why.to_string();
                match no_place.iter_mut().find(|one| one.why == why) {
                    Some(one) => one.names.push(name),
                    None => no_place.push(NoPlace {
                        names: vec![name],
                        why,
                    }),
                }
            }
        }
    }
    values.sort_by(|(_, one), (_, other)| one.estimate.value().total_cmp(&other.estimate.value()));
    let mut sizes: Vec<ChartSize> = Vec::new();
    for (name, measured) in values {
        let figure = Figure::of(&measured, &[]);
        match sizes
            .last_mut()
            .filter(|last| last.figure.reads == figure.reads)
        {
            Some(last) => last.names.push(name),
            None => sizes.push(ChartSize {
                names: vec![name],
                figure,
            }),
        }
    }
    (sizes, no_place)
}

/// Series of one scheme whose sizes are the same share a lane.
fn merged(lanes: Vec<ChartLane>) -> Vec<ChartLane> {
    let mut merged: Vec<ChartLane> = Vec::new();
    for lane in lanes {
        let same = |one: &&mut ChartLane| {
            let amounts = |lane: &ChartLane| {
                let sizes = lane.sizes.iter();
                sizes
                    .map(|one| (one.names.clone(), one.figure.reads.clone()))
                    .collect::<Vec<_>>()
            };
            amounts(one) == amounts(&lane)
        };
        match merged.iter_mut().find(same) {
            Some(one) if !lane.of.is_empty() => one.of = format!("{}, {}", one.of, lane.of),
            Some(_) => {}
            None => merged.push(lane),
        }
    }
    merged
}

/// Every measure that a chart can be made of: those of the neutral frame, and the makers' own that hold for any form, as
/// `QUANTITY@METHOD`.
pub fn chart_measures(snapshot: &Snapshot) -> Vec<String> {
    let mut known = Vec::new();
    for quantity in Quantity::ALL {
        let figures = snapshot.schemes.iter().flat_map(|scheme| &scheme.figures);
        let own: Vec<&Method> = figures.map(|one| &one.method).collect();
        if !own.iter().any(|method| tells(method.quantity(), quantity)) {
            continue;
        }
        let neutral = snapshot.tables.methods.neutral(quantity);
        let own = own
            .into_iter()
            .filter(|method| method.quantity() == quantity && method.holds_for_any_form())
            .cloned();
        for name in neutral
            .into_iter()
            .chain(own)
            .map(|method| super::measure_name::measure_name(&method))
        {
            if !known.contains(&name) {
                known.push(name);
            }
        }
    }
    known
}
