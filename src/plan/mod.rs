//! The answer in the trade's words: steps, set-ups, clock, change-overs, how each rule fared.

pub mod acts;
pub mod breach;
pub mod care;
pub mod changeover;
pub mod conditions;
pub mod fate;
pub mod lesson;
pub mod offer;
#[cfg(test)]
pub mod sample;
pub mod set;
pub mod way;
pub mod wording;
