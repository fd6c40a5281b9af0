//! Whether the process answers, and whether it can answer questions.

use super::question::{Answer, Media, Question};
use crate::problem::Problem;

/// No table and no file is asked.
pub(super) fn live(_: &Question) -> Result<Answer, Problem> {
    Ok(Answer::ok(Media::Text, "live\n"))
}

/// A broken plug-in does not make the counter unready: the others serve.
pub(super) fn ready(question: &Question) -> Result<Answer, Problem> {
    let schemes = question.snapshot.schemes.len();
    let broken = question.snapshot.broken().count();
    let says = format!("{schemes} schemes, {broken} broken files\n");
    Ok(if schemes == 0 {
        Answer::Whole(
            503,
            Media::Text,
            format!("no scheme is loaded; {says}").into_bytes(),
        )
    } else {
        Answer::ok(Media::Text, format!("ready: {says}"))
    })
}
