//! The load model of a region over time (three compartments), its parameters and their source.
