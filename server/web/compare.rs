//! Pieces side by side, on a page.
//!
//! What was entered stays in its field, and what is wrong with it stands beneath; the pieces that
//! can be read are compared all the same. Adding, removing, swapping and pinning are addresses.

use minijinja::context;

use super::question::{Answer, Media, Question};
use super::templates::value;
use super::view::{self, SideBySide};
use crate::answer::{self, CompareAnswer, MOST_PIECES, ReadPiece};
use crate::problem::Problem;

pub(super) fn page(question: &Question) -> Result<Answer, Problem> {
    let parameters = &question.parameters;
    let asked = SideBySide {
        pieces: parameters.all("piece").map(str::to_owned).collect(),
        pinned: parameters.count("pinned", 1, usize::MAX)?,
        units: parameters.word("units", &["both", "mm", "inch"])?,
    };
    let read: Vec<Result<ReadPiece, Problem>> = asked
        .pieces
        .iter()
        .map(|piece| answer::read_piece(&question.snapshot, piece))
        .collect();
    let too_many = too_many(&asked.pieces);
    let (compared, trouble) = compared(question, &asked, &read);
    let wrong = too_many.iter().chain(&trouble).next();
    let status = read
        .iter()
        .filter_map(|one| one.as_ref().err())
        .chain(wrong)
        .map(Problem::status)
        .max();
    let page = context! {
        title => say!("Side by side"),
        units => asked.units,
        pinned => asked.pinned,
        rows => view::piece_rows(&asked, &read, MOST_PIECES),
        trouble => wrong.map(|problem| value(&problem.details())),
        answer => compared.map(|answer| view::side_by_side(&answer, &asked)),
    };
    let html =
        question
            .counter
            .templates
            .page("compare.html", "/compare", &question.snapshot, page)?;
    Ok(Answer::Whole(
        status.unwrap_or(200),
        Media::Html,
        html.into_bytes(),
    ))
}

/// What is said of a fifth piece.
fn too_many(pieces: &[String]) -> Option<Problem> {
    let names: Vec<&str> = pieces.iter().map(String::as_str).collect();
    (names.len() > MOST_PIECES)
        .then(|| answer::enough(&names).err())
        .flatten()
}

/// The comparison of the first few that can be read, if they are enough for one. One piece alone is no
/// fault: the next has not been entered yet.
fn compared(
    question: &Question,
    asked: &SideBySide,
    read: &[Result<ReadPiece, Problem>],
) -> (Option<CompareAnswer>, Option<Problem>) {
    let good = read.iter().take(MOST_PIECES).zip(1..);
    let good: Vec<(ReadPiece, usize)> = good
        .filter_map(|(one, number)| Some((one.as_ref().ok()?.clone(), number)))
        .collect();
    if good.len() < 2 {
        return (None, None);
    }
    let wanted = good.iter().position(|(_, number)| *number == asked.pinned);
    let pinned = match wanted {
        Some(place) => place + 1,
        None if asked.pinned <= read.len().min(MOST_PIECES) => 1,
        None => asked.pinned,
    };
    let pieces: Vec<ReadPiece> = good.into_iter().map(|(one, _)| one).collect();
    match answer::compare_read(&question.snapshot, &pieces, pinned) {
        Ok(answer) => (Some(answer), None),
        Err(problem) => (None, Some(problem)),
    }
}
