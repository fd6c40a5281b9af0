//! The page of gauges: where each was put is chosen by picture, and the list stands in the address.
//!
//! The form asks with `add`; what it states is written as one `gauge` value and the page is led to the
//! address with it. What cannot be read stays in the form, with what is wrong beside it. What the pieces found
//! by them are is the counter's answer.

use minijinja::{Value, context};

use super::counter;
use super::parameters::{Parameters, query};
use super::question::{Answer, Media, Question};
use super::templates::value;
use super::view::{self, Asked};
use crate::answer::{self, method_text};
use crate::language::word;
use crate::method;
use crate::problem::{Kind, Problem};
use crate::scheme::Tables;
use crate::snapshot::Snapshot;

/// Fields of the form that say how a method was used, as the methods name them.
const METHOD_FIELDS: [method::Parameter; 10] = method::Parameter::ALL;

pub(super) fn page(question: &Question) -> Result<Answer, Problem> {
    let (parameters, snapshot) = (&question.parameters, &question.snapshot);
    let asked = Asked {
        text: parameters.text("q").to_owned(),
        reading: 1,
        gauges: parameters.all("gauge").map(str::to_owned).collect(),
        wishes: Vec::new(),
        units: parameters.word("units", &["both", "mm", "inch"])?,
    };
    let trouble = match added(parameters, asked.gauges.len(), &snapshot.tables) {
        Ok(None) => None,
        Ok(Some(gauge)) => return Ok(Answer::SeeOther(address(parameters, gauge.as_deref()))),
        Err(problem) => Some(problem),
    };
    let (found, wrong) = found(snapshot, &asked);
    let status = trouble.iter().chain(&wrong).map(Problem::status).max();
    let page = context! {
        title => say!("Gauges"),
        asked => context! { text => asked.text.as_str(), gauges => asked.gauges.clone(), units => asked.units },
        units => asked.units,
        list => list(snapshot, &asked),
        form => form(parameters),
        places => view::places(&answer::places(snapshot), parameters.text("by")),
        drills => drills(&snapshot.tables),
        trouble => trouble.map(|problem| value(&problem.details())),
        wrong => wrong.map(|problem| value(&problem.details())),
        counter => asked.link(),
        answer => found,
    };
    let templates = &question.counter.templates;
    let html = templates.page("gauge.html", "/gauge", snapshot, page)?;
    let status = status.unwrap_or(200);
    Ok(Answer::Whole(status, Media::Html, html.into_bytes()))
}

/// What the pieces may be; nothing while there is nothing to go by.
fn found(snapshot: &Snapshot, asked: &Asked) -> (Option<Value>, Option<Problem>) {
    if asked.text.is_empty() && asked.gauges.is_empty() {
        return (None, None);
    }
    match counter::found(snapshot, asked, counter::PERHAPS) {
        Ok(found) => (Some(view::found(&found, &[], asked)), None),
        Err(problem) => (None, Some(problem)),
    }
}

/// The gauge of the form as one text; `None` where the form was not sent, `Some(None)` where it was sent without one.
fn added(
    parameters: &Parameters,
    place: usize,
    tables: &Tables,
) -> Result<Option<Option<String>>, Problem> {
    if parameters.text("add").is_empty() {
        return Ok(None);
    }
    let shows: Vec<&str> = parameters.all("shows").collect();
    let drills = [parameters.text("passes"), parameters.text("stops")];
    let states = !shows.is_empty() || drills.iter().any(|drill| !drill.is_empty());
    match (parameters.text("by"), states) {
        ("", false) => Ok(Some(None)),
        ("", true) => Err(bad(say!("it is not said where the gauge was put"))
            .hint(say!("choose a place in the picture"))),
        (_, false) => Err(bad(say!("it is not said what the gauge shows"))
            .hint(say!("enter a reading with its unit, or a drill"))),
        (by, true) => {
            let shown = shown(parameters, &shows, drills)?;
            let text = format!("{by}{}={shown}", used(parameters, by, tables));
            // How it is written is no help to one who did not write it.
            answer::gauge(&text, place, tables).map_err(|problem| Problem {
                hint: None,
                ..problem
            })?;
            Ok(Some(Some(text)))
        }
    }
}

fn bad(says: String) -> Problem {
    Problem::new(Kind::BadGauge, says)
}

/// ` at 1.0 mm`: the parameters that the method has, as far as they are stated.
fn used(parameters: &Parameters, by: &str, tables: &Tables) -> String {
    let named = |row: &&std::sync::Arc<method::MethodRow>| sign(row.quantity, &row.name) == by;
    let Some(row) = tables.methods.rows().iter().find(named) else {
        return String::new();
    };
    let stated = row.functional.parameters().iter().filter_map(|one| {
        let text = parameters.text(one.name());
        let unit = match one {
            method::Parameter::Angle => "deg",
            _ => "mm",
        };
        (!text.is_empty()).then(|| format!(" {} {}", one.name(), with_unit(text, unit)))
    });
    stated.collect()
}

/// Readings joined as one value, or drills as limits.
fn shown(parameters: &Parameters, shows: &[&str], drills: [&str; 2]) -> Result<String, Problem> {
    let [passes, stops] = drills;
    let tried = [("passes drill", passes), ("not drill", stops)];
    let tried: Vec<String> = tried
        .iter()
        .filter(|(_, drill)| !drill.is_empty())
        .map(|(word, drill)| format!("{word} {drill}"))
        .collect();
    match (shows.is_empty(), tried.is_empty()) {
        (true, _) => Ok(tried.join(", ")),
        (false, false) => Err(bad(say!("readings and drills are two gauges"))
            .hint(say!("enter one, take it in, then the other"))),
        (false, true) => {
            let unit = parameters.text("unit");
            let within = parameters.text("within");
            let mut readings: Vec<String> = shows.iter().map(|one| with_unit(one, unit)).collect();
            if let Some(last) = readings.last_mut().filter(|_| !within.is_empty()) {
                *last = format!("{last} ± {}", with_unit(within, unit));
            }
            Ok(readings.join("; "))
        }
    }
}

/// The text with a unit, where it is only a number.
fn with_unit(text: &str, unit: &str) -> String {
    let bare = text
        .chars()
        .all(|sign| sign.is_ascii_digit() || matches!(sign, '.' | ',' | ' ' | '/'));
    match bare && !unit.is_empty() {
        true => format!("{text} {unit}"),
        false => text.to_owned(),
    }
}

/// This page with one gauge more and an empty form.
fn address(parameters: &Parameters, gauge: Option<&str>) -> String {
    let mut pairs: Vec<(&str, &str)> = Vec::new();
    for name in ["q", "gauge", "units", "language"] {
        pairs.extend(parameters.all(name).map(|value| (name, value)));
        if name == "gauge" {
            pairs.extend(gauge.map(|gauge| (name, gauge)));
        }
    }
    format!("/gauge?{}", query(pairs))
}

/// The gauges that are held, each with the address of the page without it.
fn list(snapshot: &Snapshot, asked: &Asked) -> Vec<Value> {
    let gauges = asked.gauges.iter().enumerate();
    let row = |(place, text): (usize, &String)| {
        let mut less = asked.clone();
        less.gauges.remove(place);
        let read = answer::gauge(text, place, &snapshot.tables);
        let shows = text
            .split_once('=')
            .map_or(text.as_str(), |(_, shows)| shows);
        context! {
            text,
            shows => shows.trim(),
            method => read.as_ref().ok().map(|gauge| {
                let method = gauge.method();
                format!("{}, {}", word(method.quantity().name()), method::said(&method_text(method)))
            }),
            problem => read.as_ref().err().map(|problem| value(&problem.details())),
            remove => less.gauges_link(),
        }
    };
    gauges.map(row).collect()
}

/// What stands in the form.
fn form(parameters: &Parameters) -> Value {
    let mut shows: Vec<String> = parameters.all("shows").map(str::to_owned).collect();
    shows.resize(shows.len().max(READINGS), String::new());
    let fields = METHOD_FIELDS.map(|one| {
        context! {
            name => one.name(),
            text => parameters.text(one.name()),
            like => one.like().to_vec(),
            choice => one.like().len() > 1,
        }
    });
    context! {
        shows,
        fields => fields.to_vec(),
        unit => parameters.text("unit"),
        within => parameters.text("within"),
        passes => parameters.text("passes"),
        stops => parameters.text("stops"),
    }
}

/// Readings that the form has room for.
const READINGS: usize = 4;

/// Drills by name, with their sizes.
fn drills(tables: &Tables) -> Vec<Value> {
    let gauges = tables.gauges.iter().flat_map(|table| table.gauges());
    gauges
        .map(|one| {
            let size = crate::language::number(format!("{:.2}", one.size_mm));
            context! { name => one.name.as_str(), says => format!("{} ({size} mm)", one.name) }
        })
        .collect()
}

/// A method as gauge values name it.
fn sign(quantity: method::Quantity, name: &str) -> String {
    format!("{}@{name}", quantity.name())
}
