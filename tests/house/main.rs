//! What holds the house together: which file may import which, and that the texts lead to one another.

mod layers;
mod links;
