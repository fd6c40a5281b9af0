//! Readings that no metal can give together, whatever its form.

use super::{Functional, Method, Quantity};
use crate::language::{Sentence, Word};
use crate::unit::Span;

/// Of one piece the first is always less than the second.
const LESS: [(Quantity, Quantity); 4] = [
    (Quantity::ThroatDiameter, Quantity::RimInnerDiameter),
    (Quantity::RimInnerDiameter, Quantity::RimOuterDiameter),
    (Quantity::PlugDepth, Quantity::BackboreLength),
    (Quantity::InsertionDepth, Quantity::ShankLength),
];

/// Why readings that are surely within these spans (base unit) cannot be of one piece; none where nothing speaks
/// against it.
pub fn no_metal(readings: &[(&Method, Span)]) -> Option<Sentence> {
    let of = |quantity: Quantity| {
        let of = move |(method, _): &&(&Method, Span)| method.quantity() == quantity;
        readings.iter().filter(of)
    };
    for (less, more) in LESS {
        for (_, small) in of(less) {
            if let Some((_, large)) = of(more).find(|(_, large)| small.low >= large.high) {
                let (small, large) = (short(small.low), short(large.high));
                return Some(sentence!(
                    "{less} {small} mm and {more} {large} mm; expected {less} below {more}",
                    less,
                    small,
                    more,
                    large
                ));
            }
        }
    }
    if let Some(why) = rim_upside_down(readings) {
        return Some(why);
    }
    // A distance is put along the shank, which ends somewhere.
    let along =
        |(method, _): &&(&Method, Span)| method.row.functional == Functional::ShankAtDistance;
    let mut distances = readings.iter().filter(along);
    distances.find_map(|(method, _)| {
        let distance = method.parameters.distance_mm?;
        let mut lengths = of(Quantity::ShankLength);
        let (_, length) = lengths.find(|(_, length)| distance > length.high)?;
        let (distance, length) = (short(distance), short(length.high));
        Some(sentence!(
            "a distance of {distance} mm on a shank of {length} mm; expected one within it",
            distance,
            length
        ))
    })
}

/// The circles of a rim from the crest down, each narrower than the one above it.
const DOWN_THE_RIM: [Functional; 3] = [
    Functional::RimAtCrest,
    Functional::RimAtTangent,
    Functional::RimAtSeam,
];

fn rim_upside_down(readings: &[(&Method, Span)]) -> Option<Sentence> {
    let down = |method: &Method| {
        let circle = |one: &Functional| *one == method.row.functional;
        DOWN_THE_RIM.iter().position(circle)
    };
    let circles = || {
        let place = |(method, span): &(&Method, Span)| {
            Some((down(method)?, method.row.name.clone(), *span))
        };
        readings.iter().filter_map(place)
    };
    circles().find_map(|(above, upper, wide)| {
        let (_, lower, narrow) =
            circles().find(|(below, _, narrow)| *below > above && narrow.low >= wide.high)?;
        Some(sentence!(
            "rim inner diameter by {upper} {wide} mm at most and by {lower} {narrow} mm at least; the {lower} lies below the {upper}, and is narrower",
            upper = Word(upper),
            wide = short(wide.high),
            lower = Word(lower),
            narrow = short(narrow.low)
        ))
    })
}

/// At most four digits after the point: this is a message, not a result.
fn short(value: f64) -> String {
    let number = format!("{value:.4}");
    number
        .trim_end_matches('0')
        .trim_end_matches('.')
        .to_owned()
}
