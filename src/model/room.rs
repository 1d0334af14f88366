//! The slowest of N people: expected maximum of N standard normals.
