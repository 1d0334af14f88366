//! What holds the house together: which file may import which, what of it strangers may use, that every rule is in the list of the rules, and
//! that the texts lead to one another.

mod facade;
mod layers;
mod links;
mod package;
mod rules;
