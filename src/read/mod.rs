//! Texts to model: gives what could be read and every mistake. Opens no file, prints nothing.

pub mod apparatus;
pub mod brief;
pub mod built_in;
pub mod catalogue;
pub mod names;
pub mod quick_list;
pub mod table;
