//! A stamp that was read, for the page.

use minijinja::{Value, context};

use super::board;
use super::compare::beside;
use super::link::Asked;
use super::measures;
use crate::answer::{GaugeCheck, LimitCheck, ReadingAnswer, TranslateAnswer};
use crate::card::{LIMITS, UNCERTAINTY};
use crate::language::word;
use crate::paper::{SvgSize, section_svg};
use crate::web::parameters::query;
use crate::web::templates::value;

/// Room for the section under the measures: low, with words that are read at arm's length.
const ROOM: SvgSize = SvgSize {
    width_mm: 93.0,
    height_mm: 34.0,
};
/// The same on a phone.
const NARROW_ROOM: SvgSize = SvgSize {
    width_mm: 66.0,
    height_mm: 40.0,
};

/// Gauge values beside a piece that was read.
#[derive(Clone, Debug)]
pub(in crate::web) enum Held {
    /// Each held against it, values and limits; none where none was put to it.
    Against(Vec<GaugeCheck>, Vec<LimitCheck>),
    /// The marking stands for more than one piece.
    Unclear,
}

/// A reading with its measures, drawing and nearest pieces; `readings` are all of a stamp that has
/// more than one.
pub(in crate::web) fn read(
    read: &TranslateAnswer,
    held: &Held,
    readings: &[ReadingAnswer],
    asked: &Asked,
) -> Value {
    let (gauges, limits) = match held {
        Held::Against(checks, limits) => (checks.as_slice(), limits.as_slice()),
        Held::Unclear => (&[][..], &[][..]),
    };
    let reading = &read.reading;
    context! {
        kind => "read",
        announce => announce(read),
        reading => value(reading),
        measures => measures::rows(reading),
        budgets => read.explained.iter().map(value).collect::<Vec<_>>(),
        board => board::rows(read, asked),
        drawing => reading.section.as_ref().map(|section| section_svg(section, ROOM)),
        narrow_drawing => reading.section.as_ref().map(|section| section_svg(section, NARROW_ROOM)),
        gauges_unclear => matches!(held, Held::Unclear),
        gauges => gauges.iter().map(value).collect::<Vec<_>>(),
        limits => limits.iter().map(value).collect::<Vec<_>>(),
        rivals => rivals(read, readings, asked),
        units => units(asked),
        beside => beside(&[piece(read).as_str()], asked.units),
        card => card(read),
        rule => read.rule.as_str(),
        feel_source => read.feel_source.as_str(),
        uncertainty => word(UNCERTAINTY),
        limits_known => reading.has_limits().then(|| word(LIMITS)),
    }
}

fn announce(read: &TranslateAnswer) -> String {
    let near = read.into.iter().filter(|one| one.near).count();
    say!(
        "{stamp}, {scheme}; near in {near} of {all} other schemes",
        stamp = read.reading.canonical,
        scheme = read.reading.scheme.title,
        near,
        all = read.into.len()
    )
}

/// The readings that are not shown, each as a link, with what tells it from the others.
fn rivals(read: &TranslateAnswer, readings: &[ReadingAnswer], asked: &Asked) -> Vec<Value> {
    let others = readings
        .iter()
        .zip(1..)
        .filter(|(_, number)| *number != read.reading_number);
    let rival = |(one, number): (&ReadingAnswer, usize)| {
        let words = [
            Some(&one.canonical),
            one.made.as_ref(),
            Some(&one.scheme.title),
        ];
        let words: Vec<&str> = words.into_iter().flatten().map(String::as_str).collect();
        context! { text => words.join(", "), link => asked.reading(number).link() }
    };
    others.map(rival).collect()
}

fn units(asked: &Asked) -> Vec<Value> {
    let unit = |(name, says): (&'static str, &str)| context! { says => word(says), link => asked.in_units(name).link(), chosen => name == asked.units };
    [
        ("both", word!("both")),
        ("mm", "mm"),
        ("inch", word!("inch")),
    ]
    .into_iter()
    .map(unit)
    .collect()
}

/// The piece at hand as a page of pieces side by side names it.
pub(super) fn piece(read: &TranslateAnswer) -> String {
    match read.reading_number {
        1 => read.stamp.clone(),
        number => format!("{} ({number})", read.stamp),
    }
}

fn card(read: &TranslateAnswer) -> String {
    let reading = read.reading_number.to_string();
    let mut pairs = vec![("stamp", read.stamp.as_str())];
    if read.reading_number > 1 {
        pairs.push(("reading", &reading));
    }
    format!("/card?{}", query(pairs))
}
