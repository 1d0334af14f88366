//! The run sheet as files: each renderer draws what [`crate::report::sheet`] has decided, and decides nothing itself.

pub mod calendar;
pub mod csv;
pub mod form;
pub mod html;
pub mod letters;
pub mod markdown;
pub mod picture;
