//! The settings, to look at: as a page and as data.

use minijinja::context;

use super::question::{Answer, Media, Question};
use super::templates::value;
use crate::answer;
use crate::problem::Problem;

pub(super) fn page(question: &Question) -> Result<Answer, Problem> {
    let settings = answer::settings(&question.counter.config, &question.snapshot);
    let page = context! { title => say!("Settings"), answer => value(&settings) };
    let html =
        question
            .counter
            .templates
            .page("settings.html", "/settings", &question.snapshot, page)?;
    Ok(Answer::ok(Media::Html, html))
}

pub(super) fn data(question: &Question) -> Result<Answer, Problem> {
    let config = &question.counter.config;
    Answer::json(&answer::settings(config, &question.snapshot))
}
