//! The class as an entry of a calendar (iCalendar, RFC 5545) with the run sheet as its description. Times are floating: they mean the
//! clock on the wall of the studio.

use icalendar::{Calendar, Component, Event, Property};

use crate::report::drawn::Drawn;
use crate::report::sheet::Sheet;
use crate::report::words::harmless;

/// When a class is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct When {
    /// The day, as `20260312`.
    day: String,
    /// The time of day, as `123000`, if it is known.
    time: Option<String>,
}

impl When {
    /// The day and perhaps the time of a date as written in a brief (`2026-03-12`, `2026-03-12T12:30`); `None` if it is no such date.
    pub fn read(date: &str) -> Option<Self> {
        let (day, time) = match date.trim().split_once(['T', 't', ' ']) {
            Some((day, time)) => (day, Some(time)),
            None => (date.trim(), None),
        };
        let [year, month, day] = numbers(day, '-')?[..] else {
            return None;
        };
        if !(1..=12).contains(&month) || day < 1 || day > days(year, month) {
            return None;
        }
        let time = match time {
            None => None,
            Some(time) => match numbers(time, ':')?[..] {
                [hour, minute] | [hour, minute, 0..=59] if hour < 24 && minute < 60 => {
                    Some(format!("{hour:02}{minute:02}00"))
                }
                _ => return None,
            },
        };
        Some(Self {
            day: format!("{year:04}{month:02}{day:02}"),
            time,
        })
    }
}

fn numbers(text: &str, between: char) -> Option<Vec<u32>> {
    text.split(between).map(|part| part.parse().ok()).collect()
}

/// Days of a month of the Gregorian calendar.
fn days(year: u32, month: u32) -> u32 {
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// A calendar with one entry: at its time if it is known, else for the whole day. The same class on the same day is the same entry.
pub fn entry(sheet: &Sheet, when: &When, description: &Drawn) -> String {
    let sheet = &harmless(sheet);
    let name: String = (sheet.title.chars())
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .collect();
    let mut event = Event::new();
    event
        .uid(&format!(
            "{}-{}@segue.invalid",
            when.day,
            name.to_lowercase()
        ))
        .summary(&sheet.title)
        .description(description.plain().trim_end());
    match &when.time {
        Some(time) => {
            event.add_property("DTSTART", format!("{}T{time}", when.day));
            if let Some(minutes) = sheet.minutes {
                event.add_property("DURATION", format!("PT{minutes}M"));
            }
        }
        None => {
            let mut day = Property::new("DTSTART", &when.day);
            day.add_parameter("VALUE", "DATE");
            event.append_property(day);
        }
    }
    let mut calendar = Calendar::empty();
    calendar.append_property(Property::new("VERSION", "2.0"));
    calendar.append_property(Property::new("PRODID", "-//segue//run sheet//EN"));
    calendar.push(event.done()).done().to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_date_is_read_with_and_without_a_time_and_no_other_text_is_one() {
        let when = |text| When::read(text).map(|w| (w.day, w.time));
        assert_eq!(when("2026-03-12"), Some(("20260312".into(), None)));
        let half_past = Some(("20260312".into(), Some("123000".into())));
        assert_eq!(when("2026-03-12T12:30"), half_past);
        assert_eq!(when("2026-03-12 12:30:00"), half_past);
        assert_eq!(when("2028-02-29"), Some(("20280229".into(), None)));
        for wrong in [
            "Tuesday",
            "2026-02-29",
            "2026-13-01",
            "2026-03-12T25:00",
            "",
        ] {
            assert_eq!(when(wrong), None, "{wrong}");
        }
    }
}
