//! The run sheet as a table (RFC 4180, UTF-8, commas, one header), one row a step, for spreadsheets.

use crate::report::sheet::{OtherSprings, Sheet};

/// Names of the columns, in order.
pub const COLUMNS: [&str; 18] = [
    "place",
    "clock",
    "movement",
    "side",
    "round",
    "amount",
    "springs",
    "lighter",
    "heavier",
    "setting",
    "stop",
    "transition",
    "say_before",
    "layers",
    "notes",
    "options",
    "teaching",
    "bodies",
];

/// The rows of a sheet; where a cell holds several texts they are joined by "; ".
///
/// # Errors
/// What kept a row from being written.
pub fn table(sheet: &Sheet) -> Result<Vec<u8>, csv::Error> {
    let mut out = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    out.write_record(COLUMNS)?;
    let other = |o: &Option<OtherSprings>| o.as_ref().map_or(String::new(), |o| o.springs.clone());
    for row in &sheet.rows {
        let stop = if row.before.stop { "yes" } else { "no" };
        out.write_record([
            row.place.to_string(),
            row.clock.clone(),
            row.movement.clone(),
            row.side.clone(),
            row.round.to_string(),
            row.amount.clone(),
            row.springs.clone(),
            other(&row.lighter),
            other(&row.heavier),
            row.setting.join("; "),
            stop.to_owned(),
            row.before.time.clone(),
            row.before.cues.join("; "),
            row.layers.join("; "),
            row.marks.join("; "),
            row.options.join("; "),
            row.teaching.join("; "),
            row.bodies.join("; "),
        ])?;
    }
    out.into_inner()
        .map_err(|e| csv::Error::from(e.into_error()))
}
