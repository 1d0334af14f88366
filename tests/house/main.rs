//! What holds the house together: which file may import which, that every rule is in the list of the rules, and that the texts lead to one another.

mod layers;
mod links;
mod rules;
