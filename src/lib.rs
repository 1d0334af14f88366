//! segue turns a loose list of movements into a class that flows.
//!
//! The words of the trade go in at the top ([`read`], [`brief`], [`rules`]), are compiled to one small table of integers
//! ([`compile`], [`problem`]), are solved there ([`search`]) and come back out as words ([`lesson`], [`explain`], [`report`], [`page`]).
//! Every arrow points down, and every answer is scored again by code that does not share the solver's ([`score`]).
//! How to use the program stands in its [`guide`].

pub mod diagnostic;
pub mod sizes;
pub mod source;

pub mod exchange;
pub mod mip;
pub mod problem;
pub mod score;
pub mod search;

pub mod brief;
pub mod compile;
pub mod model;
pub mod read;
pub mod rules;
pub mod spotter;

pub mod answer;
pub mod explain;
pub mod lesson;
pub mod orders;
pub mod page;
pub mod report;
pub mod session;

pub mod guide;

pub mod cli;
