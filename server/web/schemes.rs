//! The pages of the schemes.

use minijinja::{Value, context};

use super::question::{Answer, Media, Question};
use super::templates::value;
use super::view::stamp_link;
use crate::answer::{self, SchemeAnswer};
use crate::problem::Problem;

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
    let scheme = answer::scheme(&question.snapshot, &question.named)?;
    page(question, "scheme.html", context! { one => shown(&scheme) })
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
