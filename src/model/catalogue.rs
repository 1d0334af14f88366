//! Movements by id.

use std::sync::Arc;

use super::movement::Movement;

/// All movements that are known, in the order read; ids are unique.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Catalogue {
    /// The movements, shared by every class that is read against them.
    pub movements: Vec<Arc<Movement>>,
}

impl Catalogue {
    /// All of them.
    pub fn iter(&self) -> impl Iterator<Item = &Movement> {
        self.movements.iter().map(|m| &**m)
    }

    /// The movement with this id.
    pub fn get(&self, id: &str) -> Option<&Movement> {
        self.iter().find(|m| m.id == id)
    }
}
