//! The volume of a cup by the water that fills it, weighed.
//!
//! V = m (1 − ρa/ρs) ÷ (ρw(t) − ρa): m as a balance shows it, ρw the density of water, ρa
//! that of air and ρs that of the weights by which balances are adjusted, 8000 kg/m³. The
//! metal's own expansion is left out: 0.006 % a degree, for brass.

use std::sync::Arc;

use crate::language::Sentence;
use crate::uncertainty::{Distribution, Estimate, Source};

/// Temperatures for which the formula of density holds, °C.
pub const RANGE_CELSIUS: (f64, f64) = (0.0, 40.0);

/// Density of the weights by which balances are adjusted, kg/m³ (OIML R 111-1, conventional mass).
const WEIGHTS: f64 = 8000.0;

/// Density of air in a room, kg/m³ (OIML R 111-1), and limits for weather and a few hundred
/// metres of height: common practice, no source.
const AIR: (f64, f64) = (1.2, 0.1);

/// Relative standard uncertainty of the formula for water as it comes, with air
/// dissolved in it: ten times what the formula has for its own water.
const FORMULA: f64 = 1e-5;

/// What fills the cup.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Water {
    /// Distilled or deionised.
    Distilled,
    /// From the tap.
    Tap,
}

impl Water {
    /// How far minerals may move the density, half-width in kg/m³: common practice, no source.
    fn minerals(self) -> f64 {
        match self {
            Self::Distilled => 0.02,
            Self::Tap => 0.5,
        }
    }
}

/// Density of water free of air at 101 325 Pa, in kg/m³, and how it changes with a degree.
///
/// M. Tanaka, G. Girard, R. Davis, A. Peuto, N. Bignell, Metrologia 38 (2001) 301, whose own
/// standard uncertainty is below 0.5 parts in 10⁶ for standard ocean water.
///
/// # Errors
/// A temperature outside [`RANGE_CELSIUS`], in a sentence.
pub fn density(celsius: f64) -> Result<(f64, f64), Sentence> {
    let (low, high) = RANGE_CELSIUS;
    if !(low..=high).contains(&celsius) {
        return Err(sentence!(
            "water of {celsius} °C; its density is known from {low} °C to {high} °C",
            celsius,
            low,
            high
        ));
    }
    let (a1, a2, a3, a4, a5) = (-3.983_035, 301.797, 522_528.9, 69.348_81, 999.974_950);
    let (x, y, z) = (celsius + a1, celsius + a2, celsius + a4);
    let fall = x * x * y / (a3 * z);
    let slope = fall * (2.0 / x + 1.0 / y - 1.0 / z);
    // At the maximum the slope is the limit of the quotient: zero.
    let slope = if x == 0.0 { 0.0 } else { slope };
    Ok((a5 * (1.0 - fall), -a5 * slope))
}

/// Volume in mm³ of a mass of water in grams at a temperature in °C.
///
/// # Errors
/// A temperature outside [`RANGE_CELSIUS`], or a mass that is not above zero.
pub fn volume(grams: &Estimate, celsius: &Estimate, water: Water) -> Result<Estimate, Sentence> {
    let mass = grams.value();
    if !(mass > 0.0 && mass.is_finite()) {
        return Err(sentence!(
            "{mass} g of water; expected more than zero",
            mass
        ));
    }
    let (density, slope) = density(celsius.value())?;
    let (air, air_limit) = AIR;
    let buoyant = density - air;
    // 1 g ÷ 1 kg/m³ = 10⁶ mm³.
    let volume = mass * 1e6 * (1.0 - air / WEIGHTS) / buoyant;
    let rectangular = |key: &str, label: Sentence, half_width: f64| {
        let source = Source::new(key, label, Distribution::Rectangular);
        Estimate::rectangular(0.0, half_width, Arc::new(source))
    };
    let formula = Source::new(
        "water/formula",
        sentence!("density of water"),
        Distribution::Normal,
    );
    let formula = Estimate::new(0.0, FORMULA * density, Arc::new(formula));
    let minerals = rectangular(
        "water/minerals",
        sentence!("minerals in the water"),
        water.minerals(),
    );
    let weather = rectangular("water/air", sentence!("density of air"), air_limit);
    let by_density = -volume / buoyant;
    let by_air = volume * (1.0 / buoyant - 1.0 / (WEIGHTS - air));
    Ok(Estimate::linear(
        volume,
        &[
            (volume / mass, grams),
            (by_density * slope, celsius),
            (by_density, &formula),
            (by_density, &minerals),
            (by_air, &weather),
        ],
    ))
}
