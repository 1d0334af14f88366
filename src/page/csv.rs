//! The run sheet as a table (RFC 4180, UTF-8, commas, one header), one row a step, for spreadsheets.
//!
//! Some spreadsheets take a file for UTF-8 only where it begins with a byte-order mark, and a cell that begins like a formula for one: so it has the
//! mark, and such a cell, which a name of the teacher's own may be, begins with an apostrophe.

use crate::report::sheet::{OtherSprings, Sheet};
use crate::report::words::harmless;

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

/// Says that it is UTF-8.
const MARK: &str = "\u{feff}";

/// A cell that no spreadsheet takes for a formula.
fn no_formula(cell: String) -> String {
    if (cell.trim_start()).starts_with(['=', '+', '-', '@']) {
        format!("'{cell}")
    } else {
        cell
    }
}

/// The rows of a sheet; where a cell holds several texts they are joined by "; ".
///
/// # Errors
/// What kept a row from being written.
pub fn table(sheet: &Sheet) -> Result<Vec<u8>, csv::Error> {
    let sheet = &harmless(sheet);
    let mut out = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(MARK.as_bytes().to_vec());
    out.write_record(COLUMNS)?;
    let other = |o: &Option<OtherSprings>| o.as_ref().map_or(String::new(), |o| o.springs.clone());
    for row in &sheet.rows {
        let stop = if row.before.stop { "yes" } else { "no" };
        let cells = [
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
        ];
        out.write_record(cells.map(no_formula))?;
    }
    out.into_inner()
        .map_err(|e| csv::Error::from(e.into_error()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sheet::SheetRow;

    #[test]
    fn it_says_that_it_is_utf_8_and_holds_no_formula() {
        let sheet = Sheet {
            rows: vec![SheetRow {
                movement: "=1+1".into(),
                amount: "x 8".into(),
                ..SheetRow::default()
            }],
            ..Sheet::default()
        };
        let text = String::from_utf8(table(&sheet).expect("it is written")).expect("it is text");
        assert!(text.starts_with("\u{feff}place,clock,movement"), "{text}");
        assert!(text.contains(",'=1+1,"), "{text}");
    }
}
