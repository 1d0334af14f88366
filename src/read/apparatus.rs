//! An apparatus file to a machine.

use std::sync::Arc;

use crate::diagnostic::Read;
use crate::model::apparatus::Apparatus;
use crate::source::Source;

/// Reads an apparatus file.
pub fn apparatus(_source: &Arc<Source>) -> Read<Apparatus> {
    Read {
        value: None,
        diagnostics: Vec::new(),
    }
}
