//! The board: the nearest piece of each scheme, measure by measure, on number lines.
//!
//! On every line this piece stands in the middle and the other beside it by the
//! difference, each with its expanded uncertainty. Lines of one measure have one scale as
//! long as the pieces are near; one that is far has a scale of its own and is never cut off. What is known by
//! its limits only is a bar without a mark in its middle, and runs to the end of the line, without an end of its own, where it is open.

use std::collections::HashMap;

use minijinja::{Value, context};

use super::compare::beside;
use super::link::Asked;
use super::read::piece;
use crate::answer::{
    Change, DifferenceAnswer, Figure, Limits, MatchAnswer, Reads, Shown, TranslateAnswer,
    TranslationAnswer,
};
use crate::language::{number, word};
use crate::method;
use crate::web::templates::value;

/// Half the length of a line that may be drawn on, and its middle.
const HALF: f64 = 72.0;
const MIDDLE: f64 = 80.0;
/// Divisions on half a line, at most.
const DIVISIONS: f64 = 5.0;

/// One row a scheme.
pub(super) fn rows(read: &TranslateAnswer, asked: &Asked) -> Vec<Value> {
    let near = read.into.iter().filter(|one| one.near);
    let scales = scales(near.flat_map(|one| pairs(read, one)));
    read.into
        .iter()
        .map(|one| row(read, one, &scales, asked))
        .collect()
}

/// This piece and another by one method.
#[derive(Clone, Copy)]
struct Pair<'a> {
    ours: &'a Figure,
    difference: &'a DifferenceAnswer,
}

/// The best match of one scheme, measure by measure.
fn pairs<'a>(
    read: &'a TranslateAnswer,
    one: &'a TranslationAnswer,
) -> impl Iterator<Item = Pair<'a>> {
    let differences = one.matches.first().map(|best| &best.differences);
    differences.into_iter().flatten().filter_map(|difference| {
        let ours = read.ours(&difference.quantity, &difference.method)?;
        Some(Pair { ours, difference })
    })
}

/// Half the width of the line of each measure, in its unit.
type Scales = HashMap<String, f64>;

fn scales<'a>(pairs: impl Iterator<Item = Pair<'a>>) -> Scales {
    let mut scales = Scales::new();
    for one in pairs {
        let widest = scales.entry(one.ours.quantity.clone()).or_insert(0.0);
        *widest = widest.max(reach(one));
    }
    scales
}

/// How far from the middle a line must reach. An open side reaches as far as the line does.
fn reach(one: Pair<'_>) -> f64 {
    let (ours, theirs) = one.places();
    let ends = [ours.low, ours.high, theirs.low, theirs.high];
    let known = ends.into_iter().filter(|end| end.is_finite());
    known.map(f64::abs).fold(0.0, f64::max)
}

/// Where a figure stands on a line whose middle is this piece: with its uncertainty from `low` to
/// `high`, and the value where there is one.
#[derive(Clone, Copy)]
struct Place {
    low: f64,
    at: Option<f64>,
    high: f64,
}

impl Place {
    fn around(at: f64, expanded: f64) -> Self {
        Self {
            low: at - expanded,
            at: Some(at),
            high: at + expanded,
        }
    }

    /// Between the outermost ends, nothing in the middle; `from` is what the line counts from.
    fn within(limits: &Limits, from: f64) -> Self {
        let outermost = |end: &Option<Shown>, open: f64| {
            let reach = |(value, expanded): (f64, f64)| value - from + expanded.copysign(open);
            end.as_ref().map_or(open, |end| reach(end.amount.parts()))
        };
        Self {
            low: outermost(&limits.low, f64::NEG_INFINITY),
            at: None,
            high: outermost(&limits.high, f64::INFINITY),
        }
    }
}

impl Pair<'_> {
    /// Ours and theirs. The middle of the line is our value or, where only limits are known, half-way
    /// between them.
    fn places(self) -> (Place, Place) {
        let from = match &self.ours.reads {
            Reads::Value(shown) => shown.amount.parts().0,
            Reads::Limits(limits) => {
                let end = |end: &Option<Shown>| Some(end.as_ref()?.amount.parts().0);
                let (low, high) = (end(&limits.low), end(&limits.high));
                f64::midpoint(low.or(high).unwrap_or(0.0), high.or(low).unwrap_or(0.0))
            }
        };
        let ours = match &self.ours.reads {
            Reads::Value(shown) => Place::around(0.0, shown.amount.parts().1),
            Reads::Limits(limits) => Place::within(limits, from),
        };
        let theirs = match (&self.difference.theirs.reads, &self.difference.difference) {
            (Reads::Value(shown), Change::Value(difference)) => {
                Place::around(difference.parts().0, shown.amount.parts().1)
            }
            (Reads::Value(shown), Change::Limits(_)) => {
                let (value, expanded) = shown.amount.parts();
                Place::around(value - from, expanded)
            }
            (Reads::Limits(limits), _) => Place::within(limits, from),
        };
        (ours, theirs)
    }
}

fn row(
    read: &TranslateAnswer,
    translation: &TranslationAnswer,
    scales: &Scales,
    asked: &Asked,
) -> Value {
    let best = translation.matches.first();
    let own = if translation.near {
        Scales::new()
    } else {
        self::scales(pairs(read, translation))
    };
    let scale = |quantity: &str| {
        own.get(quantity)
            .or(scales.get(quantity))
            .copied()
            .unwrap_or_default()
    };
    let cells = pairs(read, translation).map(|one| cell(one, scale(&one.ours.quantity)));
    let missing = best.map_or(&translation.not_compared, |one| &one.not_compared);
    let others = translation.matches.iter().skip(1);
    context! {
        scheme => value(&translation.scheme),
        near => translation.near,
        says => translation.says.as_str(),
        best => best.map(|one| context! { beside => beside(&[&piece(read), &one.canonical], asked.units), ..named(one, asked) }),
        others => others.map(|one| named(one, asked)).collect::<Vec<_>>(),
        outside => translation.outside.iter().map(value).collect::<Vec<_>>(),
        wishes => best.map(|one| one.wishes.iter().map(value).collect::<Vec<_>>()).unwrap_or_default(),
        cells => cells.collect::<Vec<_>>(),
        missing => missing.iter().map(value).collect::<Vec<_>>(),
    }
}

fn named(one: &MatchAnswer, asked: &Asked) -> Value {
    context! {
        canonical => one.canonical.as_str(),
        alike => (!one.same_rim_and_cup.is_empty()).then(|| one.same_rim_and_cup_sentence()),
        link => asked.other(&one.canonical).link(),
        compared => one.compared.as_str(),
        made => one.made.clone(),
        other_instrument => one.other_instrument.clone(),
    }
}

fn cell(pair: Pair<'_>, half: f64) -> Value {
    let Pair {
        ours,
        difference: one,
    } = pair;
    let spoken = say!(
        "{quantity}, {method}: ours {ours}, theirs {theirs}; {verdict}",
        quantity = word(&one.quantity),
        method = method::said(&one.method),
        ours = ours.text(),
        theirs = one.theirs.text(),
        verdict = one.words
    );
    context! {
        quantity => one.quantity.as_str(),
        method => one.method.as_str(),
        says => one.says(),
        words => one.words.as_str(),
        verdict => one.verdict.replace(' ', "-"),
        difference => context! { mm => one.brief(), inch => one.brief_inch(), factors => one.factors() },
        open => matches!(one.difference, Change::Limits(_)),
        e_n => one.e_n.map(|e_n| number(format!("{e_n:.2}"))),
        ours => value(ours),
        theirs => value(one.theirs.as_ref()),
        line => line(pair, half),
        spoken,
    }
}

/// Places on the line, in its drawing's units.
fn line(one: Pair<'_>, half: f64) -> Value {
    let per_unit = if half > 0.0 { HALF / half } else { 0.0 };
    let drawn = |place: Place| {
        let x = |at: f64| MIDDLE + (at * per_unit).clamp(-HALF, HALF);
        let (low, high) = (x(place.low), x(place.high));
        context! {
            at => place.at.map(|at| self::place(x(at))),
            low => self::place(low),
            high => self::place(high),
            width => self::place(high - low),
            open_below => place.low.is_infinite(),
            open_above => place.high.is_infinite(),
        }
    };
    let (ours, theirs) = one.places();
    let division = division(half);
    let count = if division > 0.0 {
        (half / division).floor() as i32
    } else {
        0
    };
    let ticks: Vec<String> = (-count..=count)
        .map(|tick| place(MIDDLE + f64::from(tick) * division * per_unit))
        .collect();
    context! {
        ours => drawn(ours),
        theirs => drawn(theirs),
        ticks,
        division => format!("{} {}", trimmed(division), one.ours.unit),
    }
}

fn place(x: f64) -> String {
    format!("{x:.1}")
}

/// The smallest of 1, 2, 5, 10 … that leaves no more than [`DIVISIONS`] on half a line.
fn division(half: f64) -> f64 {
    if half <= 0.0 {
        return 0.0;
    }
    let least = half / DIVISIONS;
    let power = 10_f64.powf(least.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|step| step * power)
        .find(|step| *step >= least)
        .unwrap_or(10.0 * power)
}

fn trimmed(division: f64) -> String {
    let text = format!("{division:.4}");
    number(text.trim_end_matches('0').trim_end_matches('.'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn divisions_are_round_and_few() {
        for (half, expected) in [
            (0.5, 0.1),
            (0.51, 0.2),
            (1.0, 0.2),
            (3.1, 1.0),
            (0.049, 0.01),
            (50.0, 10.0),
        ] {
            assert!(
                (division(half) - expected).abs() < 1e-9,
                "{half} gives {}",
                division(half)
            );
        }
        assert!(division(0.0) == 0.0);
    }
}
