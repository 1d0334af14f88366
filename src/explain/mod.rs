//! Why: what the order saves, how sure it is, what could not be had and what would meet it, as data; the words in one place.

pub mod allowance;
pub mod conflict;
pub mod difference;
pub mod easing;
pub mod edit;
pub mod elsewhere;
pub mod explanation;
pub mod figure;
pub mod machines;
pub mod possible;
pub mod price;
pub mod relaxation;
pub mod savings;
pub mod tight;
pub mod transition;
pub mod unmet;
pub mod verdict;
pub mod waste;
pub mod words;
