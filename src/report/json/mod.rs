//! What the commands print with `--json`: types that are serialised as they stand, and that describe themselves.
//!
//! One file a report. The doc comment of a field is all the documentation that its key has: with the feature `schemas` the schemas in
//! `models/schema` are generated from it (`tests/schemas.rs`). Every report begins with its version, and within a version keys are only added.
//!
//! Units: every key that ends in `seconds` is in seconds (decimals allowed), `clock` and `end` are seconds from the start of the class,
//! `load_units` are load units of springs, `score` and `bound` are in the units of the problem file (hundredths of a second where the weights
//! decide). Places count from 1, steps from 0 as in the problem file.

pub mod check;
pub mod class;
pub mod eased;
pub mod explained;
pub mod list;
pub mod orders;
pub mod own_files;
pub mod own_order;
pub mod plan;
pub mod rest;
pub mod rules;
pub mod solved;
pub mod tried;
pub mod varied;

use serde::Serialize;

/// A report on lines of its own, indented.
pub fn indented(report: &impl Serialize) -> String {
    let text = serde_json::to_string_pretty(report);
    text.expect("reports are texts, numbers and lists of them, under keys that are texts") + "\n"
}

/// A report on one line.
pub fn line(report: &impl Serialize) -> String {
    let text = serde_json::to_string(report);
    text.expect("reports are texts, numbers and lists of them, under keys that are texts") + "\n"
}

/// Hundredths to seconds.
fn seconds(hundredths: i64) -> f64 {
    hundredths as f64 / 100.0
}
