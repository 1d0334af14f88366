//! A brief in TOML to a [`Brief`].

use std::sync::Arc;

use crate::brief::Brief;
use crate::diagnostic::Read;
use crate::model::apparatus::Apparatus;
use crate::model::catalogue::Catalogue;
use crate::source::Source;

/// What a brief is read against.
#[derive(Debug, Clone)]
pub struct Known {
    /// The movements.
    pub catalogue: Catalogue,
    /// The machines, by id; the first is the default.
    pub apparatus: Vec<Apparatus>,
    /// Files of the user's own with blocks and series kept by name.
    pub kept_blocks: Vec<Arc<Source>>,
}

/// Reads a brief in TOML. `apparatus`: plan on this machine, whatever the brief says.
pub fn brief(_source: &Arc<Source>, _known: &Known, _apparatus: Option<&str>) -> Read<Brief> {
    Read {
        value: None,
        diagnostics: Vec::new(),
    }
}
