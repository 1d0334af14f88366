//! What works on the program as a stranger runs it, each time as a process of its own: what it prints, writes and refuses, and how it ends.

mod cli;
mod door;
mod explained;
mod golden;
mod guide;
mod harmless;
mod own;
mod paper;
mod pdf;
mod readme;
mod schemas;
mod spreadsheet;
mod week;
