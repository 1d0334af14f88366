//! The class as an entry of a calendar (iCalendar, RFC 5545) with the run sheet as its description. Times are floating: they mean the
//! clock on the wall of the studio.

use icalendar::{Calendar, Component, Event, EventLike, Property};

use crate::model::date::Date;
use crate::report::drawn::Drawn;
use crate::report::sheet::Sheet;
use crate::report::words::harmless;

/// A calendar with one entry: at its time if it is known, else for the whole day. The same class on the same day is the same entry.
pub fn entry(sheet: &Sheet, when: Date, description: &Drawn) -> String {
    let sheet = &harmless(sheet);
    let name: String = (sheet.title.chars())
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .collect();
    let mut event = Event::new();
    event
        .uid(&format!(
            "{}-{}@segue.invalid",
            when.day().format("%Y%m%d"),
            name.to_lowercase()
        ))
        .summary(&sheet.title)
        .description(description.plain().trim_end());
    match when.time() {
        Some(time) => {
            event.starts(when.day().and_time(time));
            if let Some(minutes) = sheet.minutes {
                event.add_property("DURATION", format!("PT{minutes}M"));
            }
        }
        None => {
            event.starts(when.day());
        }
    }
    let mut calendar = Calendar::empty();
    calendar.append_property(Property::new("VERSION", "2.0"));
    calendar.append_property(Property::new("PRODID", "-//segue//run sheet//EN"));
    calendar.push(event.done()).done().to_string()
}
