//! What the errors of one trial are.
//!
//! A draw is a seed and a trial, nothing more: the error of a source follows from them and from
//! the source's key, so that a source that two values share errs the same in both, in any order
//! of asking, with no list of sources to be kept. Each number is a mix of bits of (seed, trial,
//! key), as counter-based generators have it.

use super::{Distribution, Estimate, Source};
use std::f64::consts::{PI, TAU};

/// The errors of all sources in one trial.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Draw {
    state: u64,
}

impl Draw {
    /// Trial `trial` of the run with that seed.
    pub fn new(seed: u64, trial: u64) -> Self {
        Self {
            state: mixed(mixed(seed) ^ trial),
        }
    }

    /// The error of a source in its standard uncertainties. By its own distribution, and by t of
    /// its degrees of freedom where it has some: then its u is that of the scale, as in JCGM 101,
    /// 6.4.9.
    pub fn of(&self, source: &Source) -> f64 {
        let first = mixed(self.state ^ source.identity());
        let uniform = unit(first);
        let turn = || TAU * unit(mixed(first));
        match (source.degrees_of_freedom(), source.distribution()) {
            // Bailey, Mathematics of Computation 62 (1994) 779: as Box and Muller, for t.
            (Some(nu), _) => (nu * (uniform.powf(-2.0 / nu) - 1.0)).sqrt() * turn().cos(),
            (None, Distribution::Normal) => (-2.0 * uniform.ln()).sqrt() * turn().cos(),
            (None, Distribution::Rectangular) => 3_f64.sqrt() * (2.0 * uniform - 1.0),
            (None, Distribution::Triangular) => 6_f64.sqrt() * (uniform + unit(mixed(first)) - 1.0),
            (None, Distribution::Arcsine) => 2_f64.sqrt() * (PI * uniform).cos(),
        }
    }
}

impl Estimate {
    /// The value as it would be with the errors of `draw`, to first order.
    pub fn drawn(&self, draw: &Draw) -> f64 {
        let errors = self
            .parts()
            .iter()
            .map(|part| part.contribution * draw.of(&part.source));
        self.value() + errors.sum::<f64>()
    }

    /// The same sources about the value that `draw` gives.
    #[must_use]
    pub fn moved(&self, draw: &Draw) -> Self {
        self.offset(self.drawn(draw) - self.value())
    }
}

/// Every bit of the result depends on every bit of the input (the finaliser of SplitMix64: Steele,
/// Lea and Flood 2014).
fn mixed(bits: u64) -> u64 {
    let bits = bits.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    bits ^ (bits >> 31)
}

/// Between 0 and 1, neither of them.
fn unit(bits: u64) -> f64 {
    ((bits >> 12) as f64 + 0.5) / (1_u64 << 52) as f64
}
