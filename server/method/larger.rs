//! Which of two methods of one quantity always reads the larger figure.
//!
//! From the shape of the metal alone, whatever its form: the bore narrows from the crest to the throat, and
//! the shank widens from its end. That the inner edge reads more than the seam below it is common practice, no
//! source; the rest is geometry. Where it depends on the form nothing is said.

use std::cmp::Ordering;

use super::functional::Functional;
use super::parameters::{Across, From, Parameters};
use super::table::Method;

/// How what `one` reads compares with what `other` reads of the same metal; none where that depends on its
/// form, or where they may read the same.
pub fn always(one: &Method, other: &Method) -> Option<Ordering> {
    if one.quantity() != other.quantity() {
        return None;
    }
    let more = |one: &Method, other: &Method| {
        let (functionals, parameters) = (
            (one.row.functional, other.row.functional),
            (&one.parameters, &other.parameters),
        );
        is_more(functionals, parameters)
    };
    match (more(one, other), more(other, one)) {
        (true, false) => Some(Ordering::Greater),
        (false, true) => Some(Ordering::Less),
        _ => None,
    }
}

fn is_more(
    functionals: (Functional, Functional),
    (one, other): (&Parameters, &Parameters),
) -> bool {
    use Functional::{
        CushionAtDepth, DepthAtCentre, DepthAtDiameter, DepthByArea, DepthBySection,
        EquivalentBore, Flat, MeanBore, PlugDepth, RimAtCrest, RimAtDepth, RimAtSeam, RimAtTangent,
        RimWidth, RimWidthAtDepth, ShankAtDistance, Volume,
    };
    match functionals {
        (RimAtCrest, RimAtTangent | RimAtSeam | RimAtDepth) | (RimAtTangent, RimAtSeam) => true,
        (RimAtTangent, RimAtTangent) => one.angle_deg > other.angle_deg,
        (RimAtDepth, RimAtDepth) => one.at_mm < other.at_mm,
        (CushionAtDepth, Flat) | (EquivalentBore, MeanBore) => true,
        (CushionAtDepth, CushionAtDepth) => one.at_mm > other.at_mm,
        (RimWidthAtDepth, RimWidthAtDepth) => one.sides == other.sides && one.at_mm > other.at_mm,
        (RimWidth, RimWidth) => one.sides == other.sides && down(one) > down(other),
        (DepthAtCentre, DepthAtCentre) | (Volume, Volume) => begins_higher(one, other),
        (DepthAtCentre, DepthAtDiameter) => !begins_higher(other, one),
        (DepthAtCentre, DepthBySection | DepthByArea) => {
            is_wide(other) && !begins_higher(other, one)
        }
        (DepthBySection, DepthByArea) => {
            is_wide(one) && one.from == other.from && one.across == other.across
        }
        (DepthBySection, DepthBySection) | (DepthByArea, DepthByArea) => {
            let (narrower, deeper) = (down(one) >= down(other), !begins_higher(other, one));
            narrower && deeper && (one.from, one.across) != (other.from, other.across)
        }
        (DepthAtDiameter, DepthAtDiameter) => {
            let (smaller, deeper) = (
                one.diameter_mm <= other.diameter_mm,
                !begins_higher(other, one),
            );
            smaller && deeper && (one.diameter_mm, one.from) != (other.diameter_mm, other.from)
        }
        (PlugDepth, PlugDepth) => one.diameter_mm < other.diameter_mm,
        (ShankAtDistance, ShankAtDistance) => one.distance_mm > other.distance_mm,
        _ => false,
    }
}

/// Whether a depth begins at the crest and the other at the seam below it.
fn begins_higher(one: &Parameters, other: &Parameters) -> bool {
    (one.from, other.from) == (From::Crest, From::Seam)
}

/// How far down the rim the circle of a mouth lies.
fn down(one: &Parameters) -> Option<u8> {
    one.across.map(|across| match across {
        Across::Crest => 0,
        Across::InnerEdge => 1,
        Across::Seam => 2,
    })
}

/// Whether no bore below the plane that a mean begins at is wider than its mouth.
fn is_wide(mean: &Parameters) -> bool {
    mean.across == Some(Across::Crest) || (mean.from == From::Seam && mean.across.is_some())
}
