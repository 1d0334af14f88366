//! To be written: read::table.
