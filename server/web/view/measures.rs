//! Measures of a piece, the maker's own beside the neutral ones.

use minijinja::{Value, context};

use crate::answer::ReadingAnswer;
use crate::method::Quantity;
use crate::web::templates::value;

/// One row a quantity that is known in either way.
pub(super) fn rows(reading: &ReadingAnswer) -> Vec<Value> {
    Quantity::ALL
        .into_iter()
        .filter_map(|quantity| row(reading, quantity.name()))
        .collect()
}

fn row(reading: &ReadingAnswer, quantity: &str) -> Option<Value> {
    let own: Vec<Value> = reading
        .figures
        .iter()
        .filter(|figure| figure.measured.quantity == quantity)
        .map(value)
        .collect();
    let neutral: Vec<Value> = reading
        .neutral
        .iter()
        .filter(|one| one.quantity == quantity)
        .map(value)
        .collect();
    (!own.is_empty() || !neutral.is_empty()).then(|| context! { quantity, own, neutral })
}
