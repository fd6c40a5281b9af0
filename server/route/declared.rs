//! An offset between two methods that somebody states, and where it holds.

use super::piece::Stated;
use crate::language::{Digits, Sentence};
use crate::method::Method;
use crate::uncertainty::Estimate;
use crate::unit::Dimension;

/// An offset between two methods that somebody states: what `to` reads is what `from` reads
/// plus the offset, within a range.
#[derive(Clone, Debug)]
pub struct Declared {
    /// The method of the value at hand.
    pub from: Method,
    /// The method it is carried to.
    pub to: Method,
    /// To be added, mm or mm³.
    pub offset: Estimate,
    /// Values by `from` for which it holds, both ends too, mm or mm³.
    pub range: (f64, f64),
    /// Who says so.
    pub source: String,
}

/// The ends of a range are sums of rounded decimals: so far beyond is still at the end, mm or mm³.
const AT_THE_END: f64 = 1e-6;

impl Declared {
    /// The stated figure carried along this offset, in either direction; none where it does
    /// not start here or the value is outside the range.
    pub(super) fn carry(&self, stated: &Stated) -> Option<Stated> {
        let (to, sign) = self.way(&stated.method)?;
        let value = stated.estimate.value() + sign * self.offset.value();
        self.holds_at(stated, sign).then(|| Stated {
            method: to.clone(),
            estimate: Estimate::linear(value, &[(1.0, &stated.estimate), (sign, &self.offset)]),
            given: stated.given.clone(),
            source: self.source.as_str().into(),
        })
    }

    /// Where it holds, in words, if only its range keeps the stated figure from `method`.
    pub(super) fn out_of_reach(&self, stated: &Stated, method: &Method) -> Option<Sentence> {
        let (to, sign) = self.way(&stated.method)?;
        (to == method && !self.holds_at(stated, sign)).then(|| self.range_text())
    }

    /// The other end of it, and the sign by which it is added on the way there.
    fn way(&self, from: &Method) -> Option<(&Method, f64)> {
        if *from == self.from {
            Some((&self.to, 1.0))
        } else if *from == self.to {
            Some((&self.from, -1.0))
        } else {
            None
        }
    }

    fn holds_at(&self, stated: &Stated, sign: f64) -> bool {
        let value = stated.estimate.value();
        let by_from = match sign > 0.0 {
            true => value,
            false => value - self.offset.value(),
        };
        let (low, high) = self.range;
        (low - AT_THE_END..=high + AT_THE_END).contains(&by_from)
    }

    /// "from 15.30 to 16.60 mm".
    fn range_text(&self) -> Sentence {
        let (scale, unit) = match self.from.quantity().dimension() {
            Dimension::Volume => (1000.0, "ml"),
            _ => (1.0, "mm"),
        };
        let (low, high) = self.range;
        sentence!(
            "from {low} to {high} {unit}",
            low = Digits(format!("{:.2}", low / scale)),
            high = Digits(format!("{:.2}", high / scale)),
            unit
        )
    }
}
