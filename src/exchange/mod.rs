//! Problem and solution as text for other programs.

pub mod problem_file;
pub mod solution_file;
pub mod tsplib;
