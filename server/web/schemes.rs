//! The pages of the schemes.

use minijinja::{Value, context};

use super::question::{Answer, Media, Question};
use super::templates::value;
use super::view::stamp_link;
use crate::answer::{self, FindAsk, SchemeAnswer, WorkedAnswer};
use crate::paper::{SvgSize, section_svg};
use crate::problem::Problem;
use crate::snapshot::Snapshot;

pub(super) fn all(question: &Question) -> Result<Answer, Problem> {
    let snapshot = &question.snapshot;
    let schemes: Vec<Value> = answer::schemes(snapshot)
        .schemes
        .iter()
        .map(shown)
        .collect();
    let faults: Vec<Value> = snapshot
        .faults
        .iter()
        .map(|fault| value(&answer::FaultAnswer::of(fault)))
        .collect();
    page(question, "schemes.html", context! { schemes, faults })
}

pub(super) fn one(question: &Question) -> Result<Answer, Problem> {
    let snapshot = &question.snapshot;
    let search = question.parameters.text("q");
    let scheme = answer::scheme(snapshot, &question.named)?;
    let guide = answer::guide(snapshot, &question.named, search)?;
    let (told, more) = guide.worked.split_at(guide.worked.len().min(TOLD));
    let drawn = guide.drawn.as_ref();
    let page_of = context! {
        one => shown(&scheme),
        search,
        looked => (!search.is_empty()).then(|| looked_for(snapshot, &question.named, search)),
        told => told.iter().map(worked).collect::<Vec<_>>(),
        more => more.iter().map(worked).collect::<Vec<_>>(),
        drawing => drawn.map(|drawn| section_svg(&drawn.section, ROOM)),
        drawn_on => drawn.map(|drawn| drawn.canonical.as_str()),
        guide => value(&guide),
    };
    page(question, "scheme.html", page_of)
}

/// Examples of which every segment is told; the others stand beneath as links.
const TOLD: usize = 4;

/// Pieces shown of what a search may mean.
const PERHAPS: usize = 5;

/// Pieces looked at: those of other schemes are left out.
const LOOKED_AT: usize = 100;

/// Room for the drawing of the methods.
const ROOM: SvgSize = SvgSize {
    width_mm: 100.0,
    height_mm: 70.0,
};

fn worked(one: &WorkedAnswer) -> Value {
    context! { link => stamp_link(&one.stamp), ..value(one) }
}

/// Stamps of this scheme that the text is or may be, each as a link to the counter.
fn looked_for(snapshot: &Snapshot, id: &str, search: &str) -> Value {
    let read = answer::decode(snapshot, search).map(|answer| answer.readings);
    let read: Vec<Value> = read
        .unwrap_or_default()
        .iter()
        .filter(|one| one.scheme.id == id)
        .map(|one| context! { canonical => one.canonical.as_str(), made => one.made.clone(), link => stamp_link(&one.canonical) })
        .collect();
    let ask = FindAsk {
        partial: search,
        gauges: &[],
        limit: LOOKED_AT,
    };
    let found = answer::find(snapshot, &ask).map(|answer| answer.results);
    let perhaps: Vec<Value> = found
        .unwrap_or_default()
        .iter()
        .filter(|one| one.scheme.id == id)
        .take(PERHAPS)
        .map(|one| context! { canonical => one.canonical.as_str(), link => stamp_link(&one.canonical) })
        .collect();
    context! { read, perhaps }
}

fn page(question: &Question, name: &str, page: Value) -> Result<Answer, Problem> {
    Ok(Answer::ok(
        Media::Html,
        question
            .counter
            .templates
            .page(name, "/schemes", &question.snapshot, page)?,
    ))
}

/// A scheme with its examples as links.
fn shown(scheme: &SchemeAnswer) -> Value {
    let example = |stamp: &String| context! { stamp, link => stamp_link(stamp) };
    let tries: Vec<Value> = scheme.examples.iter().map(example).collect();
    context! { scheme => value(&scheme.scheme), tries, ..value(scheme) }
}
