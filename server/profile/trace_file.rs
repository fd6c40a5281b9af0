//! Points from an optical trace: comma-separated text.
//!
//! The first line names the columns with their units, in any order: `depth [mm]`,
//! `diameter [mm]`, and, where it is known, the standard uncertainty `u [um]`. Then a line a
//! point. Blank lines and lines that begin with `#` say nothing. Every fault is told with
//! its line and column.

use std::fmt;

use super::trace::{MOST_KEPT, TracePoint};
use super::trace_fault::MOST_POINTS;
use crate::language::{Sentence, Word};
use crate::unit::{Amount, Dimension, Unit};

/// Something in a trace's text that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileFault {
    /// Line, from 1.
    pub line: usize,
    /// Character on the line, from 1.
    pub column: usize,
    /// What is wrong.
    pub says: Sentence,
    /// Something to do.
    pub hint: Option<Sentence>,
}

impl fmt::Display for FileFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}: {}", self.line, self.column, self.says)
    }
}

impl std::error::Error for FileFault {}

/// What a column holds.
const COLUMNS: [&str; 3] = ["depth", "diameter", "u"];

/// A cell with the character that it begins at.
type Cell<'a> = (usize, &'a str);

/// A point and where it stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FilePoint {
    /// Line, from 1.
    pub line: usize,
    /// The point.
    pub point: TracePoint,
}

/// The points of a text; points of a file without a column `u` get `usual_u`, mm.
///
/// # Errors
/// All faults, in the order of the text.
pub fn points_of(text: &str, usual_u: f64) -> Result<Vec<TracePoint>, Vec<FileFault>> {
    let read = lines_of(text, usual_u)?;
    Ok(read.into_iter().map(|one| one.point).collect())
}

/// The same, each point with its line.
///
/// # Errors
/// As [`points_of`].
pub fn lines_of(text: &str, usual_u: f64) -> Result<Vec<FilePoint>, Vec<FileFault>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let lines = text
        .lines()
        .enumerate()
        .map(|(place, line)| (place + 1, line));
    let mut lines = lines.filter(|(_, line)| !line.trim().is_empty() && !line.starts_with('#'));
    let Some((line, header)) = lines.next() else {
        let mend = sentence!("begin it with the line `depth [mm],diameter [mm]`");
        return Err(vec![fault(1, 1, sentence!("nothing is in it"), mend)]);
    };
    let header = Header::read(line, header)?;
    let (mut points, mut faults) = (Vec::new(), Vec::new());
    for (line, text) in lines {
        if points.len() + faults.len() == MOST_POINTS {
            faults.push(too_many(line));
            break;
        }
        match header.point(line, text, usual_u) {
            Ok(point) => points.push(FilePoint { line, point }),
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() {
        Ok(points)
    } else {
        Err(faults)
    }
}

fn fault(line: usize, column: usize, says: Sentence, mend: Sentence) -> FileFault {
    FileFault {
        line,
        column,
        says,
        hint: Some(mend),
    }
}

fn too_many(line: usize) -> FileFault {
    let says = sentence!("more than {most} points", most = MOST_POINTS);
    let mend = sentence!(
        "leave points out evenly, one of two say; of more than {kept} as many are kept",
        kept = MOST_KEPT
    );
    fault(line, 1, says, mend)
}

fn like() -> Sentence {
    sentence!("write it like `depth [mm]`")
}

fn cells(line: &str) -> Vec<Cell<'_>> {
    let mut column = 1;
    let mut cells = Vec::new();
    for cell in line.split(',') {
        let blank = cell.chars().take_while(|one| one.is_whitespace()).count();
        cells.push((column + blank, cell.trim()));
        column += cell.chars().count() + 1;
    }
    cells
}

/// Where each column stands, and its unit.
struct Header {
    columns: [Option<(usize, Unit)>; 3],
    width: usize,
}

impl Header {
    fn read(line: usize, text: &str) -> Result<Self, Vec<FileFault>> {
        let cells = cells(text);
        let mut columns = [None; 3];
        let mut faults = Vec::new();
        for (place, (at, cell)) in cells.iter().enumerate() {
            match column(cell) {
                Ok((which, _)) if columns[which].is_some() => {
                    let says = sentence!(
                        "a second column `{which}`",
                        which = COLUMNS[which].to_string()
                    );
                    faults.push(fault(
                        line,
                        *at,
                        says,
                        sentence!("take one of the two away"),
                    ));
                }
                Ok((which, unit)) => columns[which] = Some((place, unit)),
                Err((says, mend)) => faults.push(fault(line, *at, says, mend)),
            }
        }
        for (which, name) in COLUMNS.iter().enumerate().take(2) {
            if faults.is_empty() && columns[which].is_none() {
                let says = sentence!("no column `{name}`", name);
                let mend = sentence!("name it with its unit, as `{name} [mm]`", name);
                faults.push(fault(line, 1, says, mend));
            }
        }
        let width = cells.len();
        if faults.is_empty() {
            Ok(Self { columns, width })
        } else {
            Err(faults)
        }
    }

    fn point(&self, line: usize, text: &str, usual_u: f64) -> Result<TracePoint, FileFault> {
        let cells = cells(text);
        if cells.len() != self.width {
            let says = sentence!(
                "{cells} cells; the first line names {width}",
                cells = cells.len(),
                width = self.width.to_string()
            );
            let mend = sentence!(
                "write one cell a column; a comma parts cells, so that a figure has a point: `16.2`"
            );
            return Err(fault(line, 1, says, mend));
        }
        let length = |which: usize| {
            self.columns[which].map(|(place, unit)| length(cells[place], unit, line))
        };
        let [depth, diameter, u] = [length(0), length(1), length(2)];
        Ok(TracePoint {
            depth: depth.transpose()?.unwrap_or_default(),
            diameter: diameter.transpose()?.unwrap_or_default(),
            u: u.transpose()?.unwrap_or(usual_u),
        })
    }
}

fn length((at, cell): Cell<'_>, unit: Unit, line: usize) -> Result<f64, FileFault> {
    let mend = || sentence!("write a number in the unit of the column, as `16.20`");
    let amount = Amount::parse_in(cell, unit)
        .map_err(|error| fault(line, at, Sentence::showing(error), mend()))?;
    if amount.dimension != Dimension::Length {
        let says = sentence!(
            "`{cell}` is a {dimension}; expected a length",
            cell,
            dimension = Word(amount.dimension.name())
        );
        return Err(fault(line, at, says, mend()));
    }
    Ok(amount.value)
}

/// `depth [mm]`: which column, in which unit; or what is wrong and what to do.
fn column(cell: &str) -> Result<(usize, Unit), (Sentence, Sentence)> {
    let (name, unit) = cell
        .strip_suffix(']')
        .and_then(|cell| cell.split_once('['))
        .ok_or_else(|| (sentence!("`{cell}` states no unit", cell), like()))?;
    let name = name.trim().to_lowercase();
    let which = COLUMNS.iter().position(|one| *one == name).ok_or_else(|| {
        let says = sentence!(
            "no column is called `{name}`; there are `{join}`",
            name,
            join = COLUMNS.join("`, `")
        );
        (
            says,
            sentence!("take the column away, or name it as one of these"),
        )
    })?;
    let unit = Unit::named(unit.trim()).map_err(|error| (Sentence::showing(error), like()))?;
    if unit.dimension != Dimension::Length {
        return Err((sentence!("`{cell}` is no length", cell), like()));
    }
    Ok((which, unit))
}
