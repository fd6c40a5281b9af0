//! The card over HTTP: a page to print, text, a drawing, a document.

use super::api::card_of;
use super::question::{Answer, Media, Question};
use crate::paper::{self, Dress, Form};
use crate::problem::Problem;

/// Columns of the text on an 80 mm roll.
const COLUMNS: usize = 42;

pub(super) fn html(question: &Question) -> Result<Answer, Problem> {
    Ok(Answer::ok(
        Media::Html,
        paper::html::html(&card_of(question)?, Dress::Served),
    ))
}

pub(super) fn text(question: &Question) -> Result<Answer, Problem> {
    card(question, Media::Text, Form::Text { columns: COLUMNS })
}

pub(super) fn svg(question: &Question) -> Result<Answer, Problem> {
    card(question, Media::Svg, Form::Svg)
}

pub(super) fn pdf(question: &Question) -> Result<Answer, Problem> {
    card(question, Media::Pdf, Form::Pdf)
}

fn card(question: &Question, media: Media, form: Form) -> Result<Answer, Problem> {
    Ok(Answer::ok(media, paper::render(&card_of(question)?, form)))
}
