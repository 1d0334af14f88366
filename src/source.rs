//! Texts that were read, and places in them. Opens no file.

use std::ops::Range;
use std::sync::Arc;

/// A text with the name under which it is shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// The file's path as the user gave it, or `standard input`, or `built in: ...`.
    pub name: String,
    /// The whole text, UTF-8.
    pub text: String,
}

/// A stretch of a source, in bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Span {
    /// The text that the bytes count in.
    pub source: Arc<Source>,
    /// From (inclusive) to (exclusive), in bytes of `source.text`.
    pub bytes: Range<usize>,
}

impl Span {
    /// A span of `bytes` in `source`.
    pub fn new(source: &Arc<Source>, bytes: Range<usize>) -> Self {
        Self {
            source: Arc::clone(source),
            bytes,
        }
    }

    /// The line of the first byte, counted from 1.
    pub fn line(&self) -> usize {
        let end = self.bytes.start.min(self.source.text.len());
        self.source.text.as_bytes()[..end]
            .iter()
            .filter(|&&b| b == b'\n')
            .count()
            + 1
    }

    /// The text that the span covers.
    pub fn text(&self) -> &str {
        self.source.text.get(self.bytes.clone()).unwrap_or("")
    }
}
