//! A measure as a person names it: `rim inner diameter@inner edge`, or the quantity alone for the
//! method of the neutral frame.

use crate::language::Sentence;
use crate::method::InWords;
use crate::method::{Method, Quantity};
use crate::scheme::Tables;

/// Reads one by which pieces of different forms can be compared.
///
/// # Errors
/// What is not known, in a plain sentence.
pub(super) fn measure(text: &str, tables: &Tables) -> Result<Method, Sentence> {
    let (quantity, method) = text.split_once('@').unwrap_or((text, ""));
    let quantity = Quantity::named(quantity).ok_or_else(|| {
        let known: Vec<&str> = Quantity::ALL.iter().map(|one| one.name()).collect();
        sentence!(
            "`{text}` is no quantity; there are: {known}",
            text = quantity.trim().to_string(),
            known = known.join(", ")
        )
    })?;
    if method.trim().is_empty() {
        return tables.methods.neutral(quantity).ok_or_else(|| {
            sentence!(
                "{quantity} has no neutral method; name one behind `@`",
                quantity = quantity.in_words()
            )
        });
    }
    let method = tables.methods.parse(quantity, method)?;
    if !method.holds_for_any_form() {
        return Err(sentence!(
            "{quantity} by {method} is not the same place or shape on metal of another form, so that pieces cannot be compared by it; leave the method out for the neutral one",
            quantity = quantity.in_words(),
            method = InWords(method.clone())
        ));
    }
    Ok(method)
}

/// The name by which [`measure`] finds it again.
pub fn measure_name(method: &Method) -> String {
    format!("{}@{method}", method.quantity())
}
