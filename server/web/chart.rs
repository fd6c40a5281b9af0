//! The wall chart over HTTP: a page to choose and print, and the drawing alone.

use minijinja::{Value, context};

use super::parameters::query;
use super::question::{Answer, Media, Question};
use super::templates::value;
use crate::answer::{self, ChartAnswer};
use crate::language::word;
use crate::method;
use crate::paper::Want;
use crate::paper::chart::{self, Sheet};
use crate::problem::Problem;
use crate::scheme::Instrument;
use crate::snapshot::Snapshot;

/// What is charted where nothing else is wished.
const MEASURE: &str = "rim inner diameter";

/// What was asked.
struct Asked<'a> {
    schemes: Vec<&'a str>,
    measure: &'a str,
    sheet: &'static str,
}

fn asked(question: &Question) -> Result<Asked<'_>, Problem> {
    let parameters = &question.parameters;
    let measure = parameters.text("measure");
    Ok(Asked {
        schemes: parameters.all("scheme").collect(),
        measure: if measure.is_empty() { MEASURE } else { measure },
        sheet: parameters.word("sheet", Sheet::NAMES)?,
    })
}

fn charted(question: &Question, asked: &Asked<'_>) -> Result<ChartAnswer, Problem> {
    answer::chart(&question.snapshot, &asked.schemes, asked.measure)
}

fn sheet(asked: &Asked<'_>) -> Sheet {
    Sheet::named(asked.sheet).unwrap_or(Sheet::A4)
}

/// The choice and the chart; a choice that cannot be charted says why and is kept.
pub(super) fn page(question: &Question) -> Result<Answer, Problem> {
    let asked = asked(question)?;
    let charted = charted(question, &asked);
    let first = asked.schemes.is_empty() && question.parameters.text("measure").is_empty();
    let trouble = charted.as_ref().err().filter(|_| !first);
    let drawing = charted
        .as_ref()
        .ok()
        .map(|answer| chart::drawing(answer, sheet(&asked), &question.counter.paper.stationery()))
        .transpose()?;
    let page = context! {
        title => say!("Wall chart"),
        schemes => schemes(&question.snapshot, &asked.schemes),
        instruments => instruments(&question.snapshot, &asked),
        measures => measures(&question.snapshot, asked.measure),
        sheets => Sheet::NAMES.iter().copied().map(|name| context! { name, chosen => name == asked.sheet }).collect::<Vec<_>>(),
        sheet => asked.sheet,
        trouble => trouble.map(|problem| value(&problem.details())),
        lanes => charted.as_ref().ok().map(|answer| value(&answer.lanes)),
        alone => address("/chart.svg", &asked),
        document => address("/chart.pdf", &asked),
        drawing,
    };
    let html = question
        .counter
        .templates
        .page("chart.html", "/chart", &question.snapshot, page)?;
    let status = trouble.map_or(200, Problem::status);
    Ok(Answer::Whole(status, Media::Html, html.into_bytes()))
}

/// The drawing alone.
pub(super) fn drawing(question: &Question) -> Result<Answer, Problem> {
    let asked = asked(question)?;
    let answer = charted(question, &asked)?;
    Ok(Answer::ok(
        Media::Svg,
        chart::drawing(&answer, sheet(&asked), &question.counter.paper.stationery())?,
    ))
}

/// The same as a document.
pub(super) fn document(question: &Question) -> Result<Answer, Problem> {
    let asked = asked(question)?;
    let want = Want::Pdf(question.parameters.day()?);
    let stationery = &question.counter.paper.stationery();
    let printed = chart::print(&charted(question, &asked)?, sheet(&asked), stationery, want)?;
    Ok(Answer::ok(Media::Pdf, printed.content.concat()))
}

/// The sizes as data.
pub(super) fn data(question: &Question) -> Result<Answer, Problem> {
    let parameters = &question.parameters;
    let schemes: Vec<&str> = parameters.all("scheme").collect();
    let measure = parameters.text("measure");
    let measure = if measure.is_empty() { MEASURE } else { measure };
    Answer::json(&answer::chart(&question.snapshot, &schemes, measure)?)
}

fn schemes(snapshot: &Snapshot, chosen: &[&str]) -> Vec<Value> {
    let one = |scheme: &std::sync::Arc<crate::scheme::Scheme>| {
        let serves: Vec<String> = scheme.serves.iter().map(|one| word(one.name())).collect();
        context! {
            id => scheme.id.as_str(),
            title => scheme.title.as_str(),
            serves => serves.join(", "),
            chosen => chosen.contains(&scheme.id.as_str()),
        }
    };
    snapshot.schemes.iter().map(one).collect()
}

/// For each instrument all schemes that serve it, as one address.
fn instruments(snapshot: &Snapshot, asked: &Asked<'_>) -> Vec<Value> {
    let of = |instrument: Instrument| {
        let serving = snapshot
            .schemes
            .iter()
            .filter(|one| one.serves.contains(&instrument));
        let schemes: Vec<&str> = serving.map(|one| one.id.as_str()).collect();
        let link = address(
            "/chart",
            &Asked {
                schemes: schemes.clone(),
                ..*asked
            },
        );
        (!schemes.is_empty()).then(|| context! { name => word(instrument.name()), link })
    };
    Instrument::ALL.into_iter().filter_map(of).collect()
}

fn measures(snapshot: &Snapshot, chosen: &str) -> Vec<Value> {
    let mut names = answer::chart_measures(snapshot);
    let same = |name: &String| name == chosen || name.split('@').next() == Some(chosen);
    let place = names.iter().position(same);
    if place.is_none() {
        names.push(chosen.to_owned());
    }
    let place = place.unwrap_or(names.len() - 1);
    let option =
        |(at, name): (usize, &String)| context! { name, says => said(name), chosen => at == place };
    names.iter().enumerate().map(option).collect()
}

/// `QUANTITY@METHOD` for people.
fn said(name: &str) -> String {
    match name.split_once('@') {
        Some((quantity, by)) => format!("{}, {}", word(quantity), method::said(by)),
        None => word(name),
    }
}

fn address(path: &str, asked: &Asked<'_>) -> String {
    let schemes = asked.schemes.iter().map(|id| ("scheme", *id));
    let rest = [("measure", asked.measure), ("sheet", asked.sheet)];
    format!("{path}?{}", query(schemes.chain(rest)))
}
