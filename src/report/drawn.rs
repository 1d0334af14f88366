//! Text on its way to standard output. It holds our own styles and nothing else that steers a terminal ([`crate::harmless`]), whatever door it came in by.

use crate::harmless;

/// Text that may be printed as it stands.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Drawn(String);

impl Drawn {
    /// What was drawn with our styles, of words that are harmless.
    pub(super) fn styled(text: String) -> Self {
        Self(text)
    }

    /// One line of any text, with its end.
    pub fn line(text: &str) -> Self {
        Self(harmless::line(text) + "\n")
    }

    /// Lines of any text.
    pub fn text(text: &str) -> Self {
        Self(harmless::text(text))
    }

    /// JSON, which means the same as before.
    pub fn json(json: &str) -> Self {
        Self(harmless::json(json))
    }

    /// Several one after the other with so many line feeds between two.
    pub fn joined(all: &[Self], feeds: usize) -> Self {
        let all: Vec<&str> = all.iter().map(|one| one.0.as_str()).collect();
        Self(all.join(&"\n".repeat(feeds)))
    }

    /// The same without empty lines before it and blanks after it, ending in one line feed.
    #[must_use]
    pub fn alone(&self) -> Self {
        Self(format!("{}\n", self.0.trim_start_matches('\n').trim_end()))
    }

    /// Adds another below it.
    pub fn push(&mut self, other: Self) {
        self.0.push_str(&other.0);
    }

    /// With ANSI styles.
    pub fn ansi(&self) -> &str {
        &self.0
    }

    /// Without styles.
    pub fn plain(&self) -> String {
        anstream::adapter::strip_str(&self.0).to_string()
    }
}

impl FromIterator<Drawn> for Drawn {
    fn from_iter<I: IntoIterator<Item = Drawn>>(all: I) -> Self {
        Self(all.into_iter().map(|one| one.0).collect())
    }
}
