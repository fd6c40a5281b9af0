//! The catalogue.
//!
//! Catalogues are long, so nothing here asks for a place or grows a path before there is
//! a fault.

use std::collections::HashMap;

use super::metal::Metal;
use super::names::folded;
use super::values::Figures;
use super::{Common, years};
use crate::scheme::faults::{Faults, Finding, Spot};
use crate::scheme::figure::Sign;
use crate::scheme::meant::{Entry, Series, Years};
use crate::scheme::written;
use crate::yaml::{Path, Text};

/// More spellings than this no catalogue has; each is in the automaton that reads stamps.
const MOST_SPELLINGS: usize = 100_000;

/// What a column holds.
#[derive(Clone, Copy, PartialEq)]
enum Column {
    Name,
    Series,
    Also,
    From,
    Until,
    Note,
    /// The figure at this place.
    Figure(usize),
    /// Nothing that is known.
    Unknown,
}

const COLUMNS: [(&str, Column); 6] = [
    ("name", Column::Name),
    ("series", Column::Series),
    ("also", Column::Also),
    ("from", Column::From),
    ("until", Column::Until),
    ("note", Column::Note),
];

/// All entries, by row.
pub(super) fn entries(
    written: &written::Entries,
    (figures, series): (&mut Figures, &[Series]),
    (common, metal): (&Common<'_>, &mut Metal<'_>),
    faults: &mut Faults<'_>,
) -> Vec<Entry> {
    let path = Path::root().key("entries");
    let columns = columns(&written.columns, &path.key("columns"), figures, faults);
    if !columns.contains(&Column::Name) {
        let finding = Finding::new(
            "no-name-column",
            sentence!("no column says what the entries are called"),
        )
        .hint(sentence!("add the column `name`"));
        faults.error(&path.key("columns"), finding);
        return Vec::new();
    }
    let path = path.key("rows");
    let lines = faults.document().lines(&path);
    let mut table = Table {
        rows: Rows {
            columns: &columns,
            path: &path,
        },
        words: series
            .iter()
            .enumerate()
            .map(|(place, one)| (one.name.as_str(), place))
            .collect(),
        series,
        spellings: HashMap::with_capacity(written.rows.len()),
        spelled: 0,
    };
    let mut entries = Vec::with_capacity(written.rows.len());
    for (row, cells) in written.rows.iter().enumerate() {
        if cells.len() != columns.len() {
            let message = sentence!(
                "{cells} cells in a row of {columns} columns",
                cells = cells.len(),
                columns = columns.len()
            );
            let finding = Finding::new("row-length", message)
                .hint(sentence!("write `-` where nothing is stated"));
            faults.error(&path.index(row), finding);
            continue;
        }
        let line = lines.get(row).copied().unwrap_or_default();
        let before = faults.errors();
        let entry = table.entry((row, line), cells, figures, faults);
        if faults.errors() == before {
            table.metal(row, &entry, metal, figures, faults);
        }
        table.spelled(row, &entry, &entries, common.case_matters, faults);
        entries.push(entry);
    }
    table.not_too_many(faults);
    entries
}

fn columns(
    written: &[Text],
    path: &Path,
    figures: &Figures,
    faults: &mut Faults<'_>,
) -> Vec<Column> {
    let mut columns: Vec<Column> = Vec::with_capacity(written.len());
    for (place, name) in written.iter().enumerate() {
        let known = COLUMNS
            .iter()
            .find(|(word, _)| *word == name.as_str())
            .map(|(_, column)| *column);
        let column = known.or_else(|| figures.place(name).map(Column::Figure));
        let path = path.index(place);
        match column {
            None => {
                let all = COLUMNS.iter().map(|(word, _)| *word).chain(figures.names());
                faults.error(
                    &path,
                    Finding::unknown("unknown-column", sentence!("column"), name, all),
                );
            }
            Some(column) if columns.contains(&column) => {
                let message = sentence!("the column `{name}` stands twice", name);
                faults.error(
                    &path,
                    Finding::new("same-column", message).hint(sentence!("delete one of them")),
                );
            }
            Some(_) => {}
        }
        columns.push(column.unwrap_or(Column::Unknown));
    }
    columns
}

/// The rows and the columns they stand in.
#[derive(Clone, Copy)]
struct Rows<'a> {
    columns: &'a [Column],
    path: &'a Path,
}

impl Rows<'_> {
    fn cell(&self, row: usize, column: Column) -> Path {
        let place = self.columns.iter().position(|one| *one == column);
        self.path.index(row).index(place.unwrap_or_default())
    }
}

struct Table<'a> {
    rows: Rows<'a>,
    words: HashMap<&'a str, usize>,
    series: &'a [Series],
    /// Rows by the spellings that they have.
    spellings: HashMap<String, Vec<usize>>,
    spelled: usize,
}

impl Table<'_> {
    fn entry(
        &self,
        (row, line): (usize, usize),
        cells: &[Text],
        figures: &mut Figures,
        faults: &mut Faults<'_>,
    ) -> Entry {
        let mut entry = Entry {
            name: String::new(),
            also: Vec::new(),
            series: None,
            years: Years::default(),
            note: None,
            states: Vec::new(),
            line,
        };
        let stated = |cell: &&str| !matches!(*cell, "-" | "");
        for (column, cell) in self.rows.columns.iter().zip(cells) {
            let cell = Some(cell.trim()).filter(stated);
            let found = match (column, cell) {
                (Column::Name, None) => Err(no_name()),
                (_, None) => Ok(()),
                (Column::Figure(figure), Some(cell)) => state(&mut entry, *figure, cell, figures),
                (column, Some(cell)) => self.set(&mut entry, *column, cell),
            };
            if let Err(finding) = found {
                faults.error(&self.rows.cell(row, *column), finding);
            }
        }
        if let Err(finding) = years::years(entry.years.from, entry.years.until) {
            faults.error(&self.rows.cell(row, Column::Until), finding);
        }
        entry
    }

    fn set(&self, entry: &mut Entry, column: Column, cell: &str) -> Result<(), Finding> {
        match column {
            Column::Name => cell.clone_into(&mut entry.name),
            Column::Series => entry.series = Some(self.series(cell)?),
            Column::Also => {
                entry.also = cell.split(';').map(|one| one.trim().to_owned()).collect();
            }
            Column::From => entry.years.from = Some(years::year(cell)?),
            Column::Until => entry.years.until = Some(years::year(cell)?),
            Column::Note => entry.note = Some(cell.to_owned()),
            Column::Figure(_) | Column::Unknown => {}
        }
        Ok(())
    }

    fn series(&self, name: &str) -> Result<usize, Finding> {
        self.words.get(name).copied().ok_or_else(|| {
            Finding::unknown(
                "unknown-series",
                sentence!("series"),
                name,
                self.series.iter().map(|one| one.name.as_str()),
            )
        })
    }

    fn metal(
        &self,
        row: usize,
        entry: &Entry,
        metal: &mut Metal<'_>,
        figures: &Figures,
        faults: &mut Faults<'_>,
    ) {
        let series = entry.series.map(|place| &self.series[place]);
        let impossible = metal.impossible(series, &entry.states, figures);
        let impossible = impossible.map(|why| why.to_string());
        let impossible = impossible.or_else(|| metal.contradiction(series, &entry.states, figures));
        if let Some(impossible) = impossible {
            let name = |place: usize| figures.names().nth(place).unwrap_or_default();
            let states: Vec<String> = entry
                .states
                .iter()
                .map(|(place, sign)| format!("{} {}", name(*place), sign.text))
                .collect();
            let message = format!("`{}`, {}: {impossible}", entry.name, states.join(", "));
            faults.error(
                &self.rows.path.index(row),
                Finding::new("impossible-metal", message),
            );
        }
    }

    /// Notes the spellings of an entry, and those that an entry of the same years has too.
    fn spelled(
        &mut self,
        row: usize,
        entry: &Entry,
        before: &[Entry],
        case_matters: bool,
        faults: &mut Faults<'_>,
    ) {
        for (place, text) in std::iter::once(&entry.name).chain(&entry.also).enumerate() {
            self.spelled += 1;
            let column = if place == 0 {
                Column::Name
            } else {
                Column::Also
            };
            if text.is_empty() {
                continue;
            }
            let rows = self
                .spellings
                .entry(folded(text, case_matters))
                .or_default();
            let years = |other: usize| before.get(other).map_or(entry.years, |one| one.years);
            let first = rows
                .iter()
                .find(|other| years(**other).overlap(entry.years));
            if let Some(first) = first {
                let again = Spot::Value(self.rows.cell(row, column));
                let first = Spot::Value(self.rows.path.index(*first));
                let message =
                    sentence!("another entry of the same years is spelled `{text}`", text);
                let hint = sentence!("give both their years in `from` and `until`, or delete one");
                faults.twice(
                    &again,
                    &first,
                    Finding::new("same-spelling", message).hint(hint),
                );
            } else {
                rows.push(row);
            }
        }
    }

    fn not_too_many(&self, faults: &mut Faults<'_>) {
        if self.spelled > MOST_SPELLINGS {
            let message = sentence!(
                "{spelled} spellings; a catalogue may have {most_spellings}",
                spelled = self.spelled.to_string(),
                most_spellings = MOST_SPELLINGS
            );
            let finding = Finding::new("too-many-entries", message)
                .hint(sentence!("split it into several schemes"));
            faults.error(self.rows.path, finding);
        }
    }
}

fn no_name() -> Finding {
    Finding::new("no-spelling", sentence!("an entry without a name"))
        .hint(sentence!("write what is stamped"))
}

fn state(
    entry: &mut Entry,
    figure: usize,
    cell: &str,
    figures: &mut Figures,
) -> Result<(), Finding> {
    let sign: Option<Sign> = figures.read(figure, cell).transpose()?;
    entry.states.extend(sign.map(|sign| (figure, sign)));
    Ok(())
}
