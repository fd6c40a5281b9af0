//! The wall chart on one sheet, landscape.
//!
//! What stands on it is [`ChartAnswer`]; where, its template says. What the sheet has no room for, names
//! or whole lanes, is counted or named on it.

use serde::Serialize;
use serde_json::{Value, json};

use super::signs;
use super::stationery::{Printed, Stationery, Want, Work};
use super::svg;
use crate::answer::{Amount, ChartAnswer, ChartLane, ChartSize};
use crate::language::{current, sign, word};
use crate::method;
use crate::problem::Problem;

/// A sheet to print on, landscape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names say it")]
pub enum Sheet {
    A4,
    A3,
    Letter,
    Tabloid,
}

impl Sheet {
    /// Their names, in addresses.
    pub const NAMES: &'static [&'static str] = &["a4", "a3", "letter", "tabloid"];

    /// The sheet of that name.
    pub fn named(name: &str) -> Option<Self> {
        let all = [Self::A4, Self::A3, Self::Letter, Self::Tabloid];
        let place = Self::NAMES.iter().position(|one| *one == name)?;
        all.get(place).copied()
    }

    /// Width and height, mm (ISO 216; ANSI Y14.1).
    pub fn size_mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (297.0, 210.0),
            Self::A3 => (420.0, 297.0),
            Self::Letter => (279.4, 215.9),
            Self::Tabloid => (431.8, 279.4),
        }
    }
}

/// Edge that printers leave white, mm.
const EDGE_MM: f64 = 8.0;

/// The words of the template, in the language in force.
#[derive(Clone, Debug, Serialize)]
struct Words {
    one_not_written: String,
    /// With a blank for how many.
    not_written: String,
    /// With a blank for the lanes.
    no_room: String,
    inch: String,
}

fn words() -> Words {
    let not_written =
        |count: usize| say_count!(count, "one name not written", "{count} names not written");
    Words {
        one_not_written: not_written(1),
        not_written: not_written(99).replacen("99", "{}", 1),
        no_room: say!("No room on this sheet: {lanes}.", lanes = "{}"),
        inch: say!("inch"),
    }
}

/// A chart for its template.
pub fn given(chart: &ChartAnswer, sheet: Sheet) -> Value {
    let (width_mm, height_mm) = sheet.size_mm();
    let placed = || chart.lanes.iter().filter(|lane| !lane.sizes.is_empty());
    let turn = |place: usize, lane: &ChartLane| {
        let before = placed().take(place);
        before.filter(|one| one.scheme.id == lane.scheme.id).count()
    };
    let lanes: Vec<Value> = placed()
        .enumerate()
        .map(|(place, lane)| {
            json!({
                "title": name(&lane.scheme.title),
                "of": name(&word(&lane.of)),
                "turn": turn(place, lane),
                "sizes": lane.sizes.iter().filter_map(size).collect::<Vec<_>>(),
            })
        })
        .collect();
    let unit = placed().find_map(|lane| Some(lane.sizes.first()?.figure.unit.as_str()));
    json!({
        "language": current().tag(),
        "decimal": sign(),
        "title": title(chart),
        "description": description(chart),
        "sheet": {"width_mm": width_mm, "height_mm": height_mm, "edge_mm": EDGE_MM},
        "unit": unit,
        "inch": (unit == Some("mm")).then_some(25.4),
        "lanes": lanes,
        "notes": notes(chart),
        "words": words(),
    })
}

/// The chart through the press.
///
/// # Errors
/// The press failed; the log says how.
pub fn print(
    chart: &ChartAnswer,
    sheet: Sheet,
    stationery: &Stationery,
    want: Want,
) -> Result<Printed, Problem> {
    stationery.print(Work::Chart, &given(chart, sheet), want)
}

/// The chart as a drawing, named for those who do not see it.
///
/// # Errors
/// The press failed; the log says how.
pub fn drawing(
    chart: &ChartAnswer,
    sheet: Sheet,
    stationery: &Stationery,
) -> Result<String, Problem> {
    let printed = print(chart, sheet, stationery, Want::Drawing)?;
    let drawing = String::from_utf8_lossy(&printed.content.concat()).into_owned();
    Ok(svg::named_sheet(
        &drawing,
        &title(chart),
        &description(chart),
    ))
}

fn title(chart: &ChartAnswer) -> String {
    name(&say!(
        "{quantity} by {method}",
        quantity = word(&chart.quantity),
        method = method::said(&chart.method)
    ))
}

fn name(text: &str) -> String {
    signs::shortened(&signs::printed(&signs::visible(text)), signs::LONGEST_NAME)
}

fn size(size: &ChartSize) -> Option<Value> {
    let (value, expanded) = match *size.figure.amount()? {
        Amount::Length {
            value_mm,
            expanded_mm,
            ..
        } => (value_mm, expanded_mm),
        Amount::Volume {
            value_ml,
            expanded_ml,
            ..
        } => (value_ml, expanded_ml),
    };
    let names: Vec<String> = size.names.iter().map(|one| name(one)).collect();
    Some(json!({
        "value": value,
        "low": value - expanded,
        "high": value + expanded,
        "names": names,
    }))
}

/// How the sheet is read, what has no place on it, and which tables it is of.
fn notes(chart: &ChartAnswer) -> Vec<String> {
    let mut says = vec![say!(
        "{method}. Bars: expanded uncertainty, which holds the true figure with about 95 %. Tables {tables}.",
        method = word(chart.says.trim_end_matches('.')),
        tables = &chart.tables[..chart.tables.len().min(12)]
    )];
    let lost = chart
        .lanes
        .iter()
        .flat_map(|lane| lane.no_place.iter().map(move |one| (lane, one)));
    says.extend(lost.map(|(lane, one)| {
        let of = format!("{} {}", lane.scheme.title, word(&lane.of));
        say!(
            "{lane}: {names} cannot be compared: {why}.",
            lane = of.trim_end(),
            names = one.names.join(", "),
            why = one.why
        )
    }));
    if !chart.without.is_empty() {
        says.push(say!(
            "No such size in: {schemes}.",
            schemes = chart.without.join(", ")
        ));
    }
    let spelled = |text: &String| signs::printed(&signs::visible(text));
    says.iter().map(spelled).collect()
}

fn description(chart: &ChartAnswer) -> String {
    let lane = |lane: &ChartLane| {
        let ends = lane.sizes.first().zip(lane.sizes.last());
        let ends = ends.map(|(first, last)| {
            let (from, until) = (first.figure.text(), last.figure.text());
            format!(", {}", say!("{from} to {until}", from, until))
        });
        let sizes = say_count!(lane.sizes.len(), "one size", "{count} sizes");
        let (title, of) = (&lane.scheme.title, word(&lane.of));
        format!("{title} {of}: {sizes}{}.", ends.unwrap_or_default())
    };
    let lanes: Vec<String> = chart.lanes.iter().map(lane).collect();
    signs::visible(&format!("{}. {}", title(chart), lanes.join(" ")))
}
