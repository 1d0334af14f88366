//! Lines and sections: what every sheet, card and summary is made of.

/// How a line is meant; a renderer may colour it, but the words alone say all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// As it is.
    Plain,
    /// Good news.
    Good,
    /// Something to look at.
    Heed,
    /// Something that must hold and does not.
    Wrong,
}

impl Tone {
    /// What precedes a line that needs attention, where there is no colour.
    pub fn mark(self) -> &'static str {
        match self {
            Self::Plain | Self::Good => "",
            Self::Heed | Self::Wrong => "! ",
        }
    }
}

/// One line of text, of whatever length.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// How it is meant.
    pub tone: Tone,
    /// The words.
    pub text: String,
    /// Lines that belong under it.
    pub under: Vec<String>,
    /// Whether it is a row of a table, to be drawn letter by letter where it is not too wide.
    pub laid_out: bool,
}

impl Line {
    /// A line without a tone.
    pub fn plain(text: impl Into<String>) -> Self {
        Self::toned(Tone::Plain, text)
    }

    /// A line with a tone.
    pub fn toned(tone: Tone, text: impl Into<String>) -> Self {
        Self {
            tone,
            text: text.into(),
            under: Vec::new(),
            laid_out: false,
        }
    }

    /// A row of a table, its columns made with spaces.
    pub fn laid_out(text: impl Into<String>) -> Self {
        Self {
            laid_out: true,
            ..Self::plain(text)
        }
    }
}

/// A heading with its lines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// The heading.
    pub heading: String,
    /// Its lines; never empty.
    pub lines: Vec<Line>,
}

/// Adds a section unless it would be empty.
pub fn push(sections: &mut Vec<Section>, heading: &str, lines: Vec<Line>) {
    if !lines.is_empty() {
        sections.push(Section {
            heading: heading.into(),
            lines,
        });
    }
}
