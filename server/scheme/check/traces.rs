//! Traces of entries and series: measured points of one specimen, in the plug-in or in a file beside it.

use std::sync::Arc;

use super::values::Figures;
use super::{Beside, Common};
use crate::language::Digits;
use crate::profile::{
    FileFault, FilePoint, Mark, Trace, TraceFault, TraceFigures, TracePoint, lines_of,
};
use crate::scheme::amounts;
use crate::scheme::faults::{Faults, Finding, Spot};
use crate::scheme::meant::{Entry, Series, TraceOf, Traced};
use crate::scheme::written;
use crate::unit::{Amount, Dimension, Span, Spread, Unit};
use crate::yaml::{Path, Text};

/// All traces that have no fault.
pub(super) fn traces(
    written: &[written::Trace],
    (entries, series): (&[Entry], &[Series]),
    (figures, common): (&Figures, &Common<'_>),
    faults: &mut Faults<'_>,
) -> Vec<Traced> {
    let above = Path::root().key("traces");
    let mut all: Vec<Traced> = Vec::with_capacity(written.len());
    for (place, one) in written.iter().enumerate() {
        let reader = Reader {
            written: one,
            path: above.index(place),
            key: format!("{}/trace/{place}", common.scheme),
            source: common.source(&one.source),
            beside: common.beside,
        };
        let of = faults.keep(&reader.path, reader.of(entries, series));
        let trace = reader.trace(faults);
        let (Some(of), Some(trace)) = (of, trace) else {
            continue;
        };
        if all.iter().any(|other| other.of == of) {
            let finding = Finding::new("same-name", sentence!("a second trace of the same metal"))
                .hint(sentence!("put the points of both into one"));
            faults.error(&reader.path, finding);
        }
        if let TraceOf::Entry(entry) = of {
            reader.agrees(&entries[entry], &trace, figures, faults);
        }
        let trace = Arc::new(trace);
        all.push(Traced { of, trace });
    }
    all
}

struct Reader<'a> {
    written: &'a written::Trace,
    path: Path,
    key: String,
    source: String,
    beside: Beside<'a>,
}

impl Reader<'_> {
    fn of(&self, entries: &[Entry], series: &[Series]) -> Result<TraceOf, Finding> {
        match (&self.written.entry, &self.written.series) {
            (Some(name), None) => {
                let names = || entries.iter().map(|one| one.name.as_str());
                let place = names().position(|one| one == name.as_str());
                place.map(TraceOf::Entry).ok_or_else(|| {
                    Finding::unknown("unknown-entry", sentence!("entry"), name, names())
                })
            }
            (None, Some(name)) => {
                let names = || series.iter().map(|one| one.name.as_str());
                let place = names().position(|one| one == name.as_str());
                place.map(TraceOf::Series).ok_or_else(|| {
                    Finding::unknown("unknown-series", sentence!("series"), name, names())
                })
            }
            _ => Err(Finding::new(
                "bad-trace",
                sentence!("a trace is of one entry or of one series"),
            )
            .hint(sentence!(
                "add `entry: ...` or `series: ...`, and only one of them"
            ))),
        }
    }

    fn trace(&self, faults: &mut Faults<'_>) -> Option<Trace> {
        let written = self.written;
        let u = self.length("u", &written.u, faults);
        let gauge_u = match &written.gauge_u {
            Some(text) => self.length("gauge_u", text, faults),
            None => Some(0.0),
        };
        let depth_u = match &written.depth_u {
            Some(text) => self.length("depth_u", text, faults),
            None => Some(0.0),
        };
        let marks = self.marks(faults);
        let points = self.all_points(u?, faults)?;
        let figures = TraceFigures {
            key: self.key.clone(),
            points: points.iter().map(|one| one.point).collect(),
            gauge_u: gauge_u?,
            depth_u: depth_u?,
            marks: marks?,
            source: self.source.clone(),
        };
        let refused = |all: Vec<TraceFault>| {
            all.iter()
                .for_each(|one| self.refused(one, &points, faults))
        };
        Trace::new(figures).map_err(refused).ok()
    }

    fn length(&self, key: &str, text: &Text, faults: &mut Faults<'_>) -> Option<f64> {
        let amount = amounts::plain(text, Dimension::Length);
        let amount = amount.map(|amount| amount.value);
        faults.keep(&self.path.key(key), amount)
    }

    /// The marks; none where one has a fault.
    fn marks(&self, faults: &mut Faults<'_>) -> Option<[Option<(f64, Spread)>; 4]> {
        let written = self.written;
        let texts = [
            &written.seam,
            &written.throat,
            &written.throat_end,
            &written.exit,
        ];
        let before = faults.errors();
        let marks = Mark::ALL.map(|mark| {
            let text = texts[mark as usize].as_ref()?;
            let read = amounts::limited(text, Dimension::Length);
            let read = read.map(|(amount, spread)| (amount.value, spread));
            faults.keep(&self.path.key(mark.name()), read)
        });
        (faults.errors() == before).then_some(marks)
    }

    /// The points of the list, or those of the file.
    fn all_points(&self, usual_u: f64, faults: &mut Faults<'_>) -> Option<Vec<FilePoint>> {
        let written = self.written;
        match &written.file {
            Some(file) if written.points.is_empty() && written.unit.is_none() => {
                self.in_file(file, usual_u, faults)
            }
            Some(_) => {
                let finding = Finding::new("bad-trace", sentence!("points here and in a file"))
                    .hint(sentence!(
                        "take `points` and `unit` away; the first line of the file states the units"
                    ));
                faults.error(&self.path.key("file"), finding);
                None
            }
            None => {
                let unit = self.unit();
                let unit = faults.keep(&self.path, unit)?;
                let points = self.points(unit, usual_u, faults)?;
                let placed = |point| FilePoint { line: 0, point };
                Some(points.into_iter().map(placed).collect())
            }
        }
    }

    fn unit(&self) -> Result<Unit, Finding> {
        let Some(written) = &self.written.unit else {
            let finding = Finding::new(
                "bad-trace",
                sentence!("a trace without the unit of its points"),
            );
            return Err(finding.hint(sentence!(
                "add `unit: mm`, or `file: ...` in place of the points"
            )));
        };
        let unit = Unit::named(written).map_err(|error| Finding::amount(written, &error))?;
        match unit.dimension {
            Dimension::Length => Ok(unit),
            other => Err(Finding::new(
                "wrong-dimension",
                sentence!(
                    "`{written}` is a unit of {other}; points are lengths",
                    written,
                    other = other.name().to_string()
                ),
            )),
        }
    }

    fn in_file(
        &self,
        name: &Text,
        usual_u: f64,
        faults: &mut Faults<'_>,
    ) -> Option<Vec<FilePoint>> {
        let path = self.path.key("file");
        let text = faults.keep(&path, plain(name)).and_then(|name| {
            let text = (self.beside)(name);
            let unread = |why| Finding::new("bad-trace", format!("`{name}`: {why}"));
            faults.keep(&path, text.map_err(unread))
        })?;
        let told = |all: Vec<FileFault>| {
            for one in all {
                let message = format!("`{name}`, {one}");
                let finding = Finding {
                    hint: one.hint,
                    ..Finding::new("bad-trace", message)
                };
                faults.error(&path, finding);
            }
        };
        lines_of(&text, usual_u).map_err(told).ok()
    }

    fn points(&self, unit: Unit, usual_u: f64, faults: &mut Faults<'_>) -> Option<Vec<TracePoint>> {
        let before = faults.errors();
        let path = self.path.key("points");
        let mut points = Vec::with_capacity(self.written.points.len());
        for (place, cells) in self.written.points.iter().enumerate() {
            let path = path.index(place);
            let read: Vec<Option<f64>> = cells
                .iter()
                .enumerate()
                .map(|(cell, text)| faults.keep(&path.index(cell), in_unit(text, unit)))
                .collect();
            match read.as_slice() {
                [depth, diameter] => points.extend(point(*depth, *diameter, Some(usual_u))),
                [depth, diameter, u] => points.extend(point(*depth, *diameter, *u)),
                _ => {
                    let message = sentence!("{cells} cells in a point", cells = cells.len());
                    let hint = sentence!("write `[depth, diameter]` or `[depth, diameter, u]`");
                    faults.error(&path, Finding::new("row-length", message).hint(hint));
                }
            }
        }
        (faults.errors() == before).then_some(points)
    }

    fn refused(&self, fault: &TraceFault, read: &[FilePoint], faults: &mut Faults<'_>) {
        if self.written.file.is_some() {
            self.refused_in_file(fault, read, faults);
            return;
        }
        let points = self.path.key("points");
        let says = fault.to_string();
        match *fault {
            TraceFault::Contradiction { first, second, .. } => {
                let finding = Finding::new("points-contradict", says).hint(sentence!(
                    "measure both again, or state their doubt as it is"
                ));
                let spot = |point| Spot::Item(points.clone(), point);
                faults.twice(&spot(second), &spot(first), finding);
            }
            TraceFault::Count(_) => faults.error(&points, Finding::new("bad-trace", says)),
            TraceFault::Point { point, .. } => {
                faults.error(&points.index(point), Finding::new("bad-trace", says));
            }
            TraceFault::Gauge { .. } => {
                faults.error(&self.path.key("gauge_u"), Finding::new("bad-trace", says));
            }
            TraceFault::Depths { .. } => {
                faults.error(&self.path.key("depth_u"), Finding::new("bad-trace", says));
            }
            TraceFault::Mark { mark, .. } => {
                faults.error(&self.path.key(mark.name()), Finding::new("bad-trace", says));
            }
        }
    }

    /// Faults of a file beside the plug-in are told where the plug-in names it, with their lines.
    fn refused_in_file(&self, fault: &TraceFault, read: &[FilePoint], faults: &mut Faults<'_>) {
        let name = self.written.file.as_ref().map_or("", Text::as_str);
        let line = |point: usize| read[point].line;
        let (key, finding) = match *fault {
            TraceFault::Contradiction { first, second, .. } => {
                let message = sentence!(
                    "`{name}`, {second}:1, against line {first}: {fault}",
                    name,
                    second = line(second).to_string(),
                    first = line(first).to_string(),
                    fault = fault.to_string()
                );
                let finding = Finding::new("points-contradict", message);
                let hint = sentence!("measure both again, or state their doubt as it is");
                ("file", finding.hint(hint))
            }
            TraceFault::Point { point, .. } => {
                let message = format!("`{name}`, {}:1: {fault}", line(point));
                ("file", Finding::new("bad-trace", message))
            }
            TraceFault::Count(_) => {
                let message = format!("`{name}`: {fault}");
                ("file", Finding::new("bad-trace", message))
            }
            TraceFault::Gauge { .. } => ("gauge_u", Finding::new("bad-trace", fault.to_string())),
            TraceFault::Depths { .. } => ("depth_u", Finding::new("bad-trace", fault.to_string())),
            TraceFault::Mark { mark, .. } => {
                (mark.name(), Finding::new("bad-trace", fault.to_string()))
            }
        };
        faults.error(&self.path.key(key), finding);
    }

    /// An entry and its trace must be the same metal.
    fn agrees(&self, entry: &Entry, trace: &Trace, figures: &Figures, faults: &mut Faults<'_>) {
        for (place, sign) in &entry.states {
            let Some(figure) = figures.get(*place).map(|checked| &checked.figure) else {
                continue;
            };
            let (span, u) = (sign.span(), figure.standard_uncertainty(sign));
            let outside = |read: f64| span.beyond(Span::at(read)) != 0.0;
            let ends = span.ends();
            let contradicts = ends.filter_map(|end| trace.contradicts(&figure.method, end, u));
            if let Some((read, allowed)) = contradicts.into_iter().find(|(read, _)| outside(*read))
            {
                let message = sentence!(
                    "`{entry}` states {figure} {sign}, its trace reads {read}; they may differ by {allowed} (k = 3)",
                    entry = entry.name.to_string(),
                    figure = figure.name.to_string(),
                    sign = sign.text.to_string(),
                    read = Digits(format!("{:.3}", read)),
                    allowed = Digits(format!("{:.3}", allowed))
                );
                faults.error(&self.path, Finding::new("trace-contradicts", message));
            }
        }
    }
}

/// A name that leads nowhere but to a file in the same folder.
fn plain(name: &Text) -> Result<&str, Finding> {
    let text = name.as_str();
    let leads_away = text.starts_with('.') || text.contains(['/', '\\', ':', '\0']);
    if leads_away || !text.ends_with(".csv") {
        let message = sentence!(
            "`{text}` is no plain name of a file of comma-separated text",
            text
        );
        return Err(Finding::new("bad-trace", message).hint(sentence!(
            "put the file beside the plug-in and write its name alone, as `a1.csv`"
        )));
    }
    Ok(text)
}

fn point(depth: Option<f64>, diameter: Option<f64>, u: Option<f64>) -> Option<TracePoint> {
    Some(TracePoint {
        depth: depth?,
        diameter: diameter?,
        u: u?,
    })
}

fn in_unit(text: &str, unit: Unit) -> Result<f64, Finding> {
    let amount = Amount::parse_in(text, unit).map_err(|error| Finding::amount(text, &error))?;
    match amount.dimension {
        Dimension::Length => Ok(amount.value),
        other => Err(Finding::new(
            "wrong-dimension",
            sentence!(
                "`{text}` is a {other}; points are lengths",
                text,
                other = other.name().to_string()
            ),
        )),
    }
}
