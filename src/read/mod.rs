//! Texts to model: gives what could be read and every mistake. Opens no file, prints nothing.

pub mod brief;
pub mod built_in;
pub mod catalogue;
mod enough;
pub mod index;
pub mod labels;
pub mod list;
pub mod machine;
mod measured;
pub mod names;
mod side_by_side;
mod slips;
pub mod spanned;
pub mod table;
