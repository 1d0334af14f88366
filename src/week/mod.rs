//! Another class from the same list: how alike two orders are ([`difference`]), which orders there are ([`every`], [`walk`]), and which of
//! them to teach in one week ([`spread`], [`vary`]).

pub mod difference;
pub mod every;
pub mod spread;
pub mod vary;
pub mod walk;
