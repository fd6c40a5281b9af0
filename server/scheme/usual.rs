//! How usual the values of a scheme are, against one another.
//!
//! Weights that somebody counted: a series of weight 3 is met three times as often as one of
//! weight 1, which is what every value has that is not named. An entry is as usual as its own
//! weight times that of its series. Nothing here is a probability: a weight only means something
//! beside the others of its field.

use std::collections::HashMap;

use super::figure::Figure;
use super::meant::{Entry, Series};
use super::piece::Binding;

/// Weights of values; equal where none were given.
#[derive(Clone, Debug, Default)]
pub struct Usual {
    /// Where they come from; empty where there are none.
    pub source: String,
    /// By place of the series.
    series: Vec<f64>,
    /// By place of the entry, those of its series included.
    entries: Vec<f64>,
    /// By place of the figure and sign.
    figures: HashMap<usize, HashMap<String, f64>>,
    /// By place of the figure, the mean over all of its signs.
    means: HashMap<usize, f64>,
}

/// Weights as they were given, by place; all above nought.
#[derive(Debug, Default)]
pub(super) struct Given {
    pub source: String,
    pub series: HashMap<usize, f64>,
    pub entries: HashMap<usize, f64>,
    pub figures: HashMap<usize, HashMap<String, f64>>,
}

impl Usual {
    /// With the weights of all values.
    pub(super) fn of(
        given: Given,
        (figures, series, entries): (&[Figure], &[Series], &[Entry]),
    ) -> Self {
        let own = |weights: &HashMap<usize, f64>, place: usize| {
            weights.get(&place).copied().unwrap_or(1.0)
        };
        let of_series: Vec<f64> = (0..series.len())
            .map(|place| own(&given.series, place))
            .collect();
        let of_entry = |(place, entry): (usize, &Entry)| {
            own(&given.entries, place) * entry.series.map_or(1.0, |series| of_series[series])
        };
        let mean = |(place, weights): (&usize, &HashMap<String, f64>)| {
            let signs = figures
                .get(*place)
                .map_or(0, |figure| figure.signs.count())
                .max(weights.len())
                .max(1);
            let more: f64 = weights.values().map(|weight| weight - 1.0).sum();
            (*place, 1.0 + more / signs as f64)
        };
        Self {
            entries: entries.iter().enumerate().map(of_entry).collect(),
            means: given.figures.iter().map(mean).collect(),
            series: of_series,
            source: given.source,
            figures: given.figures,
        }
    }

    /// Whether any were given.
    pub fn is_given(&self) -> bool {
        !self.source.is_empty()
    }

    /// How usual a value is against the mean of its field: 1 where all are as usual.
    pub fn weight(&self, binding: &Binding) -> f64 {
        let of_all = |all: &[f64], place: usize| match all.get(place) {
            Some(own) if self.is_given() => own * all.len() as f64 / all.iter().sum::<f64>(),
            _ => 1.0,
        };
        match binding {
            Binding::Series { series, .. } => of_all(&self.series, *series),
            Binding::Entry(entry) => of_all(&self.entries, *entry),
            Binding::Figure(figure, sign) => self.figures.get(figure).map_or(1.0, |weights| {
                weights.get(&sign.text).copied().unwrap_or(1.0) / self.means[figure]
            }),
            Binding::Mark { .. } => 1.0,
        }
    }
}
