//! Other orders of the same list: how alike two are ([`difference`]), which there are ([`every`], [`diversify`]), which to teach in one week
//! ([`spread`], [`vary`]), also with movements swapped for others ([`swaps`]); how far the order as written can be kept ([`nearest`]) and which moves improve it most ([`moves`]); the rest of a class
//! that has begun and is late ([`late`]).

pub mod difference;
pub mod diversify;
pub mod every;
pub mod late;
pub mod moves;
pub mod nearest;
pub mod spread;
pub mod swaps;
pub mod vary;
