//! A stamp that was read, for the page.

use minijinja::{Value, context};

use super::board;
use super::link::Asked;
use super::measures;
use crate::answer::{GaugeCheck, TranslateAnswer};
use crate::card::UNCERTAINTY;
use crate::paper::{SvgSize, section_svg};
use crate::web::parameters::query;
use crate::web::templates::value;

/// Room for the section: narrow, so that its words are read at arm's length.
const ROOM: SvgSize = SvgSize {
    width_mm: 88.0,
    height_mm: 52.0,
};

/// A reading with its measures, drawing and nearest pieces.
pub(in crate::web) fn read(
    read: &TranslateAnswer,
    gauges: Vec<GaugeCheck>,
    asked: &Asked,
) -> Value {
    let reading = &read.reading;
    context! {
        kind => "read",
        announce => announce(read),
        reading => value(reading),
        measures => measures::rows(reading),
        board => board::rows(read, asked),
        drawing => reading.section.as_ref().map(|section| section_svg(section, ROOM)),
        gauges => gauges.iter().map(value).collect::<Vec<_>>(),
        rivals => rivals(read, asked),
        units => units(asked),
        card => card(read),
        rule => read.rule.as_str(),
        feel_source => read.feel_source.as_str(),
        uncertainty => UNCERTAINTY,
    }
}

fn announce(read: &TranslateAnswer) -> String {
    let near = read.into.iter().filter(|one| one.near).count();
    format!(
        "{}, {}; near in {near} of {} other schemes",
        read.reading.canonical,
        read.reading.scheme.title,
        read.into.len()
    )
}

/// Other readings, each as a link; their numbers leave out the one that is shown.
fn rivals(read: &TranslateAnswer, asked: &Asked) -> Vec<Value> {
    let number = |place: usize| {
        if place + 1 < read.reading_number {
            place + 1
        } else {
            place + 2
        }
    };
    let rival = |(place, text): (usize, &String)| context! { text, link => asked.reading(number(place)).link() };
    read.rivals.iter().enumerate().map(rival).collect()
}

fn units(asked: &Asked) -> Vec<Value> {
    let unit = |name: &'static str| context! { name, link => asked.in_units(name).link(), chosen => name == asked.units };
    ["both", "mm", "inch"].into_iter().map(unit).collect()
}

fn card(read: &TranslateAnswer) -> String {
    let reading = read.reading_number.to_string();
    let mut pairs = vec![("stamp", read.stamp.as_str())];
    if read.reading_number > 1 {
        pairs.push(("reading", &reading));
    }
    format!("/card?{}", query(pairs))
}
