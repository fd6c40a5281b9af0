//! Traces of which no piece of the scheme makes use.
//!
//! A trace is left out of every piece whose figures it contradicts, which is right, and silent: a trace
//! of a size that the maker does not make, or of a piece that states no rim, would never be missed. Marks are
//! left out: they make other metal.

use crate::scheme::faults::{Faults, Finding};
use crate::scheme::meant::{Scheme, TraceOf, Traced};
use crate::scheme::piece::Binding;
use crate::scheme::template::Field;
use crate::unit::Span;
use crate::yaml::Path;

/// Warns of each. The scheme must be without fault.
pub(super) fn untraced(scheme: &Scheme, faults: &mut Faults<'_>) {
    for (place, traced) in scheme.traces.iter().enumerate() {
        let used = |(bindings, stamp): (Vec<Binding>, usize)| {
            scheme.make(&bindings, &[stamp]).piece.trace().is_some()
        };
        if !candidates(scheme, traced).any(used) {
            let path = Path::root().key("traces").index(place);
            faults.warning(&path, finding(scheme, traced));
        }
    }
}

fn finding(scheme: &Scheme, traced: &Traced) -> Finding {
    let whose = match traced.of {
        TraceOf::Entry(entry) => sentence!(
            "entry `{entry}`",
            entry = scheme.entries[entry].name.to_string()
        ),
        TraceOf::Series(series) => sentence!(
            "series `{series}`",
            series = scheme.series[series].name.to_string()
        ),
    };
    let read = scheme.figures.iter().filter_map(|figure| {
        let read = traced.trace.read(&figure.method)?;
        let unit = figure.method.quantity().dimension().base_unit().symbol;
        Some(format!("{} {:.3} {unit}", figure.name, read.value()))
    });
    let read: Vec<String> = read.collect();
    let message = match read.as_slice() {
        [] => sentence!(
            "no piece of {whose} uses this trace: it reads none of the figures",
            whose
        ),
        _ => sentence!(
            "no piece of {whose} states what this trace reads ({read}), so none uses it",
            whose,
            read = read.join(", ")
        ),
    };
    Finding::new("unused-trace", message).hint(sentence!("a piece uses it that states its rim, and its cup where the trace has one, as the trace reads them"))
}

/// What a stamp may say of the traced metal: entries, or the signs nearest to what the trace reads.
fn candidates<'a>(
    scheme: &'a Scheme,
    traced: &'a Traced,
) -> impl Iterator<Item = (Vec<Binding>, usize)> + 'a {
    let stamps = scheme.stamps.iter().enumerate();
    stamps.flat_map(move |(place, stamp)| {
        let templates = std::iter::once(&stamp.template).chain(&stamp.also);
        templates.flat_map(move |template| {
            let fields = template.fields();
            let entries = entries(scheme, traced, fields.contains(&Field::Entry));
            entries.map(move |entry| {
                let mut bindings = signs(scheme, traced, &fields);
                bindings.extend(entry.map(Binding::Entry));
                (bindings, place)
            })
        })
    })
}

/// The entries that may be of that metal; one time none where the template has no entry.
fn entries<'a>(
    scheme: &'a Scheme,
    traced: &'a Traced,
    in_template: bool,
) -> Box<dyn Iterator<Item = Option<usize>> + 'a> {
    match traced.of {
        TraceOf::Entry(entry) => Box::new(in_template.then_some(Some(entry)).into_iter()),
        TraceOf::Series(_) if !in_template => Box::new(std::iter::once(None)),
        TraceOf::Series(series) => {
            let of = move |place: &usize| {
                let own = scheme.entries[*place].series;
                own.is_none_or(|own| own == series)
            };
            Box::new((0..scheme.entries.len()).filter(of).map(Some))
        }
    }
}

fn signs(scheme: &Scheme, traced: &Traced, fields: &[Field]) -> Vec<Binding> {
    let sign = |field: &Field| match (*field, traced.of) {
        (Field::Series, TraceOf::Series(series)) => Some(Binding::Series { series, word: 0 }),
        (Field::Figure(place), _) => {
            let figure = &scheme.figures[place];
            let read = traced.trace.read(&figure.method);
            let span = Span::at(read.map_or(0.0, |read| read.value()));
            let sign = figure.signs.near(span, 1).into_iter().next()?;
            Some(Binding::Figure(place, sign))
        }
        _ => None,
    };
    fields.iter().filter_map(sign).collect()
}
