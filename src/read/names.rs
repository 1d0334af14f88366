//! To be written: read::names.
