//! A point in time, for people.

use std::fmt;
use std::time::{SystemTime, UNIX_EPOCH};

use super::day::Day;

/// A point in time, shown as `2031-04-05 06:07 UTC`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment(pub SystemTime);

impl Moment {
    /// This moment.
    pub fn now() -> Self {
        Self(SystemTime::now())
    }

    /// Its day, in UTC.
    pub fn day(self) -> Day {
        let (year, month, day) = date(self.minutes() / MINUTES_A_DAY);
        let short = |number: u64| u8::try_from(number).unwrap_or(u8::MAX);
        Day {
            year: u16::try_from(year).unwrap_or(u16::MAX),
            month: short(month),
            day: short(day),
        }
    }

    /// Whole minutes since 1970. A clock that stands before is not set; its time means nothing.
    fn minutes(self) -> u64 {
        self.0
            .duration_since(UNIX_EPOCH)
            .unwrap_or_default()
            .as_secs()
            / 60
    }
}

const MINUTES_A_DAY: u64 = 24 * 60;

impl fmt::Display for Moment {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let minutes = self.minutes();
        let (year, month, day) = date(minutes / MINUTES_A_DAY);
        let (hour, minute) = (minutes % MINUTES_A_DAY / 60, minutes % 60);
        write!(
            out,
            "{year:04}-{month:02}-{day:02} {hour:02}:{minute:02} UTC"
        )
    }
}

/// Year, month and day of a day counted from 1 January 1970, in the Gregorian
/// calendar. Years are taken to begin in March, so that the leap day is the last.
fn date(day: u64) -> (u64, u64, u64) {
    const DAYS_FROM_MARCH_OF_YEAR_0: u64 = 719_468;
    const DAYS_OF_400_YEARS: u64 = 146_097;
    let day = day + DAYS_FROM_MARCH_OF_YEAR_0;
    let (era, day) = (day / DAYS_OF_400_YEARS, day % DAYS_OF_400_YEARS);
    // Leap days before this day of the 400 years are taken out, then all years are alike.
    let year = (day - day / 1_460 + day / 36_524 - day / 146_096) / 365;
    let day = day - (365 * year + year / 4 - year / 100);
    // Months from March have 31, 30, 31, 30, 31 days, over and over: 153 in five.
    let month = (5 * day + 2) / 153;
    let day_of_month = day - (153 * month + 2) / 5 + 1;
    let month = if month < 10 { month + 3 } else { month - 9 };
    let year = 400 * era + year + u64::from(month <= 2);
    (year, month, day_of_month)
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::*;

    /// Seconds since the epoch, and what `date -u -d @SECONDS` of GNU coreutils 9.1 prints.
    #[test]
    fn dates_are_those_of_the_gregorian_calendar() {
        let cases = [
            (0, "1970-01-01 00:00 UTC"),
            (951_782_399, "2000-02-28 23:59 UTC"),
            (951_825_600, "2000-02-29 12:00 UTC"),
            (951_868_800, "2000-03-01 00:00 UTC"),
            (1_924_991_999, "2030-12-31 23:59 UTC"),
            (4_107_542_400, "2100-03-01 00:00 UTC"),
        ];
        for (seconds, shown) in cases {
            let moment = Moment(UNIX_EPOCH + Duration::from_secs(seconds));
            assert_eq!(moment.to_string(), shown);
        }
    }
}
