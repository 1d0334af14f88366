//! What a sheet says, as data ([`sheet`], [`audit`]), and how it looks ([`terminal`], [`json`]).

pub mod asked;
pub mod audit;
pub mod beside;
pub mod card;
pub mod compared;
pub mod eased;
pub mod eased_json;
pub mod explained;
pub mod explained_json;
pub mod fared;
pub mod json;
pub mod mistakes;
pub mod opening;
pub mod own_order;
pub mod own_order_json;
pub mod rest;
pub mod rest_json;
pub mod section;
pub mod sheet;
pub mod solved;
pub mod strip;
pub mod terminal;
pub mod tried;
pub mod tried_json;
pub mod varied;
pub mod varied_json;
