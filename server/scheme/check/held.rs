//! Declared offsets held against the metal that they are declared for.
//!
//! An offset of a sign that no metal can have is an error. Where the contour of a series, or its generic
//! class, reads another difference than is declared, and their joint uncertainty does not explain that
//! (E_n above 1, ISO 13528), it is a warning with both: either may be the wrong one. The pieces looked at are
//! from the middle of what the scheme states; by `from` they read the ends and the middle of the offset's
//! range. What no contour solves is passed over.

use std::cmp::Ordering;
use std::sync::Arc;

use crate::language::Digits;
use crate::method::{Quantity, always};
use crate::profile::Contour;
use crate::route::{Carried, Declared, Piece, Stated};
use crate::scheme::faults::{Faults, Finding};
use crate::scheme::figure::{Figure, Sign};
use crate::scheme::meant::{Declaration, Scheme, Series};
use crate::uncertainty::agreement::of_difference;
use crate::uncertainty::{Distribution, Estimate, Expanded, Source, shown};
use crate::unit::{Dimension, Span};
use crate::yaml::Path;

/// What is wrong with an offset whatever the form, if anything.
pub(super) fn impossible(declared: &Declared) -> Option<Finding> {
    let order = always(&declared.to, &declared.from)?;
    let (add, reach) = (declared.offset.value(), Expanded::from(&declared.offset));
    let is_possible = match order {
        Ordering::Less => add - reach.expanded <= 0.0,
        _ => add + reach.expanded >= 0.0,
    };
    if is_possible {
        return None;
    }
    let (from, to) = (declared.from.to_string(), declared.to.to_string());
    let add = with_doubt(&declared.offset, declared.from.quantity());
    let message = match order {
        Ordering::Less => sentence!(
            "from {from} to {to} this adds {add}, and on any metal {to} reads less than {from}",
            from,
            to,
            add
        ),
        _ => sentence!(
            "from {from} to {to} this adds {add}, and on any metal {to} reads more than {from}",
            from,
            to,
            add
        ),
    };
    Some(Finding::new("impossible-offset", message).hint(sentence!(
        "change its sign, or let `from` and `to` change places"
    )))
}

/// Warns of each that a form contradicts. The scheme must be without fault.
pub(super) fn held(scheme: &Scheme, faults: &mut Faults<'_>) {
    for (place, declaration) in scheme.declared.iter().enumerate() {
        let worst = forms(scheme, declaration)
            .flat_map(|form| form.read(scheme, &declaration.offset))
            .filter(|one| one.e_n > 1.0)
            .max_by(|one, other| one.e_n.total_cmp(&other.e_n));
        if let Some(worst) = worst {
            let path = Path::root().key("declared").index(place).key("add");
            faults.warning(&path, otherwise(&declaration.offset, &worst));
        }
    }
}

fn otherwise(declared: &Declared, form: &Otherwise<'_>) -> Finding {
    let quantity = declared.from.quantity();
    let message = sentence!(
        "from {from} to {to} this adds {add}, and the contour {whose} makes it {form} at {value}; their joint uncertainty does not explain that (E_n {e_n})",
        from = declared.from.to_string(),
        to = declared.to.to_string(),
        add = with_doubt(&declared.offset, quantity),
        whose = form.whose.map_or_else(
            || sentence!("of the scheme"),
            |series| sentence!("of `{series}`", series = series.name.clone())
        ),
        form = with_doubt(&form.reads, quantity),
        value = base(form.at, quantity),
        e_n = Digits(format!("{:.1}", form.e_n))
    );
    Finding::new("offset-against-contour", message).hint(sentence!(
        "see which of the two is off, the offset or a figure of the contour; what is not sure needs wider limits"
    ))
}

/// A form that an offset is declared for.
struct Form<'a> {
    series: Option<&'a Series>,
    contour: &'a Contour,
}

/// Where a form reads another difference than is declared.
struct Otherwise<'a> {
    whose: Option<&'a Series>,
    /// By `from`, base unit.
    at: f64,
    /// What the form makes of the difference.
    reads: Estimate,
    e_n: f64,
}

/// The forms of the series that an offset holds for, or of all and of pieces without a series.
fn forms<'a>(scheme: &'a Scheme, declaration: &'a Declaration) -> impl Iterator<Item = Form<'a>> {
    let for_all = declaration.series.is_empty();
    let own = scheme.contour.as_ref().filter(|_| for_all);
    let own = own.map(|contour| Form {
        series: None,
        contour,
    });
    let holds = move |place: &usize| for_all || declaration.series.contains(place);
    let of_series = (0..scheme.series.len()).filter(holds).filter_map(|place| {
        let series = &scheme.series[place];
        Some(Form {
            series: Some(series),
            contour: series.contour.as_ref()?,
        })
    });
    own.into_iter().chain(of_series)
}

impl<'a> Form<'a> {
    /// What it makes of the difference at both ends and in the middle of the range.
    fn read(&self, scheme: &Scheme, declared: &Declared) -> Vec<Otherwise<'a>> {
        let (low, high) = declared.range;
        let others = self.others(scheme, declared.from.quantity());
        let read = |at: f64| {
            let reads = self.reads(declared, at, &others)?;
            let e_n = of_difference(&declared.offset.minus(&reads))?;
            Some(Otherwise {
                whose: self.series,
                at,
                reads,
                e_n,
            })
        };
        let ends = [low, f64::midpoint(low, high), high];
        ends.into_iter().filter_map(read).collect()
    }

    /// What lies between the two methods on a piece of this form that reads `at` by the first.
    fn reads(&self, declared: &Declared, at: f64, others: &[Stated]) -> Option<Estimate> {
        let from = Stated {
            method: declared.from.clone(),
            estimate: Estimate::exact(at),
            given: "".into(),
            source: "".into(),
        };
        let stated = std::iter::once(from).chain(others.iter().cloned());
        let piece = Piece::new(stated.collect(), Some(self.contour.clone()), &[]);
        match piece.carry(&declared.to) {
            Carried::By(read, _) => Some(read.estimate.offset(-at)),
            Carried::CannotBeCompared(_) => None,
        }
    }

    /// What pins the rest of the metal where the difference depends on it: rim and throat, each anywhere
    /// within what pieces of this form state.
    fn others(&self, scheme: &Scheme, of: Quantity) -> Vec<Stated> {
        let pins: &[Quantity] = match of {
            Quantity::RimInnerDiameter => &[],
            _ => &[Quantity::RimInnerDiameter, Quantity::ThroatDiameter],
        };
        let one = |pin: &Quantity| {
            let mut figures = scheme.figures.iter().enumerate();
            figures.find_map(|(place, figure)| {
                let is_it = figure.method.quantity() == *pin;
                let span = is_it.then(|| self.span(scheme, (place, figure)))??;
                Some(within(figure, span))
            })
        };
        pins.iter().filter_map(one).collect()
    }

    /// All that a figure may be on a piece of this form: as the series implies it, as entries or signs have it,
    /// or as it is unmarked.
    fn span(&self, scheme: &Scheme, (place, figure): (usize, &Figure)) -> Option<Span> {
        let of = |(stated, sign): &(usize, Sign)| (*stated == place).then(|| sign.span());
        let implied = || self.series?.implies.iter().find_map(of);
        let entries = || {
            let cells = scheme.entries.iter().flat_map(|entry| &entry.states);
            cells.filter_map(of).reduce(hull)
        };
        let signs = || {
            let (low, high) = figure.signs.ends()?;
            Some(hull(low.span(), high.span()))
        };
        let unmarked = || figure.unmarked.as_ref().map(Sign::span);
        implied().or_else(entries).or_else(signs).or_else(unmarked)
    }
}

/// From the lowest to the highest of both.
fn hull(one: Span, other: Span) -> Span {
    Span {
        low: one.low.min(other.low),
        high: one.high.max(other.high),
    }
}

fn within(figure: &Figure, span: Span) -> Stated {
    let half_width = (span.high - span.low) / 2.0;
    let source = Source::new(
        &figure.name,
        figure.name.as_str(),
        Distribution::Rectangular,
    );
    Stated {
        method: figure.method.clone(),
        estimate: match half_width.is_finite() {
            true => Estimate::rectangular(span.start(), half_width, Arc::new(source)),
            false => Estimate::exact(span.start()),
        },
        given: figure.name.as_str().into(),
        source: figure.source.as_str().into(),
    }
}

/// An exact amount with its unit, for a message.
fn base(value: f64, quantity: Quantity) -> Digits {
    Digits(match quantity.dimension() {
        Dimension::Volume => format!("{:.3} ml", value / 1000.0),
        _ => format!("{value:.2} mm"),
    })
}

/// Value and U as they are shown, with their unit.
fn with_doubt(estimate: &Estimate, quantity: Quantity) -> Digits {
    let (scale, unit) = match quantity.dimension() {
        Dimension::Volume => (1000.0, "ml"),
        _ => (1.0, "mm"),
    };
    let expanded = Expanded::from(estimate).expanded / scale;
    let value = estimate.value() / scale;
    let (value, expanded) = match shown(value, expanded) {
        Ok(shown) => (shown.value, shown.expanded),
        Err(_) => (value.to_string(), expanded.to_string()),
    };
    Digits(format!("{value} {unit} ± {expanded} {unit}"))
}
