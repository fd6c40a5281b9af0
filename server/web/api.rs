//! The programming interface: one function a question, JSON from the answers themselves.

use std::sync::{Mutex, MutexGuard, TryLockError};

use schemars::JsonSchema;
use serde::Serialize;

use super::question::{Answer, Question};
use crate::answer::{self, Ask, FaultAnswer, FindAsk, MOST_RESULTS, Run, Wish};
use crate::card::Card;
use crate::problem::{Kind, Problem};

/// Trials of one request: they keep a core busy for seconds. More can be had on the command line.
const MOST_TRIALS: usize = 10_000;

/// Faults of all files.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct CheckAnswer {
    /// Whether every file can be used.
    pub good: bool,
    /// All faults and warnings, file by file.
    pub faults: Vec<FaultAnswer>,
    /// SHA-256 of all tables together.
    pub tables: String,
}

pub(super) fn decode(question: &Question) -> Result<Answer, Problem> {
    let wish = wish(question)?;
    let _turn = turn(&wish)?;
    Answer::json(&answer::decode_explained(
        &question.snapshot,
        question.parameters.text("stamp"),
        &wish,
    )?)
}

pub(super) fn find(question: &Question) -> Result<Answer, Problem> {
    let gauges: Vec<String> = question
        .parameters
        .all("gauge")
        .map(str::to_owned)
        .collect();
    let partial = question.parameters.text("partial");
    let limit = question.parameters.count("limit", 10, MOST_RESULTS)?;
    Answer::json(&answer::find(
        &question.snapshot,
        &FindAsk {
            partial,
            gauges: &gauges,
            limit,
        },
    )?)
}

pub(super) fn translate(question: &Question) -> Result<Answer, Problem> {
    let wishes: Vec<&str> = question.parameters.all("wish").collect();
    let wishes = answer::wishes(&question.snapshot, &wishes)?;
    let wish = wish(question)?;
    let _turn = turn(&wish)?;
    Answer::json(&answer::translate_wished(
        &question.snapshot,
        &ask(question, 3)?,
        &wish,
        &wishes,
    )?)
}

pub(super) fn compare(question: &Question) -> Result<Answer, Problem> {
    let parameters = &question.parameters;
    let pieces: Vec<&str> = parameters.all("piece").collect();
    let pinned = parameters.count("pinned", 1, answer::MOST_PIECES)?;
    Answer::json(&answer::compare(&question.snapshot, &pieces, pinned)?)
}

pub(super) fn card(question: &Question) -> Result<Answer, Problem> {
    Answer::json(&card_of(question)?)
}

pub(super) fn check(question: &Question) -> Result<Answer, Problem> {
    let snapshot = &question.snapshot;
    let of_files = snapshot.files.iter().flat_map(|file| &file.diagnostics);
    Answer::json(&CheckAnswer {
        good: snapshot.broken().next().is_none() && snapshot.tables_kept_since.is_none(),
        faults: snapshot
            .faults
            .iter()
            .chain(of_files)
            .map(FaultAnswer::of)
            .collect(),
        tables: snapshot.hash.clone(),
    })
}

pub(super) fn schemes(question: &Question) -> Result<Answer, Problem> {
    Answer::json(&answer::schemes(&question.snapshot))
}

pub(super) fn scheme(question: &Question) -> Result<Answer, Problem> {
    Answer::json(&answer::scheme(&question.snapshot, &question.named)?)
}

pub(super) fn guide(question: &Question) -> Result<Answer, Problem> {
    let search = question.parameters.text("q");
    Answer::json(&answer::guide(&question.snapshot, &question.named, search)?)
}

/// The card that a question asks for.
pub(super) fn card_of(question: &Question) -> Result<Card, Problem> {
    let counter = &question.counter;
    let ask = ask(question, 1)?;
    let date = question.parameters.day()?;
    Card::of(
        &question.snapshot,
        &counter.config,
        &ask,
        &counter.address,
        date,
    )
}

/// A translation as parameters ask for it; `into` may be repeated or joined by commas.
fn ask(question: &Question, limit: usize) -> Result<Ask<'_>, Problem> {
    let parameters = &question.parameters;
    Ok(Ask {
        stamp: parameters.text("stamp"),
        into: parameters
            .all("into")
            .flat_map(|list| list.split(','))
            .map(str::trim)
            .collect(),
        reading: parameters.count("reading", 1, usize::MAX)?,
        limit: parameters.count("limit", limit, MOST_RESULTS)?,
    })
}

/// Whoever has it lets trials run; a run takes a core for seconds, and the counter has two.
static TURN: Mutex<()> = Mutex::new(());

/// The turn, where trials are wished for.
fn turn(wish: &Wish) -> Result<Option<MutexGuard<'static, ()>>, Problem> {
    if wish.run.is_none() {
        return Ok(None);
    }
    match TURN.try_lock() {
        Ok(turn) => Ok(Some(turn)),
        Err(TryLockError::Poisoned(turn)) => Ok(Some(turn.into_inner())),
        Err(TryLockError::WouldBlock) => Err(Problem::new(
            Kind::Busy,
            sentence!("another run of trials is under way"),
        )
        .hint(sentence!("ask again in a moment"))),
    }
}

/// What is to be explained, as parameters ask for it.
fn wish(question: &Question) -> Result<Wish, Problem> {
    let parameters = &question.parameters;
    let run = match parameters.text("monte_carlo") {
        "" if !parameters.text("seed").is_empty() => {
            let says = sentence!("a `seed` without `monte_carlo`: no trials are wished for");
            return Err(Problem::new(Kind::BadParameter, says)
                .hint(sentence!("add `monte_carlo`, or leave `seed` out")));
        }
        "" => None,
        _ => {
            let trials = parameters.count("monte_carlo", 1, usize::MAX)?;
            let seed = parameters.count("seed", 1, usize::MAX)? as u64;
            let run = Run::new("monte_carlo", trials, seed, MOST_TRIALS)?;
            let left = question.left.clone();
            Some(Run { left, ..run })
        }
    };
    Ok(Wish {
        budget: parameters.word("budget", &["no", "yes"])? == "yes",
        run,
        piece_only: false,
    })
}
