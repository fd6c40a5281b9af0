//! All that a number may be.
//!
//! From a low to a high end, infinite where it is open, with nothing said of where between. A
//! number that is known is a span of no length. Spans are for ranking: they have no uncertainty, and
//! no value is ever made of one. Values of which only limits are known are
//! [`crate::uncertainty::Interval`].

/// From low to high, in base units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// The lower end; minus infinity where it is open.
    pub low: f64,
    /// The upper end; infinity where it is open.
    pub high: f64,
}

impl Span {
    /// A number that is known.
    pub fn at(value: f64) -> Self {
        Self {
            low: value,
            high: value,
        }
    }

    /// By how much the nearest of this is more (above zero) or less than the nearest of `other`;
    /// zero where they touch.
    pub fn beyond(self, other: Self) -> f64 {
        if self.low > other.high {
            self.low - other.high
        } else if self.high < other.low {
            self.high - other.low
        } else {
            0.0
        }
    }

    /// Where a search starts: the middle, or the only end. It is not what the number is.
    pub fn start(self) -> f64 {
        match (self.low.is_finite(), self.high.is_finite()) {
            (true, true) => f64::midpoint(self.low, self.high),
            (true, false) => self.low,
            _ => self.high,
        }
    }

    /// The ends that are not open, each once.
    pub fn ends(self) -> impl Iterator<Item = f64> {
        let both = [
            Some(self.low),
            Some(self.high).filter(|high| *high != self.low),
        ];
        both.into_iter().flatten().filter(|end| end.is_finite())
    }
}
