//! Where the gauge of each method goes, on one piece that stands for all.
//!
//! The piece is an example of a scheme whose section is known from crest to throat. A parameter that a method
//! cannot do without is filled in for the picture only.

use super::decode::reading;
use super::pictures::{Place, SectionAnswer, place};
use crate::method::{Method, MethodRow, Methods, Parameter};
use crate::route::Piece;
use crate::snapshot::Snapshot;

/// A section with the places of all methods.
#[derive(Clone, Debug)]
pub struct PlacesAnswer {
    /// The section; none where no example shows one.
    pub section: Option<SectionAnswer>,
    /// Every method, in the order of the tables.
    pub methods: Vec<MethodPlace>,
}

/// A method and where it is drawn.
#[derive(Clone, Debug)]
pub struct MethodPlace {
    /// What is measured.
    pub quantity: &'static str,
    /// The method's name.
    pub method: String,
    /// What it does, as the tables say it.
    pub says: String,
    /// Its parameters.
    pub parameters: &'static [Parameter],
    /// Whether drills can be tried at it.
    pub by_drills: bool,
    /// Whether it reads a volume.
    pub is_volume: bool,
    /// The ends of its dimension line; none where it is not drawn.
    pub place: Option<Place>,
}

/// All methods of the tables, drawn.
pub fn places(snapshot: &Snapshot) -> PlacesAnswer {
    let drawn = snapshot.schemes.iter().find_map(|scheme| {
        let stamps = scheme.examples.iter().map(|example| &example.stamp);
        stamps
            .filter_map(|stamp| whole(snapshot, &scheme.id, stamp))
            .next()
    });
    let piece = drawn.as_ref().map(|(_, piece)| piece);
    let methods = &snapshot.tables.methods;
    PlacesAnswer {
        methods: methods
            .rows()
            .iter()
            .map(|row| method_place(methods, row, piece))
            .collect(),
        section: drawn.map(|(section, _)| section),
    }
}

/// The piece of a stamp, where its section is known to the throat.
fn whole(snapshot: &Snapshot, scheme: &str, stamp: &str) -> Option<(SectionAnswer, Piece)> {
    let readings = snapshot.decoder.decode(stamp).readings;
    let own = readings.iter().find(|one| one.scheme.id == scheme)?;
    let (answer, made) = reading(snapshot, own);
    let section = answer.section.filter(|section| section.has_cup)?;
    Some((section, made.piece))
}

fn method_place(methods: &Methods, row: &MethodRow, piece: Option<&Piece>) -> MethodPlace {
    let parameters = row.functional.parameters();
    let sample = sample(methods, row);
    let profile = piece.and_then(Piece::profile);
    MethodPlace {
        quantity: row.quantity.name(),
        method: row.name.clone(),
        says: row.says.clone(),
        parameters,
        by_drills: row.quantity == crate::method::Quantity::ThroatDiameter,
        is_volume: row.quantity == crate::method::Quantity::CupVolume,
        place: sample
            .zip(profile)
            .and_then(|(method, profile)| place(profile, &profile.shape().section(), &method)),
    }
}

/// The method with what it needs filled in, so that it can be drawn.
fn sample(methods: &Methods, row: &MethodRow) -> Option<Method> {
    let filled = |parameter: Parameter| match parameter {
        Parameter::Diameter => "12 mm",
        Parameter::Across => "seam",
        other => other.like()[0],
    };
    let parameters = row.functional.parameters().iter();
    let texts = parameters.map(|one| format!(" {} {}", one.name(), filled(*one)));
    let text = row.name.clone() + &texts.collect::<String>();
    methods.parse(row.quantity, &text).ok()
}
