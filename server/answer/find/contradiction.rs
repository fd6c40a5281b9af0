//! A stamp that says one thing while a gauge says another.

use schemars::JsonSchema;
use serde::Serialize;

use super::super::decode::SchemeName;
use super::Candidate;
use crate::snapshot::Snapshot;

/// The piece that a stamp says, and the gauges that say otherwise.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ContradictionAnswer {
    /// The piece that the stamp alone says it is.
    pub canonical: String,
    /// Whose.
    pub scheme: SchemeName,
    /// Each gauge that says otherwise.
    pub gauges: Vec<ContradictingGauge>,
}

/// A gauge that says otherwise than the stamp.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ContradictingGauge {
    /// What it was put to.
    pub quantity: String,
    /// How the piece differs.
    pub says: String,
}

/// The gauges that contradict a piece; none where none does.
pub(super) fn contradicted(
    snapshot: &Snapshot,
    piece: &Candidate<'_>,
) -> Option<ContradictionAnswer> {
    let of_limits = piece
        .limits
        .iter()
        .map(|one| (one.agrees, &one.quantity, &one.says));
    let of_values = piece
        .gauges
        .iter()
        .map(|one| (one.agrees, &one.gauge.quantity, &one.says));
    let gauges: Vec<ContradictingGauge> = of_values
        .chain(of_limits)
        .filter(|(agrees, ..)| *agrees == Some(false))
        .map(|(_, quantity, says)| ContradictingGauge {
            quantity: quantity.clone(),
            says: says.clone(),
        })
        .collect();
    (!gauges.is_empty()).then(|| ContradictionAnswer {
        canonical: piece.canonical.clone(),
        scheme: SchemeName::of(snapshot, piece.scheme),
        gauges,
    })
}
