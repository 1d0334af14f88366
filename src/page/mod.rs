//! The run sheet as files: each renderer draws what [`crate::report::sheet`] has decided, and decides nothing itself.

pub mod calendar;
pub mod csv;
pub mod format;
pub mod html;
pub mod letters;
pub mod markdown;
#[cfg(feature = "pdf")]
pub mod pdf;
pub mod picture;
