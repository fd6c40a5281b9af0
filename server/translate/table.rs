//! What the families of a scheme state, as plain numbers.
//!
//! Families that state the same figures, leave the same axes and share a form are a [`Group`]: rows of
//! numbers in the scheme's own methods, sorted by the figure that weighs most, so that a search
//! need not look at rows that are too far off by that figure alone. Nothing is solved here.

use std::collections::HashMap;
use std::ops::Range;
use std::sync::Arc;

use super::candidates::{Family, Whole, families};
use crate::method::Quantity;
use crate::profile::Contour;
use crate::scheme::{Binding, Scheme};
use crate::unit::Span;

/// How the same work is done on many shares, their order kept.
pub type Many = fn(&[Share], &(dyn Fn(&Share) -> Rows + Sync)) -> Vec<Rows>;

/// Families of one share of the work, by place.
pub type Share = Range<usize>;

/// What the families of one share state.
#[derive(Debug)]
pub struct Rows(Vec<Row>);

/// What a family states: (figure, all that it may be in base units), in the order of the figures.
type Row = Vec<(usize, Span)>;

/// Families in a share: enough that handing it over costs nothing beside it.
const SHARE: usize = 1024;

/// All families of a scheme and what they state.
#[derive(Debug)]
pub(super) struct Table {
    pub families: Vec<Family>,
    /// The form of a family, by its place.
    form_of: Vec<usize>,
    /// The forms that families have.
    pub forms: Vec<Option<Contour>>,
    /// By form, the first whose figures are the same.
    pub same: Vec<usize>,
    pub groups: Vec<Group>,
    /// Lowest and highest value that any family can state, by figure; base units.
    pub ends: Vec<Option<(f64, f64)>>,
}

/// Families that differ in numbers only.
#[derive(Debug)]
pub(super) struct Group {
    pub whole: Arc<Whole>,
    pub form: usize,
    /// The figures of a row.
    pub figures: Vec<usize>,
    /// The place among [`Group::figures`] of the one that rows are sorted by.
    pub lead: Option<usize>,
    /// Places of the families, in the order of the rows.
    families: Vec<u32>,
    /// Row by row.
    values: Vec<Span>,
}

/// What makes a form: the series, and the marks that must be there.
type Form = (Option<usize>, Vec<(usize, usize)>);

impl Table {
    pub fn new(scheme: &Scheme, many: Many) -> Self {
        let families = families(scheme);
        let shares: Vec<Share> = (0..families.len())
            .step_by(SHARE)
            .map(|from| from..(from + SHARE).min(families.len()))
            .collect();
        let stated = |share: &Share| {
            let of = families[share.clone()].iter();
            Rows(of.map(|family| row(scheme, family)).collect())
        };
        let rows = many(&shares, &stated)
            .into_iter()
            .flat_map(|Rows(rows)| rows);
        let rows: Vec<Row> = rows.collect();
        let (forms, form_of) = forms(scheme, &families);
        Self {
            ends: (0..scheme.figures.len())
                .map(|figure| ends(scheme, &families, &rows, figure))
                .collect(),
            groups: groups(scheme, &families, &form_of, &rows),
            same: same_forms(scheme, &forms),
            forms,
            form_of,
            families,
        }
    }

    /// The form of a family.
    pub fn form(&self, family: usize) -> usize {
        self.form_of[family]
    }
}

impl Group {
    pub fn len(&self) -> usize {
        self.families.len()
    }

    /// The place of the family of a row.
    pub fn family(&self, row: usize) -> usize {
        self.families[row] as usize
    }

    /// What a row states, in the order of [`Group::figures`].
    pub fn row(&self, row: usize) -> &[Span] {
        let width = self.figures.len();
        &self.values[row * width..(row + 1) * width]
    }
}

fn row(scheme: &Scheme, family: &Family) -> Row {
    let (figures, _) = scheme.given(&family.bindings, &family.whole.stamps);
    figures
        .iter()
        .filter(|given| !family.whole.axes.contains(&given.figure))
        .map(|given| (given.figure, given.states.span()))
        .collect()
}

/// The forms that there are, and that of each family.
fn forms(scheme: &Scheme, families: &[Family]) -> (Vec<Option<Contour>>, Vec<usize>) {
    let mut forms = Vec::new();
    let mut places: HashMap<Form, usize> = HashMap::new();
    let form_of = families.iter().map(|family| {
        *places.entry(form(scheme, family)).or_insert_with(|| {
            let (_, contour) = scheme.given(&family.bindings, &family.whole.stamps);
            forms.push(contour);
            forms.len() - 1
        })
    });
    let form_of = form_of.collect();
    (forms, form_of)
}

/// By form, the first of the same figures; forms of which nothing is known are the same as far as one can tell. A trace is
/// of one form alone.
fn same_forms(scheme: &Scheme, forms: &[Option<Contour>]) -> Vec<usize> {
    let is_same = |one: &Option<Contour>, other: &Option<Contour>| match (one, other) {
        (Some(one), Some(other)) => scheme.traces.is_empty() && one.is_same(other),
        (one, other) => one.is_none() && other.is_none(),
    };
    let first = |(form, contour): (usize, &Option<Contour>)| {
        let same = |other: &Option<Contour>| is_same(contour, other);
        forms[..form].iter().position(same).unwrap_or(form)
    };
    forms.iter().enumerate().map(first).collect()
}

fn form(scheme: &Scheme, family: &Family) -> Form {
    let (mut stamped, mut implied, mut marks) = (None, None, Vec::new());
    for binding in &family.bindings {
        match binding {
            Binding::Series { series, .. } => stamped = Some(*series),
            Binding::Entry(entry) => implied = scheme.entries[*entry].series,
            Binding::Mark { mark, code } => marks.push((*mark, *code)),
            Binding::Figure(..) => {}
        }
    }
    (stamped.or(implied), marks)
}

fn groups(scheme: &Scheme, families: &[Family], form_of: &[usize], rows: &[Row]) -> Vec<Group> {
    let mut members: Vec<Vec<usize>> = Vec::new();
    let mut places = HashMap::new();
    for (place, family) in families.iter().enumerate() {
        let figures: Vec<usize> = rows[place].iter().map(|(figure, _)| *figure).collect();
        let key = (Arc::as_ptr(&family.whole), form_of[place], figures);
        let group = *places.entry(key).or_insert_with(|| {
            members.push(Vec::new());
            members.len() - 1
        });
        members[group].push(place);
    }
    let group = |members: Vec<usize>| group(scheme, members, families, form_of, rows);
    members.into_iter().map(group).collect()
}

fn group(
    scheme: &Scheme,
    mut members: Vec<usize>,
    families: &[Family],
    form_of: &[usize],
    rows: &[Row],
) -> Group {
    let first = members[0];
    let figures: Vec<usize> = rows[first].iter().map(|(figure, _)| *figure).collect();
    let is_size = |place: usize| {
        let mut of_rows = members.iter().map(|&member| rows[member][place].1);
        of_rows.all(|span| span.low == span.high)
    };
    let lead = lead(scheme, &figures).filter(|&lead| is_size(lead));
    if let Some(lead) = lead {
        members.sort_by(|&one, &other| rows[one][lead].1.low.total_cmp(&rows[other][lead].1.low));
    }
    let of_rows = members.iter().flat_map(|&place| &rows[place]);
    Group {
        whole: families[first].whole.clone(),
        form: form_of[first],
        values: of_rows.map(|(_, value)| *value).collect(),
        families: members.iter().map(|&place| place as u32).collect(),
        figures,
        lead,
    }
}

/// The rim, where it is stated: it weighs most and no two makers leave it out.
fn lead(scheme: &Scheme, figures: &[usize]) -> Option<usize> {
    let quantity = |figure: &usize| scheme.figures[*figure].method.quantity();
    let mut all = figures.iter();
    let rim = all.position(|figure| quantity(figure) == Quantity::RimInnerDiameter);
    rim.or((!figures.is_empty()).then_some(0))
}

fn ends(scheme: &Scheme, families: &[Family], rows: &[Row], figure: usize) -> Option<(f64, f64)> {
    let on_axes = families
        .iter()
        .any(|family| family.whole.axes.contains(&figure));
    let listed: Vec<Span> = if on_axes {
        let ends = scheme.figures[figure].signs.ends().into_iter();
        ends.flat_map(|(first, last)| [first.span(), last.span()])
            .collect()
    } else {
        let stated = rows.iter().flatten();
        stated
            .filter(|(place, _)| *place == figure)
            .map(|(_, value)| *value)
            .collect()
    };
    let low = listed.iter().map(|span| span.low).min_by(f64::total_cmp)?;
    let high = listed.iter().map(|span| span.high).max_by(f64::total_cmp)?;
    Some((low, high))
}
