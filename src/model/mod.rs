//! The trade's nouns: plain data with invariants in the constructors. No files, no search.

pub mod act;
pub mod apparatus;
pub mod catalogue;
pub mod caution;
pub mod class;
pub mod condition;
pub mod date;
pub mod fatigue;
pub mod fitting;
pub mod movement;
pub mod placed;
pub mod posture;
pub mod region;
pub mod room;
pub mod springs;
pub mod stand_in;
