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

    /// The first place in it where a text stands in quotation marks, else where it stands as a word of its own.
    pub fn place_of(&self, text: &str) -> Option<Span> {
        let at = |k: usize, length: usize| {
            let from = self.bytes.start + k;
            Span::new(&self.source, from..from + length)
        };
        let whole = self.text();
        if let Some(k) = whole.find(&format!("\"{text}\"")) {
            return Some(at(k, text.len() + 2));
        }
        let outside =
            |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric() && c != '_' && c != '-');
        let alone = |k: &usize| {
            outside(whole[..*k].chars().next_back())
                && outside(whole[k + text.len()..].chars().next())
        };
        let found = whole.match_indices(text).map(|(k, _)| k).find(alone)?;
        (!text.is_empty()).then(|| at(found, text.len()))
    }

    /// The text that the span covers.
    pub fn text(&self) -> &str {
        self.source.text.get(self.bytes.clone()).unwrap_or("")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_found_in_quotation_marks_first_and_then_as_a_word() {
        let source = Arc::new(Source {
            name: "a".into(),
            text: "high = 1, bar = \"high\", barre = 2, x-bar = 3, é = 4".into(),
        });
        let whole = Span::new(&source, 0..source.text.len());
        let found = |text: &str| whole.place_of(text).map(|s| s.bytes.start);
        assert_eq!(found("high"), Some(16));
        assert_eq!(found("bar"), Some(10));
        assert_eq!(found("é"), source.text.find('é'));
        assert_eq!(found("low"), None);
        assert_eq!(found(""), None);
    }
}
