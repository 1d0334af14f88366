//! A problem as JSON (format `segue_problem` 1).
