//! Movements by id.

use super::movement::Movement;

/// All movements that are known, in the order read; ids are unique.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Catalogue {
    /// The movements.
    pub movements: Vec<Movement>,
}

impl Catalogue {
    /// The movement with this id.
    pub fn get(&self, id: &str) -> Option<&Movement> {
        self.movements.iter().find(|m| m.id == id)
    }
}
