//! What a sheet says, as data, and how it looks.
pub mod mistakes;
