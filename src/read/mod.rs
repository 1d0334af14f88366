//! Texts to model: gives what could be read and every mistake. Opens no file, prints nothing.

pub mod apparatus;
pub mod brief;
pub mod brief_list;
mod brief_need;
mod brief_orders;
mod brief_own;
mod brief_rules;
pub mod built_in;
pub mod catalogue;
mod cells;
mod circle;
mod instead;
pub mod labels;
mod line;
mod line_limits;
mod movement;
mod movement_fields;
pub mod names;
mod not_a_movement;
pub mod quick_list;
mod side_by_side;
pub mod spreadsheet;
mod springs;
pub mod table;
pub mod what_if;
