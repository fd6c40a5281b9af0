//! Amounts in plug-ins and tables: the right dimension, limits where limits are due, and
//! sizes that a mouthpiece can have.

use std::f64::consts::PI;

use super::faults::Finding;
use super::figure::Sign;
use crate::language::{Digits, Sentence, Word};
use crate::method::Quantity;
use crate::profile::ContourFigure;
use crate::unit::{Amount, AmountError, AmountWithSpread, Dimension, Scale, Span, Spread, Unit};

/// An amount of that dimension with its unit; ratios have none.
pub(super) fn amount(text: &str, dimension: Dimension) -> Result<AmountWithSpread, Finding> {
    let read = match dimension {
        Dimension::Ratio => AmountWithSpread::parse_in(text, Unit::ONE),
        _ => AmountWithSpread::parse(text),
    };
    read.and_then(|read| match read.amount.dimension == dimension {
        true => Ok(read),
        false => Err(AmountError::OtherDimension {
            found: read.amount.dimension,
            expected: dimension,
        }),
    })
    .map_err(|error| Finding::amount(text, &error))
}

/// The same, where nothing may be said of its spread.
pub(super) fn plain(text: &str, dimension: Dimension) -> Result<Amount, Finding> {
    let read = amount(text, dimension)?;
    match read.spread {
        None => Ok(read.amount),
        Some(_) => Err(Finding::new(
            "bad-amount",
            sentence!("`{text}` has limits where none can be", text),
        )),
    }
}

/// The same, where its limits or its standard uncertainty must be said.
pub(super) fn limited(text: &str, dimension: Dimension) -> Result<(Amount, Spread), Finding> {
    let read = amount(text, dimension)?;
    let lacking = || {
        Finding::new(
            "no-limits",
            sentence!("`{text}` does not say how far off it may be", text),
        )
        .hint(sentence!("write `{text} ± ...`", text))
    };
    let spread = read.spread.ok_or_else(lacking)?;
    if spread.standard_uncertainty() <= 0.0 {
        let message = sentence!("`{text}` says that there is no doubt at all", text);
        let hint = sentence!("write how far off it may be");
        return Err(Finding::new("no-limits", message).hint(hint));
    }
    Ok((read.amount, spread))
}

/// The two ends of a range as `15.0..17.5 mm`.
pub(super) fn range(text: &str, dimension: Dimension) -> Result<(f64, f64), Finding> {
    let read = amount(text, dimension)?;
    match read.spread {
        Some(Spread::Limits { half_width }) if text.contains("..") => Ok((
            read.amount.value - half_width,
            read.amount.value + half_width,
        )),
        _ => Err(
            Finding::new("bad-amount", sentence!("`{text}` is not a range", text))
                .hint(sentence!("write it like `15.0..17.5 mm`")),
        ),
    }
}

/// An amount with its unit, or a number in the figure's unit.
pub(super) fn in_scale(
    text: &str,
    scale: Option<&Scale>,
    dimension: Dimension,
) -> Result<AmountWithSpread, Finding> {
    let Some(scale) = scale.filter(|_| !text.contains(char::is_alphabetic)) else {
        return amount(text, dimension);
    };
    match scale.amount(text) {
        Ok(amount) => Ok(AmountWithSpread {
            amount,
            spread: None,
        }),
        Err(_) => AmountWithSpread::parse_in(text, scale.unit())
            .ok()
            .filter(|_| scale.factor() == scale.unit().in_base.to_f64())
            .map_or_else(|| amount(text, dimension), Ok),
    }
}

/// The sign `word` that states `text`: a size, or limits as `9.0..10.0 mm`, `at least 9.0 mm`, `at most
/// 10.0 mm`. A range says where the size lies and nothing of where within, so it stays limits.
pub(super) fn sign(
    word: &str,
    text: &str,
    scale: Option<&Scale>,
    dimension: Dimension,
) -> Result<Sign, Finding> {
    let (from, to) = (end(text, AT_LEAST), end(text, AT_MOST));
    if let Some(end) = from.or(to) {
        let read = in_scale(end, scale, dimension)?;
        if read.spread.is_some() {
            let message = sentence!(
                "`{text}` says of an end of limits how far off it may be",
                text
            );
            let hint = sentence!("write one size; the figure's `tolerance` holds for it");
            return Err(Finding::new("bad-amount", message).hint(hint));
        }
        let value = read.amount.value;
        let low = from.map_or(f64::NEG_INFINITY, |_| value);
        let high = to.map_or(f64::INFINITY, |_| value);
        return Ok(limits(word, text, read.amount, Span { low, high }));
    }
    let amount = in_scale(text, scale, dimension)?;
    match text.split_once("..") {
        Some(ends) => {
            let unit = amount.amount.unit;
            let end = |text: &str| match Amount::parse_in(text, unit) {
                Ok(amount) => Ok(amount.value),
                Err(error) => Err(Finding::amount(text, &error)),
            };
            let (low, high) = (end(ends.0)?, end(ends.1)?);
            Ok(limits(word, text, amount.amount, Span { low, high }))
        }
        None => Ok(Sign::size(word.to_owned(), amount)),
    }
}

fn limits(word: &str, text: &str, amount: Amount, span: Span) -> Sign {
    let given = text.trim().to_owned();
    let (amount, spread) = (Amount { given, ..amount }, None);
    Sign {
        limits: Some(span),
        ..Sign::size(word.to_owned(), AmountWithSpread { amount, spread })
    }
}

const AT_LEAST: &str = "at least ";
const AT_MOST: &str = "at most ";

fn end<'a>(text: &'a str, words: &str) -> Option<&'a str> {
    text.trim().strip_prefix(words)
}

/// Whether a text states one end only.
pub(super) fn is_one_sided(text: &str) -> bool {
    end(text, AT_LEAST).or(end(text, AT_MOST)).is_some()
}

/// Refuses a sign that states a size that no mouthpiece has, or limits with such an end.
pub(super) fn plausible_sign(quantity: Quantity, sign: &Sign) -> Result<(), Finding> {
    let mut ends = sign.span().ends();
    ends.try_for_each(|end| plausible(quantity, end))
}

/// Degrees to radians, spread and all.
pub(super) fn in_radians(mut degrees: AmountWithSpread) -> AmountWithSpread {
    degrees.amount.value *= RADIANS;
    degrees.amount.resolution *= RADIANS;
    degrees.spread = degrees.spread.map(spread_in_radians);
    degrees
}

fn spread_in_radians(spread: Spread) -> Spread {
    match spread {
        Spread::Limits { half_width } => Spread::Limits {
            half_width: half_width * RADIANS,
        },
        Spread::Standard { u } => Spread::Standard { u: u * RADIANS },
    }
}

const RADIANS: f64 = PI / 180.0;

/// What a contour figure is measured in.
pub(super) fn dimension_of(which: ContourFigure) -> Dimension {
    match which {
        ContourFigure::Crest | ContourFigure::Edge | ContourFigure::Seam => Dimension::Length,
        ContourFigure::Join | ContourFigure::Wall => Dimension::Angle,
        ContourFigure::Form => Dimension::Ratio,
    }
}

/// Refuses a contour figure that no mouthpiece has; the value is in base units.
pub(super) fn plausible_form(which: ContourFigure, value: f64) -> Result<(), Finding> {
    let limits = match dimension_of(which) {
        Dimension::Angle => (0.0, 90.0, "°"),
        Dimension::Ratio => (0.0, 1.0, ""),
        // Widest to be met, with room: common practice, no source.
        _ => (0.05, 30.0, "mm"),
    };
    within(which.name(), value, limits)
}

/// Why no brass mouthpiece has such a size, if so; `value` is in base units.
pub fn implausible(quantity: Quantity, value: f64) -> Option<Sentence> {
    plausible(quantity, value)
        .err()
        .map(|finding| finding.message)
}

/// Refuses a size that no brass mouthpiece has, from the smallest horn to the largest tuba
/// and with room on both sides: common practice, no source. The value is in base units.
pub(super) fn plausible(quantity: Quantity, value: f64) -> Result<(), Finding> {
    let (scale, limits) = match quantity {
        Quantity::RimInnerDiameter => (1.0, (8.0, 45.0, "mm")),
        Quantity::RimOuterDiameter => (1.0, (15.0, 60.0, "mm")),
        Quantity::CupDepth => (1.0, (2.0, 80.0, "mm")),
        Quantity::CupVolume => (1000.0, (0.2, 60.0, "ml")),
        Quantity::ThroatDiameter => (1.0, (2.0, 12.0, "mm")),
        Quantity::BackboreBore | Quantity::ExitDiameter => (1.0, (2.0, 15.0, "mm")),
        Quantity::DiscDepth => (1.0, (0.05, 30.0, "mm")),
        Quantity::RimWidth => (1.0, (1.0, 30.0, "mm")),
        Quantity::CushionWidth => (1.0, (0.0, 12.0, "mm")),
        Quantity::EdgeRadius => (1.0, (0.05, 10.0, "mm")),
        Quantity::ThroatLength => (1.0, (0.0, 40.0, "mm")),
        Quantity::BackboreLength | Quantity::PlugDepth => (1.0, (1.0, 120.0, "mm")),
        Quantity::ShankDiameter => (1.0, (4.0, 20.0, "mm")),
        Quantity::ShankTaper => (1.0, (0.01, 10.0, "mm")),
        Quantity::ShankLength | Quantity::InsertionDepth => (1.0, (1.0, 60.0, "mm")),
    };
    within(quantity.name(), value / scale, limits)
}

fn within(
    what: &'static str,
    value: f64,
    (low, high, unit): (f64, f64, &str),
) -> Result<(), Finding> {
    if (low..=high).contains(&value) {
        return Ok(());
    }
    let value = with_unit(value, unit);
    let limits = sentence!(
        "{from} to {until}",
        from = Digits(low.to_string()),
        until = Digits(with_unit(high, unit))
    );
    let (what, value) = (Word(what), Digits(value));
    let message = match what.0.starts_with(['a', 'e', 'i', 'o', 'u']) {
        true => sentence!(
            "an {what} of {value}; expected {limits}",
            what = what,
            value = value,
            limits = limits
        ),
        false => sentence!(
            "a {what} of {value}; expected {limits}",
            what = what,
            value = value,
            limits = limits
        ),
    };
    Err(Finding::new("not-plausible", message))
}

/// At most four digits after the point: this is a message, not a result.
fn with_unit(value: f64, unit: &str) -> String {
    let number = format!("{value:.4}");
    let number = number.trim_end_matches('0').trim_end_matches('.');
    match unit {
        "" | "°" => format!("{number}{unit}"),
        _ => format!("{number} {unit}"),
    }
}
