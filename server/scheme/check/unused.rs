//! What is described and comes up nowhere: most often a field forgotten in a template.

use super::Parts;
use crate::scheme::faults::{Faults, Finding};
use crate::scheme::meant::{Entry, Stamp, Target};
use crate::scheme::template::Field;
use crate::scheme::written;
use crate::yaml::Path;

/// Warns of figures, series and marks that no stamp, entry or implication can bring up.
pub(super) fn unused(
    written: &written::Scheme,
    parts: &Parts<'_>,
    (stamps, entries): (&[Stamp], &[Entry]),
    faults: &mut Faults<'_>,
) {
    let templates = stamps
        .iter()
        .flat_map(|stamp| std::iter::once(&stamp.template).chain(&stamp.also));
    let fields: Vec<Field> = templates.flat_map(|template| template.fields()).collect();
    let figure = |(place, name): (usize, &str)| {
        let used = fields.contains(&Field::Figure(place)) || given(place, name, written, parts);
        (!used).then(|| ("figures", name.to_owned()))
    };
    let mark = |(place, mark): (usize, &crate::scheme::meant::Mark)| {
        (!fields.contains(&Field::Mark(place))).then(|| ("marks", mark.name.clone()))
    };
    let in_entries = |place: usize| entries.iter().any(|entry| entry.series == Some(place));
    let series = |(place, one): (usize, &crate::scheme::meant::Series)| {
        let used = fields.contains(&Field::Series) || in_entries(place);
        (!used).then(|| ("series", one.name.clone()))
    };
    let mut all: Vec<(&str, String)> = parts
        .figures
        .names()
        .enumerate()
        .filter_map(figure)
        .collect();
    all.extend(parts.marks.iter().enumerate().filter_map(mark));
    all.extend(parts.series.iter().enumerate().filter_map(series));
    for (kind, name) in all {
        let finding = Finding::new(
            "unused",
            sentence!("`{name}` is in no template and in no entry", name),
        )
        .hint(sentence!("put it into a template, or take it out"));
        faults.warning(&Path::root().key(kind).key(&name), finding);
    }
}

/// Whether a figure has a value without being stamped.
fn given(place: usize, name: &str, written: &written::Scheme, parts: &Parts<'_>) -> bool {
    let column =
        |entries: &written::Entries| entries.columns.iter().any(|column| column.as_str() == name);
    let unmarked = |checked: &super::values::Checked| checked.figure.unmarked.is_some();
    let implied = parts
        .series
        .iter()
        .any(|series| series.implies.iter().any(|(one, _)| *one == place));
    let codes = || parts.marks.iter().flat_map(|mark| &mark.codes);
    let set = || {
        codes().any(|code| {
            code.effects
                .iter()
                .any(|(target, _)| *target == Target::Figure(place))
        })
    };
    written.entries.as_ref().is_some_and(column)
        || parts.figures.get(place).is_some_and(unmarked)
        || implied
        || set()
}
