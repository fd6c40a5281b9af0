//! A measure as a person names it: `rim inner diameter@inner edge`, or the quantity alone for the
//! method of the neutral frame.

use crate::method::{Method, Quantity};
use crate::scheme::Tables;

/// Reads one.
///
/// # Errors
/// What is not known, in a plain sentence.
pub(super) fn measure(text: &str, tables: &Tables) -> Result<Method, String> {
    let (quantity, method) = text.split_once('@').unwrap_or((text, ""));
    let quantity = Quantity::named(quantity).ok_or_else(|| {
        let known: Vec<&str> = Quantity::ALL.iter().map(|one| one.name()).collect();
        format!(
            "`{}` is no quantity; there are: {}",
            quantity.trim(),
            known.join(", ")
        )
    })?;
    if method.trim().is_empty() {
        return tables
            .methods
            .neutral(quantity)
            .ok_or_else(|| format!("{quantity} has no neutral method; name one behind `@`"));
    }
    tables.methods.parse(quantity, method)
}

/// The name by which [`measure`] finds it again.
pub fn measure_name(method: &Method) -> String {
    format!("{}@{method}", method.quantity())
}
