//! What is described and comes up nowhere: most often a field forgotten in a template, or a value that stands unmarked
//! of a figure that every stamp shows.

use super::Parts;
use crate::scheme::faults::{Faults, Finding};
use crate::scheme::meant::{Entry, Stamp, Target};
use crate::scheme::template::{Field, Template};
use crate::scheme::written;
use crate::yaml::Path;

/// Warns of figures, series and marks that no stamp, entry or implication can bring up.
pub(super) fn unused(
    written: &written::Scheme,
    parts: &Parts<'_>,
    (stamps, entries): (&[Stamp], &[Entry]),
    faults: &mut Faults<'_>,
) {
    let templates = stamps.iter().flat_map(spellings);
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
    never_unmarked(parts, stamps, faults);
}

/// Warns of a figure's `unmarked` where all stamps of each part that shows it must show it.
fn never_unmarked(parts: &Parts<'_>, stamps: &[Stamp], faults: &mut Faults<'_>) {
    for (place, name) in parts.figures.names().enumerate() {
        let checked = parts.figures.get(place);
        let Some(unmarked) = checked.and_then(|one| one.figure.unmarked.as_ref()) else {
            continue;
        };
        let field = Field::Figure(place);
        let shows = |stamp: &&Stamp| spellings(stamp).any(|one| one.fields().contains(&field));
        let must = |stamp: &Stamp| spellings(stamp).all(|one| one.must_show(field));
        let shown: Vec<&Stamp> = stamps.iter().filter(shows).collect();
        let of_its_parts = |stamp: &&Stamp| shown.iter().any(|one| one.part == stamp.part);
        if !shown.is_empty() && stamps.iter().filter(of_its_parts).all(must) {
            let message = sentence!(
                "`{figure}` never stands unmarked: it is outside brackets in `{template}`",
                figure = name.to_owned(),
                template = shown[0].template.text.clone()
            );
            let hint = sentence!(
                "put its field in brackets with the blank before it in a template where `{sign}` may be left out, or delete `unmarked`",
                sign = unmarked.text.clone()
            );
            let finding = Finding::new("never-unmarked", message).hint(hint);
            let path = Path::root().key("figures").key(name).key("unmarked");
            faults.warning(&path, finding);
        }
    }
}

/// The template that is written and those that are read as well.
fn spellings(stamp: &Stamp) -> impl Iterator<Item = &Template> {
    std::iter::once(&stamp.template).chain(&stamp.also)
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
