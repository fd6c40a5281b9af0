//! A value of which only limits are known, either of which may be missing.
//!
//! "This drill passes, that one does not" says that a bore lies between two sizes and nothing of
//! where; "at least 3.7 mm" has one end. A middle with ± would claim more than is known. Each
//! end is an [`Estimate`], since drills are worn and steps are made with a tolerance, and shares
//! its sources with whatever else leans on them.
//!
//! A value that is known as such is an estimate and not an interval of no length. Ends that
//! cross are refused where they enter.

use super::bell::Bell;
use super::{Estimate, Expanded};
use crate::language::{Digits, Sentence};
use crate::unit::Span;
use std::fmt;

/// Between two ends. Unit: the caller's, the same in both.
#[derive(Clone, Debug)]
pub struct Interval {
    low: Option<Estimate>,
    high: Option<Estimate>,
}

/// Limits that hold nothing.
#[derive(Clone, Debug, PartialEq)]
pub enum NoInterval {
    /// Neither end is known, which says nothing.
    Endless,
    /// An end that is no number, or no finite one.
    NotFinite(f64),
    /// The lower end lies above the upper one by more than both are uncertain.
    Crossed {
        /// The lower end.
        low: f64,
        /// The upper end.
        high: f64,
    },
}

impl fmt::Display for NoInterval {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.sentence().fmt(out)
    }
}

impl std::error::Error for NoInterval {}

impl NoInterval {
    /// What is wrong with them.
    pub fn sentence(&self) -> Sentence {
        match self {
            Self::Endless => sentence!("neither end of the limits is given"),
            Self::NotFinite(end) => {
                sentence!("an end of the limits is {end}, which is no size", end)
            }
            Self::Crossed { low, high } => sentence!(
                "the limits cross: at least {low} and at most {high}",
                low = Digits(low.to_string()),
                high = Digits(high.to_string())
            ),
        }
    }
}

impl Interval {
    /// Between ends.
    ///
    /// # Errors
    /// No end at all, an end that is not finite, or ends that cross: the lower above the upper.
    /// Ends that are equal within their uncertainty do not cross.
    pub fn new(low: Option<Estimate>, high: Option<Estimate>) -> Result<Self, NoInterval> {
        let not_finite = |end: &&Estimate| !(end.value().is_finite() && end.u().is_finite());
        if let Some(end) = low.iter().chain(&high).find(not_finite) {
            let odd = if end.value().is_finite() {
                end.u()
            } else {
                end.value()
            };
            return Err(NoInterval::NotFinite(odd));
        }
        match (&low, &high) {
            (None, None) => return Err(NoInterval::Endless),
            (Some(from), Some(to)) => {
                let gap = Expanded::from(&to.minus(from));
                if gap.value + gap.expanded < 0.0 {
                    let (low, high) = (from.value(), to.value());
                    return Err(NoInterval::Crossed { low, high });
                }
            }
            _ => {}
        }
        Ok(Self { low, high })
    }

    /// The lower end; none where it is at most something.
    pub fn low(&self) -> Option<&Estimate> {
        self.low.as_ref()
    }

    /// The upper end; none where it is at least something.
    pub fn high(&self) -> Option<&Estimate> {
        self.high.as_ref()
    }

    /// Each end changed by `change`, which must rise throughout.
    #[must_use]
    pub fn changed(&self, change: impl Fn(&Estimate) -> Estimate) -> Self {
        Self {
            low: self.low.as_ref().map(&change),
            high: self.high.as_ref().map(&change),
        }
    }

    /// Both ends without their uncertainty, for ranking.
    pub fn span(&self) -> Span {
        Span {
            low: self.low.as_ref().map_or(f64::NEG_INFINITY, Estimate::value),
            high: self.high.as_ref().map_or(f64::INFINITY, Estimate::value),
        }
    }

    /// What is left of both: the higher lower end and the lower upper end, which is how one more
    /// drill narrows a bore.
    ///
    /// # Errors
    /// They contradict each other.
    pub fn narrowed(&self, by: &Self) -> Result<Self, NoInterval> {
        let higher = |one: &Estimate, other: &Estimate| one.value() >= other.value();
        let lower = |one: &Estimate, other: &Estimate| one.value() <= other.value();
        Self::new(
            either(&self.low, &by.low, higher),
            either(&self.high, &by.high, lower),
        )
    }

    /// This less a value. Shared sources cancel in each end.
    #[must_use]
    pub fn minus(&self, value: &Estimate) -> Self {
        Self {
            low: self.low.as_ref().map(|low| low.minus(value)),
            high: self.high.as_ref().map(|high| high.minus(value)),
        }
    }

    /// Nought less this.
    #[must_use]
    pub fn turned(&self) -> Self {
        self.taken_from(&Estimate::exact(0.0))
    }

    /// A value less this.
    #[must_use]
    pub fn taken_from(&self, value: &Estimate) -> Self {
        Self {
            low: self.high.as_ref().map(|high| value.minus(high)),
            high: self.low.as_ref().map(|low| value.minus(low)),
        }
    }

    /// This less another interval: from low less high to high less low. None where nothing is
    /// left to say, as of two that are open on the same side.
    pub fn minus_interval(&self, other: &Self) -> Option<Self> {
        let between = |one: &Option<Estimate>, other: &Option<Estimate>| {
            Some(one.as_ref()?.minus(other.as_ref()?))
        };
        let (low, high) = (
            between(&self.low, &other.high),
            between(&self.high, &other.low),
        );
        (low.is_some() || high.is_some()).then_some(Self { low, high })
    }

    /// The outermost that it can be: each end pushed out by its U; infinite where an end is missing.
    pub fn outermost(&self) -> (f64, f64) {
        let low = self.low.as_ref().map(Expanded::from);
        let high = self.high.as_ref().map(Expanded::from);
        (
            low.map_or(f64::NEG_INFINITY, |low| low.value - low.expanded),
            high.map_or(f64::INFINITY, |high| high.value + high.expanded),
        )
    }

    /// The probability that a value lies between the ends, all errors taken as normal.
    pub fn holds(&self, value: &Estimate) -> f64 {
        let below = |end: &Option<Estimate>, missing: f64| {
            end.as_ref()
                .map_or(missing, |end| below_zero(&value.minus(end)))
        };
        (below(&self.high, 1.0) - below(&self.low, 0.0)).max(0.0)
    }

    /// How it compares with zero, to be used on a difference: beyond `limit` or beside zero only if all of
    /// it is, ends with their uncertainty included.
    pub fn side(&self, limit: f64) -> Side {
        let (low, high) = self.outermost();
        if low > limit {
            Side::More
        } else if high < -limit {
            Side::Less
        } else if low >= -limit && high <= limit {
            Side::Same
        } else if low > 0.0 || high < 0.0 {
            Side::AtTheLimit
        } else {
            Side::CannotTell
        }
    }

    /// "between a and b", "at least a", "at most b", each end as `text` writes it.
    pub fn text(&self, text: impl Fn(&Estimate) -> String) -> String {
        match (&self.low, &self.high) {
            (Some(low), Some(high)) => format!("between {} and {}", text(low), text(high)),
            (Some(low), None) => format!("at least {}", text(low)),
            (None, Some(high)) => format!("at most {}", text(high)),
            (None, None) => String::new(),
        }
    }
}

/// The probability that an estimate is below zero.
fn below_zero(estimate: &Estimate) -> f64 {
    let (value, u) = (estimate.value(), estimate.u());
    match u > 0.0 {
        true => Bell::at(-value / u).once,
        false => f64::from(u8::from(value < 0.0)),
    }
}

fn either(
    one: &Option<Estimate>,
    other: &Option<Estimate>,
    better: impl Fn(&Estimate, &Estimate) -> bool,
) -> Option<Estimate> {
    match (one, other) {
        (Some(one), Some(other)) if better(one, other) => Some(one.clone()),
        (_, Some(other)) => Some(other.clone()),
        (one, None) => one.clone(),
    }
}

/// On which side of zero a difference lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// All of it within the limit.
    Same,
    /// All of it above.
    More,
    /// All of it below.
    Less,
    /// All of it on one side of zero, and not all beyond the limit.
    AtTheLimit,
    /// Some of it here and some of it there.
    CannotTell,
}
