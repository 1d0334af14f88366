//! A solution as JSON (format `segue_solution` 1).
