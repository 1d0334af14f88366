//! What there is to choose from: movements, machines, blocks kept by name.

use std::sync::Arc;

use crate::model::apparatus::Apparatus;
use crate::read::brief::Known;
use crate::read::built_in::models;

/// Movements, machines and kept blocks, read once; clones share them.
#[derive(Debug, Clone)]
pub struct Studio {
    /// What is known.
    pub known: Arc<Known>,
}

impl Studio {
    /// A studio of what is known.
    pub fn new(known: Known) -> Self {
        Self {
            known: Arc::new(known),
        }
    }

    /// A studio of what comes with segue.
    pub fn built_in() -> Self {
        let models = models(&[]);
        Self::new(Known {
            catalogue: models.catalogue,
            apparatus: models.apparatus,
            kept_blocks: Vec::new(),
        })
    }

    /// The same with one machine more, which replaces one with the same id.
    pub fn with_machine(&self, machine: Apparatus) -> Self {
        let mut known = Known::clone(&self.known);
        known.apparatus.retain(|m| m.id != machine.id);
        known.apparatus.push(machine);
        Self::new(known)
    }
}
