//! Problem and solution as text for other programs.

pub mod problem_file;
mod read_demand;
mod read_problem;
pub mod solution_file;
pub mod tsplib;
pub mod version;
mod walk;
