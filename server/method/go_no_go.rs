//! The throat between two drill shanks: this one passes, that one does not.

use crate::language::Sentence;
use crate::unit::{Gauge, GaugeTable};

/// Between which diameters a bore is, in mm: not narrower than the drill that passes, not
/// wider than the one that does not. How an interval becomes an uncertainty is
/// [`crate::uncertainty`].
///
/// # Errors
/// A drill that the table does not have, or one that passes though a smaller one does not, in
/// a sentence with the figures.
pub fn between(table: &GaugeTable, passes: &str, stops: &str) -> Result<(f64, f64), Sentence> {
    let named = |name: &str| table.by_name(name).map_err(|error| error.to_string());
    let (low, high) = (named(passes)?, named(stops)?);
    if low.size_mm < high.size_mm {
        return Ok((low.size_mm, high.size_mm));
    }
    let says = |gauge: &Gauge| {
        sentence!(
            "{gauge} ({size_mm} mm)",
            gauge = gauge.name.to_string(),
            size_mm = gauge.size_mm.to_string()
        )
    };
    Err(sentence!(
        "drill {low} passes and drill {high} does not, which is no larger",
        low = says(low).to_string(),
        high = says(high).to_string()
    ))
}
