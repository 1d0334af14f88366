//! A plain list (one movement a line) to a [`Brief`].

use std::sync::Arc;

use super::brief::Known;
use crate::brief::Brief;
use crate::diagnostic::Read;
use crate::source::Source;

/// Reads a plain list.
pub fn quick_list(_source: &Arc<Source>, _known: &Known, _apparatus: Option<&str>) -> Read<Brief> {
    Read {
        value: None,
        diagnostics: Vec::new(),
    }
}
