//! A day, for people and for addresses.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

/// A day of the Gregorian calendar; as `2031-04-05` in data and on paper (ISO 8601).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Day {
    /// 1 to 9999.
    pub year: u16,
    /// 1 to 12.
    pub month: u8,
    /// 1 to the last of the month.
    pub day: u8,
}

impl Day {
    /// Reads `2031-04-05`; none where there is no such day.
    ///
    /// ```
    /// use counterbore::load::Day;
    /// assert_eq!(Day::read("2032-02-29").map(|day| day.to_string()), Some("2032-02-29".into()));
    /// assert_eq!(Day::read("2031-02-29"), None);
    /// ```
    pub fn read(text: &str) -> Option<Self> {
        let mut parts = text.split('-');
        let part = |of: Option<&str>, long: usize| {
            of.filter(|one| one.len() == long && one.bytes().all(|sign| sign.is_ascii_digit()))?
                .parse::<u16>()
                .ok()
        };
        let (year, month, day) = (
            part(parts.next(), 4)?,
            part(parts.next(), 2)?,
            part(parts.next(), 2)?,
        );
        let there =
            year >= 1 && (1..=12).contains(&month) && (1..=last(year, month)).contains(&day);
        (there && parts.next().is_none()).then_some(Self {
            year,
            month: u8::try_from(month).ok()?,
            day: u8::try_from(day).ok()?,
        })
    }
}

/// The last day of a month.
fn last(year: u16, month: u16) -> u16 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400)) => {
            29
        }
        2 => 28,
        _ => 31,
    }
}

impl fmt::Display for Day {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

impl Serialize for Day {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl JsonSchema for Day {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Day".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({"type": "string", "format": "date"})
    }
}
