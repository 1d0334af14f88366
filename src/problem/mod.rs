//! The waist: a sequence problem as integers. No names to look up, no files, no search.
//!
//! All times and costs are hundredths of a second (`i64`); the form as text is in `exchange::problem_file`.

pub mod check;
pub mod definition;
pub mod demand;
pub mod facet;
pub mod figures;
pub mod posture;
pub mod step;
pub mod timeline;
pub mod without;

pub use definition::{End, Problem};
