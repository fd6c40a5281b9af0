//! How one scheme is read, made from its plug-in: worked examples, words, signs, methods drawn, catalogue.
//!
//! Nothing is written for a page that the plug-in does not say. The examples are those by which
//! the plug-in was checked, read by the same decoder as at the counter. The methods are drawn on the example whose section shows
//! most of them. A search keeps the rows of the catalogue in which the text stands.

use std::cmp::Reverse;

use schemars::JsonSchema;
use serde::Serialize;

use super::decode::{PartAnswer, reading};
use super::pictures::SectionAnswer;
use super::translate::unknown;
use crate::problem::Problem;
use crate::scheme::{Entry, Scheme, Years};
use crate::snapshot::Snapshot;
use crate::stamp::LONGEST;

/// An example, read.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WorkedAnswer {
    /// As stamped.
    pub stamp: String,
    /// As the scheme spells it.
    pub canonical: String,
    /// Part by part.
    pub parts: Vec<PartAnswer>,
}

/// The methods of a scheme on a piece of its own.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DrawnAnswer {
    /// The piece.
    pub canonical: String,
    /// Its section with the measuring points.
    pub section: SectionAnswer,
}

/// A sign and what it stands for.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SignAnswer {
    /// As written on the metal.
    pub sign: String,
    /// Other spellings that are read, and words of other years.
    pub also: Vec<String>,
    /// What it means.
    pub means: String,
    /// Who says so.
    pub source: String,
}

/// A kind of sign: the series, or a mark.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SignsAnswer {
    /// Its name in templates.
    pub name: String,
    /// For people.
    pub title: String,
    /// What holds where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unmarked: Option<String>,
    /// The signs.
    pub signs: Vec<SignAnswer>,
}

/// One row of the catalogue.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RowAnswer {
    /// The name, as stamped.
    pub name: String,
    /// Other spellings that are read.
    pub also: Vec<String>,
    /// Its series; empty where it has none.
    pub series: String,
    /// What it states, in the order of [`GuideAnswer::columns`]; empty where it says nothing.
    pub states: Vec<String>,
    /// When the name meant this.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub made: Option<String>,
    /// A remark.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// Its line in the file.
    pub line: usize,
}

/// How a scheme is read.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct GuideAnswer {
    /// The examples, read; those that show most first.
    pub worked: Vec<WorkedAnswer>,
    /// Its methods, drawn; none where no example has a section.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drawn: Option<DrawnAnswer>,
    /// Series and marks with their signs.
    pub signs: Vec<SignsAnswer>,
    /// Names of the figures that the catalogue states.
    pub columns: Vec<String>,
    /// The catalogue, or what of it was looked for.
    pub rows: Vec<RowAnswer>,
    /// How many rows the whole catalogue has.
    pub of_rows: usize,
    /// SHA-256 of all tables together.
    pub tables: String,
}

/// How the scheme of that name is read; of its catalogue the rows in which `search` stands, all where it is empty.
///
/// # Errors
/// It is not there.
pub fn guide(snapshot: &Snapshot, id: &str, search: &str) -> Result<GuideAnswer, Problem> {
    let scheme = snapshot.scheme(id).ok_or_else(|| unknown(snapshot, id))?;
    let (worked, drawn) = worked(snapshot, scheme);
    let columns: Vec<usize> = (0..scheme.figures.len())
        .filter(|figure| {
            scheme
                .entries
                .iter()
                .any(|entry| states(entry, *figure).is_some())
        })
        .collect();
    let search: String = search.trim().to_lowercase().chars().take(LONGEST).collect();
    let rows = scheme
        .entries
        .iter()
        .map(|entry| row(scheme, entry, &columns));
    Ok(GuideAnswer {
        worked,
        drawn,
        signs: signs(scheme),
        rows: rows
            .filter(|row| search.is_empty() || stands_in(&search, row))
            .collect(),
        columns: columns
            .iter()
            .map(|figure| scheme.figures[*figure].name.clone())
            .collect(),
        of_rows: scheme.entries.len(),
        tables: snapshot.hash.clone(),
    })
}

/// The examples, those that show most first, and the one on which most methods can be drawn.
fn worked(snapshot: &Snapshot, scheme: &Scheme) -> (Vec<WorkedAnswer>, Option<DrawnAnswer>) {
    let mut drawn: Option<DrawnAnswer> = None;
    let mut worked = Vec::new();
    for example in &scheme.examples {
        let readings = snapshot.decoder.decode(&example.stamp).readings;
        let Some(own) = readings.iter().find(|one| one.scheme.id == scheme.id) else {
            continue;
        };
        let (answer, _) = reading(snapshot, own);
        let shows = |one: &DrawnAnswer| one.section.points.len();
        if let Some(section) = answer.section {
            let one = DrawnAnswer {
                canonical: answer.canonical.clone(),
                section,
            };
            if drawn.as_ref().is_none_or(|best| shows(best) < shows(&one)) {
                drawn = Some(one);
            }
        }
        worked.push(WorkedAnswer {
            stamp: example.stamp.clone(),
            canonical: answer.canonical,
            parts: answer.parts,
        });
    }
    worked.sort_by_key(|one: &WorkedAnswer| {
        Reverse(one.parts.iter().flat_map(|part| &part.segments).count())
    });
    (worked, drawn)
}

fn signs(scheme: &Scheme) -> Vec<SignsAnswer> {
    let years = |(word, years): &(String, Years)| match years.text() {
        Some(years) => format!("{word} ({years})"),
        None => word.clone(),
    };
    let series = scheme.series.iter().map(|one| SignAnswer {
        sign: one
            .words
            .first()
            .map(|(word, _)| word.clone())
            .unwrap_or_default(),
        also: one.words.iter().skip(1).map(years).collect(),
        means: implied(scheme, one),
        source: one.source.clone(),
    });
    let series = SignsAnswer {
        name: "series".into(),
        title: word!("series").into(),
        unmarked: None,
        signs: series.collect(),
    };
    let marks = scheme.marks.iter().map(|mark| SignsAnswer {
        name: mark.name.clone(),
        title: mark.title.clone(),
        unmarked: mark.unmarked.clone(),
        signs: mark
            .codes
            .iter()
            .map(|code| SignAnswer {
                sign: code.code.clone(),
                also: code.also.clone(),
                means: code.means.clone(),
                source: code.source.clone(),
            })
            .collect(),
    });
    std::iter::once(series)
        .chain(marks)
        .filter(|one| !one.signs.is_empty())
        .collect()
}

/// What a series says, and what it has unsaid.
fn implied(scheme: &Scheme, series: &crate::scheme::Series) -> String {
    let implied = series.implies.iter();
    let implied = implied.map(|(figure, sign)| {
        say!(
            "Unsaid, {figure} is {sign}.",
            figure = scheme.figures[*figure].name,
            sign = sign.text
        )
    });
    series
        .says
        .iter()
        .cloned()
        .chain(implied)
        .collect::<Vec<_>>()
        .join(" ")
}

fn states(entry: &Entry, figure: usize) -> Option<String> {
    let stated = entry.states.iter().find(|(one, _)| *one == figure)?;
    Some(stated.1.text.clone())
}

fn row(scheme: &Scheme, entry: &Entry, columns: &[usize]) -> RowAnswer {
    let series = entry.series.map(|place| scheme.series[place].name.clone());
    RowAnswer {
        name: entry.name.clone(),
        also: entry.also.clone(),
        series: series.unwrap_or_default(),
        states: columns
            .iter()
            .map(|figure| states(entry, *figure).unwrap_or_default())
            .collect(),
        made: entry.years.text(),
        note: entry.note.clone(),
        line: entry.line,
    }
}

fn stands_in(search: &str, row: &RowAnswer) -> bool {
    let texts = [&row.name, &row.series]
        .into_iter()
        .chain(&row.also)
        .chain(&row.states)
        .chain(&row.note);
    texts
        .into_iter()
        .any(|text| text.to_lowercase().contains(search))
}
