//! What is known of a class once it was read, planned, changed or asked about: data for whoever shows it, made by [`crate::session`].

pub mod class;
pub mod ending;
pub mod explained;
pub mod kept;
pub mod machines;
pub mod planned;
pub mod rest;
pub mod tried;
pub mod varied;
