//! `counterbore pull`: the plug-ins that the configuration's shelf lists.

use serde::Serialize;

use super::{Failure, loaded, outcome_of, pretty, print};
use crate::config::Config;
use crate::fetch::{self, Outcome, Pulled};
use crate::language::word;

/// What became of one file, as it is printed.
#[derive(Serialize)]
struct PulledAnswer {
    file: String,
    url: String,
    outcome: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    hint: Option<String>,
}

impl PulledAnswer {
    fn of(pulled: &Pulled) -> Self {
        let (outcome, why, hint) = match &pulled.outcome {
            Outcome::Fetched => (word!("fetched"), None, None),
            Outcome::AlreadyTheSame => (word!("already the same"), None, None),
            Outcome::Failed(failure) => (
                "failed",
                Some(failure.why.to_string()),
                Some(failure.mend.to_string()),
            ),
        };
        Self {
            file: pulled.file.as_str().to_owned(),
            url: pulled.url.clone(),
            outcome,
            why,
            hint,
        }
    }
}

/// Fetches, says what became of each file, and answers with the exit code.
pub fn pull(config: &Config, json: bool) -> u8 {
    let snapshot = match loaded(config) {
        Ok(snapshot) => snapshot,
        Err(failure) => return outcome_of(Err(failure), json),
    };
    let pulled = fetch::pull_now(config, &snapshot);
    let answers: Vec<PulledAnswer> = pulled.iter().map(PulledAnswer::of).collect();
    let text = if json {
        pretty(&answers)
    } else {
        Ok(said(&answers))
    };
    match text.and_then(|text| print(&text)) {
        Ok(()) => fetch::exit_code(&pulled),
        Err(problem) => outcome_of(Err(Failure::Problem(problem)), json),
    }
}

/// A line a file; what failed goes to standard error as well, so that it is not overlooked.
fn said(answers: &[PulledAnswer]) -> String {
    if answers.is_empty() {
        return say!("The shelf is empty: list files under `shelf` in config.yml.") + "\n";
    }
    let mut out = String::new();
    for one in answers {
        match &one.why {
            None => out += &format!("{}: {}\n", one.file, word(one.outcome)),
            Some(why) => {
                eprintln!("counterbore: {}: {why}", one.file);
                let hint = one.hint.clone().unwrap_or_else(|| say!("try again"));
                eprintln!("  {}", say!("mend: {hint}", hint));
            }
        }
    }
    out
}
