//! A day of the calendar. There is no clock here: days are written in the sources or come from a commit.

use std::fmt;

/// A day of the Gregorian calendar, from 1900 on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// Its year.
    pub(crate) fn year(self) -> u16 {
        self.year
    }

    /// Reads `2026-03-02` and nothing else: year, month and day as ISO 8601 writes them, a day that there is.
    pub fn read(text: &str) -> Option<Date> {
        let mut parts = text.split('-');
        let mut number = |digits: usize| {
            let part = parts.next().filter(|part| part.len() == digits)?;
            part.bytes().all(|byte| byte.is_ascii_digit()).then(|| part.parse::<u16>().ok())?
        };
        let (year, month, day) = (number(4)?, number(2)?, number(2)?);
        let (month, day) = (u8::try_from(month).ok()?, u8::try_from(day).ok()?);
        let fine = parts.next().is_none() && year >= 1900 && (1..=days(year, month)).contains(&day);
        fine.then_some(Date { year, month, day })
    }

    /// The first day that a source's date may mean: sources are dated to the year, the month or the day.
    /// `None` where it is none of these.
    pub(crate) fn first_of(text: &str) -> Option<Date> {
        [text.to_owned(), format!("{text}-01"), format!("{text}-01-01")]
            .iter()
            .find_map(|full| Date::read(full))
    }

    /// The same day so many months later; a day that the month does not have becomes its last.
    pub(crate) fn after_months(self, months: u16) -> Date {
        let count = u32::from(self.month) - 1 + u32::from(months);
        let year = u16::try_from(u32::from(self.year) + count / 12).unwrap_or(u16::MAX);
        let month = u8::try_from(count % 12 + 1).unwrap_or(12);
        Date { year, month, day: self.day.min(days(year, month)) }
    }

    /// Its number among all days, counted from an early one.
    pub(crate) fn number(self) -> u32 {
        let year = u32::from(self.year);
        let before = (1900..self.year).filter(|year| days(*year, 2) == 29).count() as u32;
        let of_year: u32 = (1..self.month).map(|month| u32::from(days(self.year, month))).sum();
        (year - 1900) * 365 + before + of_year + u32::from(self.day)
    }

    /// The day so many days later; earlier where the count is negative, and never before 1900.
    pub(crate) fn moved(self, by: i64) -> Date {
        let mut left = i64::from(self.number()).saturating_add(by).max(1);
        let mut year = 1900;
        loop {
            let long = if days(year, 2) == 29 { 366 } else { 365 };
            if left <= long || year == u16::MAX {
                break;
            }
            left -= long;
            year += 1;
        }
        let mut month = 1;
        while month < 12 && left > i64::from(days(year, month)) {
            left -= i64::from(days(year, month));
            month += 1;
        }
        Date { year, month, day: u8::try_from(left).unwrap_or(1).clamp(1, days(year, month)) }
    }

    /// The day so many days after the first of 1970, as computers count them.
    pub(crate) fn of_unix_days(days: u64) -> Date {
        let first = Date { year: 1970, month: 1, day: 1 };
        first.moved(i64::try_from(days).unwrap_or(i64::MAX / 4))
    }

    /// The day after.
    pub(crate) fn next(self) -> Date {
        if self.day < days(self.year, self.month) {
            Date { day: self.day + 1, ..self }
        } else if self.month < 12 {
            Date { month: self.month + 1, day: 1, ..self }
        } else {
            Date { year: self.year.saturating_add(1), month: 1, day: 1 }
        }
    }
}

/// How many days a month has; none where there is no such month.
fn days(year: u16, month: u8) -> u8 {
    match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 if year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400)) => 29,
        2 => 28,
        _ => 0,
    }
}

impl fmt::Display for Date {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

/// The day a shop is judged on: that of the commit it is read at. Never today.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AsOf {
    /// The commit's date, in the zone of whoever committed.
    pub date: Date,
    /// The sources are exactly those of the commit. Where work is not committed yet, a review may well be
    /// later than the last commit.
    pub settled: bool,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_days_that_there_are_are_read() {
        for good in ["2026-03-02", "2024-02-29", "2000-02-29", "1999-12-31"] {
            assert_eq!(Date::read(good).map(|date| date.to_string()).as_deref(), Some(good));
        }
        for bad in [
            "",
            "2026",
            "2026-3-2",
            "2026-03-2",
            "2026-13-01",
            "2026-00-10",
            "2026-04-31",
            "2025-02-29",
            "1900-02-29",
            "2026-03-02 ",
            "2026-03-02-01",
            "02.03.2026",
            "2026/03/02",
            "+026-03-02",
            "1899-12-31",
            "２０２６-03-02",
        ] {
            assert_eq!(Date::read(bad), None, "{bad}");
        }
    }

    #[test]
    fn days_follow_one_another() {
        let next = |text| Date::read(text).map(|date| date.next().to_string());
        assert_eq!(next("2026-03-02").as_deref(), Some("2026-03-03"));
        assert_eq!(next("2024-02-28").as_deref(), Some("2024-02-29"));
        assert_eq!(next("2026-02-28").as_deref(), Some("2026-03-01"));
        assert_eq!(next("2026-12-31").as_deref(), Some("2027-01-01"));
        assert!(Date::read("2026-03-02") < Date::read("2026-11-01"));
    }

    #[test]
    fn a_source_may_be_dated_to_the_year_or_the_month() {
        for (text, first) in [("2018", "2018-01-01"), ("2018-03", "2018-03-01"), ("2018-03-09", "2018-03-09")]
        {
            assert_eq!(Date::first_of(text), Date::read(first));
        }
        assert_eq!(Date::first_of("spring 2018"), None);
    }
}
