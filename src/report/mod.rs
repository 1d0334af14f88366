//! What a sheet says, as data ([`sheet`], [`audit`]), and how it looks ([`terminal`], [`json`]).

pub mod audit;
pub mod card;
pub mod compared;
pub mod json;
pub mod mistakes;
pub mod sheet;
pub mod solved;
pub mod terminal;
