//! A brief in TOML to a [`Brief`].

use std::sync::Arc;

use crate::brief::Brief;
use crate::diagnostic::{Code, Diagnostic, Read};
use crate::model::apparatus::Apparatus;
use crate::model::catalogue::Catalogue;
use crate::source::{Source, Span};

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

/// Says that a brief in TOML cannot be read yet, and what can be instead.
pub fn brief(source: &Arc<Source>, _known: &Known, _apparatus: Option<&str>) -> Read<Brief> {
    let mistake = Diagnostic::mistake(
        Code::Unreadable,
        Span::new(source, 0..source.text.len().min(1)),
        "briefs in TOML are not read yet",
        "a brief begins here",
        "write a plain list: one movement a line, in a file that ends in .txt",
    );
    Read {
        value: None,
        diagnostics: vec![mistake],
    }
}
