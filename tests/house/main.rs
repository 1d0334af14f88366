//! What holds the house together: which file may import which, what of it strangers may use, and that the texts lead to one another.

mod facade;
mod layers;
mod links;
mod package;
