//! A class as it was written, and as it was read.

use std::sync::Arc;

use crate::brief::Brief;
use crate::compile::Compiled;
use crate::diagnostic::Diagnostic;
use crate::source::Source;

/// How a class is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClassFormat {
    /// A brief in TOML.
    Brief,
    /// A plain list, one movement a line.
    List,
    /// A table out of a spreadsheet, one movement a row.
    Table,
}

/// A class as it was written.
#[derive(Debug, Clone)]
pub struct Text {
    /// What the teacher wrote.
    pub source: Arc<Source>,
    /// How it is written.
    pub format: ClassFormat,
    /// What was noticed before it was read, such as the encoding that it is in.
    pub noticed: Vec<Diagnostic>,
}

impl Text {
    /// A text of this name, with nothing noticed.
    pub fn new(name: &str, text: &str, format: ClassFormat) -> Self {
        Self {
            source: Arc::new(Source {
                name: name.to_owned(),
                text: text.to_owned(),
            }),
            format,
            noticed: Vec::new(),
        }
    }
}

/// A class that was read and compiled.
#[derive(Debug, Clone)]
pub struct Class {
    /// What the teacher wrote.
    pub brief: Arc<Brief>,
    /// What there is to solve.
    pub compiled: Arc<Compiled>,
    /// What the reader noticed and went on with.
    pub notes: Vec<Diagnostic>,
}
