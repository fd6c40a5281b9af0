//! One source of error, known by its key.
//!
//! Two values that carry sources of equal keys err together: one caliper, one
//! contour figure, one ring gauge. Sources of different keys are independent.

use super::bell::{NORMAL_95, student_point};
use super::coverage::LEVEL;
use crate::language::Sentence;
use std::cmp::Ordering;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

/// How the error of a source is spread.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Distribution {
    /// Known by its standard deviation.
    Normal,
    /// Anywhere within limits, equally likely: rounding, tolerances.
    Rectangular,
    /// Within limits, most likely in the middle.
    Triangular,
    /// Within limits, swinging as a sine and so mostly near the ends.
    Arcsine,
}

impl Distribution {
    /// The half-width divided by the standard uncertainty (JCGM 100, 4.3.7,
    /// 4.3.9 and H.1.3.4). One for normal, which is given by its standard
    /// uncertainty and has no half-width.
    pub fn divisor(self) -> f64 {
        match self {
            Self::Normal => 1.0,
            Self::Rectangular => 3_f64.sqrt(),
            Self::Triangular => 6_f64.sqrt(),
            Self::Arcsine => 2_f64.sqrt(),
        }
    }
}

/// One source of error. Its key is what it is; the rest describes it.
#[derive(Debug, Clone)]
pub struct Source {
    identity: u64,
    key: String,
    label: Sentence,
    distribution: Distribution,
    degrees_of_freedom: Option<f64>,
    widening: f64,
    input: Option<Input>,
    unit: &'static str,
}

/// The quantity that a source is of, as it was before it acted on anything.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Input {
    /// Its best estimate; zero for a correction that is not made.
    pub value: f64,
    /// Its standard uncertainty.
    pub u: f64,
}

impl Source {
    /// A source whose uncertainty is known with certainty. Equal keys are the
    /// same source; the label is for people.
    pub fn new(
        key: impl Into<String>,
        label: impl Into<Sentence>,
        distribution: Distribution,
    ) -> Self {
        let key = key.into();
        let mut hasher = DefaultHasher::new();
        key.hash(&mut hasher);
        Self {
            identity: hasher.finish(),
            key,
            label: label.into(),
            distribution,
            degrees_of_freedom: None,
            widening: 1.0,
            input: None,
            unit: "",
        }
    }

    /// The same with its uncertainty known from so many degrees of freedom,
    /// more than zero (JCGM 100, G.3 and G.4.2).
    #[must_use]
    pub fn with_degrees_of_freedom(self, degrees_of_freedom: f64) -> Self {
        Self {
            degrees_of_freedom: Some(degrees_of_freedom),
            widening: student_point(LEVEL, degrees_of_freedom) / NORMAL_95,
            ..self
        }
    }

    /// The same, in a unit by its symbol: that of its own quantity, which need not be that of
    /// a value it acts on.
    #[must_use]
    pub fn in_unit(self, unit: &'static str) -> Self {
        Self { unit, ..self }
    }

    /// What it is of. The first estimate that is made with a source says so.
    pub(super) fn of_input(self: &mut Arc<Self>, value: f64, u: f64) {
        if self.input.is_none() {
            Arc::make_mut(self).input = Some(Input { value, u });
        }
    }

    /// What makes two sources the same.
    pub fn key(&self) -> &str {
        &self.key
    }

    /// What a person is told.
    pub fn label(&self) -> &Sentence {
        &self.label
    }

    /// How the error is spread.
    pub fn distribution(&self) -> Distribution {
        self.distribution
    }

    /// None if infinite.
    pub fn degrees_of_freedom(&self) -> Option<f64> {
        self.degrees_of_freedom
    }

    /// Its 95 % point over that of a normal source of the same u: more than one where it is
    /// known from few degrees of freedom.
    pub(super) fn widening(&self) -> f64 {
        self.widening
    }

    /// The quantity it is of, where that is known.
    pub fn input(&self) -> Option<Input> {
        self.input
    }

    /// The symbol of its own unit; empty where that is not known or it has none.
    pub fn unit(&self) -> &'static str {
        self.unit
    }

    /// A number that stands for the key.
    pub(super) fn identity(&self) -> u64 {
        self.identity
    }

    /// An order in which only the same source is equal. It means nothing; it
    /// makes merging fast. The key is read only where the short identity is the same.
    pub(super) fn order(one: &Arc<Self>, other: &Arc<Self>) -> Ordering {
        one.identity.cmp(&other.identity).then_with(|| {
            if Arc::ptr_eq(one, other) {
                Ordering::Equal
            } else {
                one.key.cmp(&other.key)
            }
        })
    }

    /// Of two descriptions of the same source the one with fewer degrees of
    /// freedom, so that the order of merging does not matter.
    pub(super) fn more_cautious<'a>(one: &'a Arc<Self>, other: &'a Arc<Self>) -> &'a Arc<Self> {
        let freedom = |source: &Self| source.degrees_of_freedom.unwrap_or(f64::INFINITY);
        if freedom(other) < freedom(one) {
            other
        } else {
            one
        }
    }
}
