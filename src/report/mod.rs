//! What a sheet says, as data ([`sheet`], [`audit`]), and how it looks ([`terminal`], [`json`]).

pub mod asked;
pub mod audit;
pub mod beside;
pub mod card;
pub mod compared;
pub mod eased;
pub mod explained;
pub mod fared;
pub mod glance;
pub mod json;
pub mod mistakes;
pub mod opening;
pub mod own_files;
pub mod own_order;
pub mod rest;
pub mod section;
pub mod sheet;
pub mod solved;
pub mod terminal;
pub mod timeline;
pub mod tried;
pub mod varied;
