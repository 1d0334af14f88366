//! Why: what cannot be had, what the order saves, as data; the words in one place.
