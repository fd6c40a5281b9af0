//! What a shop holds to be felt, and the rule behind a verdict.

use crate::method::Quantity;

/// The rule behind every verdict, stated once a card.
pub const RULE: &str = word!(
    "Larger, smaller and the like: the difference exceeds the shop's feel limit, and by more than its expanded \
uncertainty U (95 %) where U exceeds that limit. Too uncertain to say: any other of which U exceeds the limit. \
May or may not be felt: within the limit, beyond which U reaches. The same: within the limit with all of its U. \
Where only limits are known, all between them counts: beyond the feel limit it is felt, within it the same, on \
one side of nought it may or may not be felt, else one cannot tell. E_n is the difference over U (ISO 13528); \
above 1 the pieces do differ."
);

/// Limits for one quantity, mm or mm³.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FeelLimit {
    /// Differences up to here are not felt.
    pub same: f64,
    /// Differences up to here still count as near.
    pub near: f64,
    /// How much the quantity counts when nearness is weighed; one is usual.
    pub weight: f64,
}

/// The shop's feel limits.
#[derive(Clone, Debug, PartialEq)]
pub struct Feel {
    limits: [FeelLimit; Quantity::ALL.len()],
    /// Where they come from.
    pub source: String,
}

impl Feel {
    /// The limit of a quantity.
    pub fn limit(&self, quantity: Quantity) -> FeelLimit {
        self.limits[quantity as usize]
    }

    /// The same with one limit replaced.
    #[must_use]
    pub fn with(mut self, quantity: Quantity, limit: FeelLimit) -> Self {
        self.limits[quantity as usize] = limit;
        self
    }
}

/// Judged by this project for cup mouthpieces in general: common practice, no source.
impl Default for Feel {
    fn default() -> Self {
        let limit = |same, near, weight| FeelLimit { same, near, weight };
        let of = |quantity| match quantity {
            Quantity::RimInnerDiameter => limit(0.15, 0.40, 2.0),
            Quantity::RimOuterDiameter => limit(0.40, 1.50, 0.5),
            Quantity::CupDepth => limit(0.50, 1.50, 1.0),
            Quantity::CupVolume => limit(80.0, 250.0, 1.0),
            Quantity::ThroatDiameter => limit(0.08, 0.30, 1.0),
            Quantity::BackboreBore | Quantity::ExitDiameter => limit(0.15, 0.50, 0.5),
            Quantity::DiscDepth => limit(0.20, 0.60, 1.0),
            Quantity::RimWidth => limit(0.20, 0.75, 0.5),
            Quantity::CushionWidth => limit(0.20, 0.60, 0.5),
            Quantity::EdgeRadius => limit(0.10, 0.30, 0.5),
            Quantity::ThroatLength => limit(1.0, 3.0, 0.25),
            Quantity::BackboreLength | Quantity::ShankLength => limit(2.0, 6.0, 0.25),
            Quantity::PlugDepth => limit(2.0, 6.0, 0.25),
            Quantity::ShankDiameter => limit(0.05, 0.20, 0.25),
            Quantity::ShankTaper => limit(0.05, 0.15, 0.25),
            Quantity::InsertionDepth => limit(1.0, 3.0, 0.25),
        };
        let mut limits = [limit(0.0, 0.0, 0.0); Quantity::ALL.len()];
        for quantity in Quantity::ALL {
            limits[quantity as usize] = of(quantity);
        }
        Self {
            limits,
            source: word!("built in; common practice, no source").into(),
        }
    }
}
