//! The functionals of cushion, outside, throat, backbore and shank.
//!
//! Each reads what is known of the metal beyond rim and cup, and nothing where its part is
//! not known.

use super::functional::{Functional, mouth};
use super::parameters::Parameters;
use crate::profile::{Number, Section};

/// What a method reads; none for methods of rim and cup.
pub(super) fn read<D: Number>(
    functional: Functional,
    parameters: &Parameters,
    section: &Section<D>,
) -> Option<D> {
    let beyond = section.beyond();
    match functional {
        Functional::Flat => beyond.flat,
        Functional::CushionAtDepth => cushion(parameters.at_mm?, section),
        Functional::RimOuter => beyond.rim_outer.map(|radius| radius * 2.0),
        Functional::RimWidth => {
            let inner = mouth(parameters.across?, section)?;
            Some((beyond.rim_outer? - inner) * f64::from(parameters.sides))
        }
        Functional::RimWidthAtDepth => {
            let inner = section.radius_at(parameters.at_mm?)?;
            Some((beyond.rim_outer? - inner) * f64::from(parameters.sides))
        }
        Functional::Throat => beyond.throat_radius.map(|radius| radius * 2.0),
        Functional::ThroatLength => beyond.throat_length,
        Functional::MeanBore => beyond.mean_bore(),
        Functional::EquivalentBore => beyond.equivalent_bore(),
        Functional::Exit => beyond.exit().map(|radius| radius * 2.0),
        Functional::BackboreLength => beyond.backbore_length(),
        Functional::PlugDepth => beyond.plug_depth(parameters.diameter_mm? / 2.0),
        Functional::ShankAtDistance => beyond.shank?.diameter_at(parameters.distance_mm?),
        Functional::ShankTaper => Some(beyond.shank?.growth * parameters.over_mm),
        Functional::ShankLength => beyond.shank?.length,
        Functional::Insertion => {
            let growth = parameters.narrows_mm? / parameters.over_mm;
            beyond.shank?.insertion(parameters.receiver_mm?, growth)
        }
        _ => None,
    }
}

/// Width of the cushion at a depth below the crest: inward to the rim, and outward over the
/// flat to a quarter circle that ends at the outside. None below that quarter circle.
fn cushion<D: Number>(at: f64, section: &Section<D>) -> Option<D> {
    let beyond = section.beyond();
    let inner = section.radius_at(at)?;
    let shoulder = section.crest()? + beyond.flat?;
    let rounding = beyond.rim_outer? - shoulder;
    let down = rounding - at;
    (down.re() > 0.0).then(|| shoulder - inner + (rounding * rounding - down * down).sqrt())
}
