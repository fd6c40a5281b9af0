//! The command line: a thin face on [`crate::answer`].
//!
//! Each command asks one question and prints its answer, as text for people or as the JSON of
//! `/api/v1/`. Answers go to standard output; a problem goes to standard error, one line
//! first, then how to mend it. Exit codes are those of [`crate::problem::exit`].

mod arguments;
mod check;
mod compare;
mod explain;
mod log;
mod pull;
mod say;

use std::io::{IsTerminal, Write};
use std::process::ExitCode;

use clap::Parser;
use serde::Serialize;

use crate::answer::{self, Ask, FindAsk, Run, TraceRefused, Wish};
use crate::card::Card;
use crate::config::{Config, Paper, Surroundings};
use crate::diagnostic::Diagnostic;
use crate::language::{Language, Sentence, within};
use crate::load::{self, Moment};
use crate::paper::{self, Form, Stationery, signs::line_by_line, signs::visible};
use crate::problem::{Kind, Problem, exit};
use crate::snapshot::Snapshot;
use crate::uncertainty::monte_carlo::MOST_TRIALS;
use crate::web;

pub use arguments::command;
use arguments::{Arguments, CardAsk, Command, Explain, Output, StampAsk, TraceAsk};

/// Runs the command line of this process.
pub fn run() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(fault) => {
            let wrong = fault.use_stderr();
            if wrong {
                eprint!("{}", line_by_line(&fault.render().to_string()));
            } else {
                // Nothing is left to be done where even the help cannot be printed.
                let _ = fault.print();
            }
            return ExitCode::from(if wrong { exit::USAGE } else { exit::DONE });
        }
    };
    ExitCode::from(outcome(&arguments))
}

/// Exit code of one command, all said.
fn outcome(arguments: &Arguments) -> u8 {
    let config = match Config::load(&arguments.flags(), &Surroundings::of_process()) {
        Ok(config) => config,
        Err(faults) => return faulty(&faults, exit::USAGE),
    };
    let json = arguments.common.format == Output::Json;
    within(&spoken(&config, json), || answered(arguments, config, json))
}

/// The language of whoever sits at the terminal: as configured, or that of the locale. Programs are
/// answered in English.
fn spoken(config: &Config, json: bool) -> Language {
    let languages = || load::languages(&config.tables.value).languages;
    let meant = match (&config.language.value, &config.locale) {
        _ if json => None,
        (Some(tag), _) => languages().meant(tag),
        (None, Some(locale)) => languages().of_locale(locale),
        (None, None) => None,
    };
    meant.unwrap_or_default()
}

/// Exit code of one command under a configuration.
fn answered(arguments: &Arguments, config: Config, json: bool) -> u8 {
    let answered = match &arguments.command {
        Command::Check { paths } => return check::check(&config, paths, json),
        Command::Pull => return pull::pull(&config, json),
        Command::Serve { .. } => serve(config),
        Command::Decode { stamp, explain } => ask(
            &config,
            json,
            |snapshot| answer::decode_explained(snapshot, stamp, &explain.wish()?),
            say::decoded,
        ),
        Command::Find {
            partial,
            gauges,
            limit,
        } => {
            let ask = FindAsk {
                partial,
                gauges,
                limit: *limit,
            };
            find(&config, json, &ask)
        }
        Command::Translate {
            what,
            wishes,
            explain,
        } => ask(
            &config,
            json,
            |snapshot| {
                let texts: Vec<&str> = wishes.iter().map(String::as_str).collect();
                let wishes = answer::wishes(snapshot, &texts)?;
                answer::translate_wished(snapshot, &what.ask(), &explain.wish()?, &wishes)
            },
            say::translated,
        ),
        Command::Trace(what) => trace(&config, what, json),
        Command::Compare { pieces, pinned } => {
            let pieces: Vec<&str> = pieces.iter().map(String::as_str).collect();
            ask(
                &config,
                json,
                |snapshot| answer::compare(snapshot, &pieces, *pinned),
                compare::compared,
            )
        }
        Command::Card(what) => card(&config, what, json),
    };
    outcome_of(answered, json)
}

/// Exit code of an answer, its problem said.
fn outcome_of(answered: Result<(), Failure>, json: bool) -> u8 {
    match answered {
        Ok(()) => exit::DONE,
        Err(Failure::No) => exit::NO,
        Err(Failure::Problem(problem)) => complain(&problem, json),
        Err(Failure::Faults(faults)) => {
            let has = |codes: &[&str]| faults.iter().any(|fault| codes.contains(&fault.code));
            let code = match (has(&UNREAD), has(&["no-language"])) {
                (true, _) => exit::COULD_NOT,
                // Whoever set it meant another.
                (false, true) => exit::USAGE,
                (false, false) => exit::NO,
            };
            faulty(&faults, code)
        }
    }
}

/// Codes of faults that say a file or folder could not be read at all.
const UNREAD: [&str; 3] = ["no-folder", "not-a-file", "not-readable"];

/// Why a command did not answer.
enum Failure {
    /// The answer was printed, and it is no.
    No,
    Problem(Problem),
    Faults(Vec<Diagnostic>),
}

impl From<Problem> for Failure {
    fn from(problem: Problem) -> Self {
        Self::Problem(problem)
    }
}

fn loaded(config: &Config) -> Result<Snapshot, Failure> {
    let snapshot = Snapshot::load(config).map_err(Failure::Faults)?;
    let broken = snapshot.broken().count();
    if broken > 0 {
        eprintln!("counterbore: plug-ins that did not load: {broken}");
        eprintln!("  mend: `counterbore check` says what is wrong with them");
    }
    Ok(snapshot)
}

fn serve(config: Config) -> Result<(), Failure> {
    log::begin(&config);
    let snapshot = loaded(&config)?;
    for file in snapshot.broken() {
        for fault in &file.diagnostics {
            tracing::warn!("{fault}");
        }
    }
    web::serve(config, snapshot).map_err(Failure::from)
}

/// Loads, asks, and prints the answer.
fn ask<A: Serialize>(
    config: &Config,
    json: bool,
    question: impl FnOnce(&Snapshot) -> Result<A, Problem>,
    say: impl FnOnce(&A) -> String,
) -> Result<(), Failure> {
    let snapshot = loaded(config)?;
    let answer = question(&snapshot)?;
    print(&if json { pretty(&answer)? } else { say(&answer) })?;
    Ok(())
}

/// Less than this for all that is listed together is a no.
const NOTHING: f64 = 0.001;

fn find(config: &Config, json: bool, ask: &FindAsk<'_>) -> Result<(), Failure> {
    let snapshot = loaded(config)?;
    let answer = answer::find(&snapshot, ask)?;
    print(&if json {
        pretty(&answer)?
    } else {
        say::found(&answer)
    })?;
    let listed: f64 = answer.results.iter().map(|one| one.probability).sum();
    if listed < NOTHING {
        return Err(Failure::No);
    }
    Ok(())
}

fn trace(config: &Config, what: &TraceAsk, json: bool) -> Result<(), Failure> {
    let file = what.file.display().to_string();
    let bytes = load::points(&what.file, &file).map_err(|fault| Failure::Faults(vec![fault]))?;
    let marks = [&what.seam, &what.throat, &what.throat_end, &what.exit];
    let ask = answer::TraceAsk {
        file: &file,
        text: &String::from_utf8_lossy(&bytes),
        marks: marks.map(|mark| mark.as_deref()),
        u: what.u.as_deref(),
        gauge_u: what.gauge_u.as_deref(),
        depth_u: what.depth_u.as_deref(),
        into: schemes(&what.into),
        limit: what.limit,
    };
    let snapshot = loaded(config)?;
    let answer = answer::trace(&snapshot, &ask).map_err(|refused| match refused {
        TraceRefused::Asked(problem) => Failure::Problem(problem),
        TraceRefused::File(faults) => Failure::Faults(faults),
    })?;
    print(&if json {
        pretty(&answer)?
    } else {
        say::traced(&answer)
    })?;
    Ok(())
}

fn card(config: &Config, what: &CardAsk, json: bool) -> Result<(), Failure> {
    let form = form(what, json)?;
    let snapshot = loaded(config)?;
    let base = config.public_address(config.bind.value);
    let date = what.date.unwrap_or_else(|| Moment::now().day());
    let card = Card::of(&snapshot, config, &what.stamp.ask(), &base, date)?;
    let Some(form) = form else {
        print(&pretty(&card)?)?;
        return Ok(());
    };
    let written = printed(config, what, &card, form)?;
    match &what.out {
        None => print_bytes(&written)?,
        Some(file) => std::fs::write(file, written).map_err(|cause| {
            could_not(
                sentence!(
                    "the card could not be written to {file}",
                    file = file.display().to_string()
                ),
                &cause,
            )
        })?,
    }
    Ok(())
}

/// The card in a form; what of the shop's own paper cannot be used is said.
fn printed(config: &Config, what: &CardAsk, card: &Card, form: Form) -> Result<Vec<u8>, Problem> {
    let stationery = match form {
        Form::Text { .. } => Stationery::built_in(),
        _ => Stationery::of(config),
    };
    for fault in &stationery.faults {
        eprintln!("{fault}");
    }
    let paper = what.paper.as_deref().and_then(Paper::named);
    let paper = paper.unwrap_or(config.card_paper.value);
    paper::render(card, form, paper, &stationery)
}

/// The form by the file's ending; text where there is no file, none where JSON is wanted.
fn form(what: &CardAsk, json: bool) -> Result<Option<Form>, Problem> {
    match &what.out {
        None if json => Ok(None),
        None => Ok(Some(Form::Text {
            columns: what.columns,
        })),
        Some(file) => {
            let name = file.to_string_lossy();
            let known = match Form::of_file_name(&name) {
                Some(Form::Text { .. }) => Some(Form::Text {
                    columns: what.columns,
                }),
                other => other,
            };
            let wrong = || {
                Problem::new(
                    Kind::BadParameter,
                    sentence!(
                        "no card can be written as `{name}`",
                        name = name.to_string()
                    ),
                )
            };
            known.map(Some).ok_or_else(|| {
                wrong().hint(sentence!("end the name with .html, .pdf, .txt or .svg"))
            })
        }
    }
}

fn could_not(what: Sentence, cause: &std::io::Error) -> Problem {
    let says = sentence!("{what}: {cause}", what = what, cause = cause.to_string());
    Problem::new(Kind::CouldNot, says).hint(sentence!(
        "is the folder there, and may this account write in it?"
    ))
}

fn pretty(answer: &impl Serialize) -> Result<String, Problem> {
    serde_json::to_string_pretty(answer)
        .map(|text| text + "\n")
        .map_err(|fault| {
            Problem::new(
                Kind::CouldNot,
                sentence!(
                    "the answer could not be written: {fault}",
                    fault = fault.to_string()
                ),
            )
        })
}

/// What was typed or stands in a file steers no terminal.
fn print(text: &str) -> Result<(), Problem> {
    print_bytes(line_by_line(text).as_bytes())
}

/// A reader that has seen enough and closed the pipe is no fault.
fn print_bytes(bytes: &[u8]) -> Result<(), Problem> {
    let mut out = std::io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Err(cause) if cause.kind() != std::io::ErrorKind::BrokenPipe => Err(could_not(
            sentence!("standard output could not be written"),
            &cause,
        )),
        _ => Ok(()),
    }
}

fn complain(problem: &Problem, json: bool) -> u8 {
    if json {
        match serde_json::to_string(&problem.details()) {
            Ok(text) => eprintln!("{text}"),
            Err(_) => eprintln!("{}", problem.message),
        }
    } else {
        eprintln!("counterbore: {}", visible(&problem.message.to_string()));
        if let Some(hint) = &problem.hint {
            let hint = visible(&hint.to_string());
            eprintln!("  {}", say!("mend: {hint}", hint));
        }
    }
    problem.exit()
}

fn faulty(faults: &[Diagnostic], code: u8) -> u8 {
    for fault in faults {
        eprintln!("{}", line_by_line(&fault.to_string()));
    }
    code
}

impl Explain {
    fn wish(&self) -> Result<Wish, Problem> {
        let run = |trials| Run::new("--monte-carlo", trials, self.seed, MOST_TRIALS);
        let run = self.monte_carlo.map(run).transpose()?;
        if let Some(run) = run.as_ref().filter(|_| std::io::stderr().is_terminal()) {
            // For who waits, not for a file: a million trials take minutes.
            eprintln!(
                "running {} trials of each value; Ctrl-C stops it",
                run.trials
            );
        }
        Ok(Wish {
            budget: self.budget,
            run,
            piece_only: false,
        })
    }
}

/// The schemes of lists joined by commas.
fn schemes(lists: &[String]) -> Vec<&str> {
    let all = lists.iter().flat_map(|list| list.split(','));
    all.map(str::trim).collect()
}

impl StampAsk {
    fn ask(&self) -> Ask<'_> {
        Ask {
            stamp: &self.stamp,
            into: schemes(&self.into),
            reading: self.reading,
            limit: self.limit,
        }
    }
}
