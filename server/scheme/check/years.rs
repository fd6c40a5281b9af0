//! Years in which something was made or named so.

use crate::scheme::faults::{Faults, Finding};
use crate::scheme::meant::Years;
use crate::yaml::{Path, Text};

/// Brass mouthpieces that anybody lays on a counter were made within these.
const YEARS: std::ops::RangeInclusive<i32> = 1500..=2200;

/// One year, four digits.
pub(super) fn year(text: &str) -> Result<i32, Finding> {
    text.trim()
        .parse()
        .ok()
        .filter(|year| YEARS.contains(year))
        .ok_or_else(|| {
            let message = sentence!(
                "`{text}` is not a year from {start} to {end}",
                text,
                start = YEARS.start().to_string(),
                end = YEARS.end().to_string()
            );
            Finding::new("bad-year", message)
        })
}

/// The years between two, either of which may be open.
pub(super) fn years(from: Option<i32>, until: Option<i32>) -> Result<Years, Finding> {
    match (from, until) {
        (Some(from), Some(until)) if from > until => {
            let message = format!("from {from} until {until} is no time at all");
            Err(Finding::new("bad-year", message)
                .hint(sentence!("write the earlier year in `from`")))
        }
        _ => Ok(Years { from, until }),
    }
}

/// The years under the keys `from` and `until`.
pub(super) fn written(
    (from, until): (&Option<Text>, &Option<Text>),
    path: &Path,
    faults: &mut Faults<'_>,
) -> Years {
    let mut read = |key: &str, text: &Option<Text>| {
        text.as_ref()
            .and_then(|text| faults.keep(&path.key(key), year(text)))
    };
    let (from, until) = (read("from", from), read("until", until));
    faults
        .keep(&path.key("until"), years(from, until))
        .unwrap_or_default()
}
