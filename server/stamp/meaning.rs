//! What a binding means, in words.

use super::reading::SegmentKind;
use crate::language;
use crate::scheme::{Binding, Figure, Grid, GridMeaning, Scheme, Sign, Signs};
use crate::unit::{Amount, Decimal};

/// A segment's meaning: "rim inner diameter by seam: 16.12 mm as stamped".
pub(super) fn meaning(scheme: &Scheme, binding: &Binding) -> String {
    match binding {
        Binding::Series { series, word } => series_meaning(scheme, *series, *word),
        Binding::Entry(entry) => {
            let entry = &scheme.entries[*entry];
            let name = &entry.name;
            match entry.years.text() {
                Some(years) => say!("entry {name}, made {years}", name, years),
                None => say!("entry {name}", name),
            }
        }
        Binding::Figure(figure, sign) => figure_meaning(&scheme.figures[*figure], sign),
        Binding::Mark { mark, code } => scheme.marks[*mark].codes[*code].means.clone(),
    }
}

/// What kind of segment shows a binding.
pub(super) fn kind(binding: &Binding) -> SegmentKind {
    match binding {
        Binding::Series { .. } => SegmentKind::Series,
        Binding::Entry(_) => SegmentKind::Entry,
        Binding::Figure(figure, _) => SegmentKind::Figure(*figure),
        Binding::Mark { mark, .. } => SegmentKind::Mark(*mark),
    }
}

fn series_meaning(scheme: &Scheme, series: usize, word: usize) -> String {
    let words = &scheme.series[series].words;
    let (first, (spelled, years)) = (&words[0].0, &words[word]);
    match (word, years.text()) {
        (0, None) => say!("series {first}", first),
        (0, Some(years)) => say!("series {first}, named so {years}", first, years),
        (_, None) => say!("series {first}, here {spelled}", first, spelled),
        (_, Some(years)) => say!(
            "series {first}, named {spelled} {years}",
            first,
            spelled,
            years
        ),
    }
}

fn figure_meaning(figure: &Figure, sign: &Sign) -> String {
    let quantity = language::word(figure.method.quantity().name());
    let method = figure.method.said();
    let what = say!("{quantity} by {method}", quantity, method);
    let amount = &sign.amount.amount;
    let running = matches!(
        figure.signs,
        Signs::Grid(Grid {
            meaning: GridMeaning::Steps { .. },
            ..
        })
    );
    if amount.given == sign.text && !running {
        say!("{what}: {value} as stamped", what, value = value(amount))
    } else if amount.given.contains(char::is_alphabetic) {
        let given = language::number(amount.given.as_str());
        format!("{what}: {}, {given}", sign.text)
    } else {
        format!("{what}: {}, {}", sign.text, value(amount))
    }
}

/// No figure is stamped finer than a micrometre; inches come out of this many digits.
const MOST_DECIMALS: f64 = 3.0;

/// The value with the digits that were given, in the unit that people are shown.
fn value(amount: &Amount) -> String {
    let unit = amount.dimension.shown_unit();
    let in_unit = |base: f64| base / unit.in_base.to_f64();
    let metric = amount.unit.in_base.digits() == 1;
    let needed = if metric {
        -in_unit(amount.resolution).log10() - DIGIT_SLACK
    } else {
        MOST_DECIMALS
    };
    let decimals = needed.ceil().clamp(0.0, MOST_DECIMALS) as usize;
    let exact = Decimal::of(in_unit(amount.value)).map(|value| value.rounded(-(decimals as i32)));
    exact.map_or_else(String::new, |value| {
        language::number(format!("{} {}", value.text(decimals), unit.symbol))
    })
}

/// The logarithm of 0.01 is not quite -2 in floats.
const DIGIT_SLACK: f64 = 1e-9;
