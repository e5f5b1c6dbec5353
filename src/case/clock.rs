//! The moment of a change, in Coordinated Universal Time.

use std::fmt;

use super::day::Day;

/// A moment, to the second.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moment {
    day: Day,
    second: u32,
}

impl Moment {
    /// The moment some seconds after the start of 1970 (Unix time; leap seconds are not counted). A
    /// clock that is out of all bounds gives the first day of 1970.
    ///
    /// The date follows from the rule of the Gregorian calendar: 146 097 days are 400 years, and a
    /// year that is counted from March has its leap day at its end.
    #[must_use]
    pub fn at(seconds: u64) -> Self {
        let days = seconds / 86_400;
        let since = days + 719_468; // days from 1 March of the year 0 to 1 January 1970
        let (era, of_era) = (since / 146_097, since % 146_097);
        let year_of_era = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
        let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
        let march_month = (5 * of_year + 2) / 153;
        let day = of_year - (153 * march_month + 2) / 5 + 1;
        let month = if march_month < 10 {
            march_month + 3
        } else {
            march_month - 9
        };
        let year = era * 400 + year_of_era + u64::from(month <= 2);
        let made = u16::try_from(year).ok().zip(u8::try_from(month).ok());
        let made = made.and_then(|(y, m)| Day::new(y, m, u8::try_from(day).ok()?));
        Self {
            day: made.unwrap_or(Day::EPOCH),
            second: u32::try_from(seconds % 86_400).unwrap_or(0),
        }
    }

    /// Its day.
    #[must_use]
    pub const fn day(self) -> Day {
        self.day
    }
}

impl fmt::Display for Moment {
    /// As RFC 3339 writes it: `2026-11-28T10:15:02Z`.
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (hour, minute, second) = (self.second / 3_600, self.second / 60 % 60, self.second % 60);
        write!(out, "{}T{hour:02}:{minute:02}:{second:02}Z", self.day)
    }
}
