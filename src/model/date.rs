//! The day of a class, and perhaps its time of day, on the clock of the studio's wall: no time zone.

use std::fmt;
use std::str::FromStr;

use chrono::{Datelike, NaiveDate, NaiveTime, Timelike};

/// A day of the Gregorian calendar in the years 1 to 9999, perhaps with a time of day to the second.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Date {
    day: NaiveDate,
    /// The time and how it was written, so that it is written so again.
    time: Option<(NaiveTime, &'static str)>,
}

/// What keeps a text from being a date.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoDate {
    /// It has another form.
    #[error("`{0}` is no date")]
    Form(String),
    /// There is no such month.
    #[error("`{0}` is no day: a year has 12 months")]
    Month(String),
    /// The month has no such day.
    #[error("`{written}` is no day: {month} has {days} days")]
    Day {
        /// The day.
        written: String,
        /// Month and year.
        month: String,
        /// How many days the month has.
        days: u8,
    },
    /// The year 0.
    #[error("`{0}` is no day: the calendar has no year 0")]
    Year(String),
    /// No time of day.
    #[error("`{0}` is no time of day")]
    Time(String),
    /// A distance from universal time.
    #[error("`{0}` means a time zone, but a class begins by the clock on the studio's wall")]
    Zone(String),
}

/// The form of a day, each 0 any digit, and how it is read.
const DAY: (&str, &str) = ("0000-00-00", "%Y-%m-%d");
/// The same of a time of day.
const TIMES: [(&str, &str); 2] = [("00:00", "%H:%M"), ("00:00:00", "%H:%M:%S")];

impl FromStr for Date {
    type Err = NoDate;

    /// Reads `2026-03-12`, `2026-03-12T12:30` or `2026-03-12T12:30:00`, also with a space for the `T`.
    ///
    /// # Errors
    /// What is wrong with it.
    fn from_str(text: &str) -> Result<Self, NoDate> {
        let text = text.trim();
        let (day, time) = match text.split_once(['T', 't', ' ']) {
            Some((day, time)) => (day, Some(time)),
            None => (text, None),
        };
        if !formed(day, DAY.0) {
            return Err(NoDate::Form(text.to_owned()));
        }
        Ok(Self {
            day: day_of(day)?,
            time: time.map(time_of).transpose()?,
        })
    }
}

fn formed(text: &str, form: &str) -> bool {
    let fits = |(t, f): (u8, u8)| {
        if f == b'0' {
            t.is_ascii_digit()
        } else {
            t == f
        }
    };
    text.len() == form.len() && text.bytes().zip(form.bytes()).all(fits)
}

fn day_of(written: &str) -> Result<NaiveDate, NoDate> {
    let own = || written.to_owned();
    let read = |text: &str| NaiveDate::parse_from_str(text, DAY.1).ok();
    match read(written) {
        Some(day) if day.year() == 0 => Err(NoDate::Year(own())),
        Some(day) => Ok(day),
        None => Err(match read(&format!("{}01", &written[..8])) {
            Some(first) => NoDate::Day {
                written: own(),
                month: first.format("%B %Y").to_string(),
                days: first.num_days_in_month(),
            },
            None => NoDate::Month(own()),
        }),
    }
}

fn time_of(written: &str) -> Result<(NaiveTime, &'static str), NoDate> {
    if let Some(zone) = written.find(['Z', 'z', '+', '-']) {
        return Err(NoDate::Zone(written[zone..].to_owned()));
    }
    let form = TIMES.iter().find(|(form, _)| formed(written, form));
    let time =
        form.and_then(|&(_, how)| Some((NaiveTime::parse_from_str(written, how).ok()?, how)));
    // A second 60 is read as one of more than its nanoseconds.
    time.filter(|(time, _)| time.nanosecond() < 1_000_000_000)
        .ok_or_else(|| NoDate::Time(written.to_owned()))
}

impl fmt::Display for Date {
    /// As ISO 8601 has it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.day)?;
        match self.time {
            Some((time, how)) => write!(f, "T{}", time.format(how)),
            None => Ok(()),
        }
    }
}

impl Date {
    /// The day.
    pub(crate) fn day(&self) -> NaiveDate {
        self.day
    }

    /// The time of day.
    pub(crate) fn time(&self) -> Option<NaiveTime> {
        self.time.map(|(time, _)| time)
    }

    /// For people: `2026-03-12, 12:30`, with the seconds only where there are some.
    pub fn in_words(&self) -> String {
        match self.time() {
            Some(time) if time.second() == 0 => format!("{}, {}", self.day, time.format("%H:%M")),
            Some(time) => format!("{}, {time}", self.day),
            None => self.day.to_string(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_date_is_written_as_it_was_read() {
        for (text, iso, words) in [
            ("2026-03-12", "2026-03-12", "2026-03-12"),
            ("2028-02-29", "2028-02-29", "2028-02-29"),
            ("9999-12-31", "9999-12-31", "9999-12-31"),
            ("0001-01-01", "0001-01-01", "0001-01-01"),
            ("2026-03-12T12:30", "2026-03-12T12:30", "2026-03-12, 12:30"),
            (
                " 2026-03-12 12:30:00",
                "2026-03-12T12:30:00",
                "2026-03-12, 12:30",
            ),
            (
                "2026-03-12t00:00:05",
                "2026-03-12T00:00:05",
                "2026-03-12, 00:00:05",
            ),
        ] {
            let date: Date = text.parse().expect(text);
            assert_eq!(
                (date.to_string(), date.in_words()),
                (iso.into(), words.into())
            );
        }
    }

    #[test]
    fn what_is_no_day_or_no_time_says_why() {
        for (text, why) in [
            ("2026-02-30", "February 2026 has 28 days"),
            ("2028-02-30", "February 2028 has 29 days"),
            (
                "2026-04-31T12:30",
                "`2026-04-31` is no day: April 2026 has 30 days",
            ),
            ("2026-04-00", "April 2026 has 30 days"),
            ("2026-13-01", "12 months"),
            ("2026-00-01", "12 months"),
            ("0000-01-01", "no year 0"),
            ("10000-01-01", "`10000-01-01` is no date"),
            ("-001-01-01", "is no date"),
            ("2026-3-12", "is no date"),
            ("12/03/2026", "is no date"),
            ("12:30", "is no date"),
            ("Tuesday", "`Tuesday` is no date"),
            ("", "`` is no date"),
            ("2026-03-12T24:00", "`24:00` is no time of day"),
            ("2026-03-12T12:30:60", "is no time of day"),
            ("2026-03-12T12:30:00.5", "is no time of day"),
            ("2026-03-12 9:30", "`9:30` is no time of day"),
            ("2026-03-12T", "is no time of day"),
            ("2026-03-12T12:30:00Z", "`Z` means a time zone"),
            ("2026-03-12T12:30+01:00", "`+01:00` means a time zone"),
        ] {
            let said = text.parse::<Date>().expect_err(text).to_string();
            assert!(said.contains(why), "{text}: {said}");
        }
    }
}
