//! A day of the calendar.

use std::fmt;

/// A day of the Gregorian calendar, that there was or will be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day {
    year: u16,
    month: u8,
    day: u8,
}

impl Day {
    /// The first day of 1970.
    pub(super) const EPOCH: Self = Self {
        year: 1970,
        month: 1,
        day: 1,
    };

    /// A day; none where the calendar has no such day.
    #[must_use]
    pub const fn new(year: u16, month: u8, day: u8) -> Option<Self> {
        let leap =
            year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
        let longest = match month {
            4 | 6 | 9 | 11 => 30,
            2 if leap => 29,
            2 => 28,
            1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
            _ => return None,
        };
        if day == 0 || day > longest || year > 9999 {
            return None;
        }
        Some(Self { year, month, day })
    }

    /// Reads `2026-11-28` (ISO 8601, calendar date).
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let bytes = text.as_bytes();
        if bytes.len() != 10 || bytes[4] != b'-' || bytes[7] != b'-' {
            return None;
        }
        let number = |range: std::ops::Range<usize>| {
            let digits = text.get(range)?;
            digits
                .bytes()
                .all(|b| b.is_ascii_digit())
                .then(|| digits.parse::<u16>().ok())
                .flatten()
        };
        let (year, month, day) = (number(0..4)?, number(5..7)?, number(8..10)?);
        Self::new(year, u8::try_from(month).ok()?, u8::try_from(day).ok()?)
    }

    /// Year.
    #[must_use]
    pub const fn year(self) -> u16 {
        self.year
    }

    /// Month, 1 to 12.
    #[must_use]
    pub const fn month(self) -> u8 {
        self.month
    }

    /// Day of the month, from 1.
    #[must_use]
    pub const fn day(self) -> u8 {
        self.day
    }
}

impl fmt::Display for Day {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}
