//! One mistake in what was read: what is wrong, where, and how to mend it. Drawn by `report::mistakes`.

use crate::source::Span;

/// How much a diagnostic weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Nothing is computed until it is mended.
    Mistake,
    /// Worth knowing; the work goes on.
    Note,
}

/// What kind of mistake it is. Each has a fixture under `tests/golden/mistakes`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum Code {
    /// The file is not text (UTF-8).
    NotText,
    /// The file is not well-formed TOML or JSON.
    Syntax,
    /// A key that means nothing here.
    UnknownKey,
    /// A key that must be there is not.
    MissingKey,
    /// A value of the wrong type.
    WrongType,
    /// A number or word outside of what is allowed.
    OutOfRange,
    /// A movement that the catalogue does not have.
    UnknownMovement,
    /// Another name (posture, facet, value, region, block, condition...) that does not exist.
    UnknownName,
    /// A name given twice.
    Duplicate,
    /// A rule that names a movement which is not on the list.
    NotOnList,
    /// A circle among orders that must hold, or among preparations, or `like`.
    Circle,
    /// No set of springs (or value of another facet) of this apparatus serves the movement.
    NoSetup,
    /// The two sides cannot be equal.
    UnequalSides,
    /// There is nothing on the list.
    EmptyList,
    /// A file cannot be read or found.
    Unreadable,
    /// More of something than any class has: see [`crate::sizes`].
    TooLarge,
    /// More mistakes than are told: from here on nothing was read.
    TooMany,
    /// Something that the reader noticed and went on with.
    Assumed,
}

/// A place with a few words on it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// A few words to stand under the caret.
    pub text: String,
}

/// One mistake or note.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// Mistake or note.
    pub severity: Severity,
    /// The kind.
    pub code: Code,
    /// One sentence of what is wrong, without a full stop.
    pub message: String,
    /// The place first, then others that it clashes with. May be empty (a file that cannot be opened).
    pub labels: Vec<Label>,
    /// How to mend it, one sentence; empty if the message says it.
    pub mend: String,
}

impl Diagnostic {
    /// A mistake without a place in a text, such as a file that cannot be opened.
    pub fn nowhere(code: Code, message: impl Into<String>, mend: impl Into<String>) -> Self {
        Self {
            severity: Severity::Mistake,
            code,
            message: message.into(),
            labels: Vec::new(),
            mend: mend.into(),
        }
    }

    /// A mistake at one place.
    pub fn mistake(
        code: Code,
        span: Span,
        message: impl Into<String>,
        label: impl Into<String>,
        mend: impl Into<String>,
    ) -> Self {
        Self {
            severity: Severity::Mistake,
            code,
            message: message.into(),
            labels: vec![Label {
                span,
                text: label.into(),
            }],
            mend: mend.into(),
        }
    }

    /// A note at one place.
    pub fn note(
        code: Code,
        span: Span,
        message: impl Into<String>,
        label: impl Into<String>,
    ) -> Self {
        Self {
            severity: Severity::Note,
            ..Self::mistake(code, span, message, label, "")
        }
    }

    /// The same with another place that it clashes with.
    #[must_use]
    pub fn and(mut self, span: Span, label: impl Into<String>) -> Self {
        self.labels.push(Label {
            span,
            text: label.into(),
        });
        self
    }

    /// Whether it stops the work.
    pub fn is_mistake(&self) -> bool {
        self.severity == Severity::Mistake
    }
}

/// A value as far as it could be read, with everything that was noticed on the way, sorted by place.
#[derive(Debug, Clone, PartialEq)]
pub struct Read<T> {
    /// What could be read; `None` only if there is nothing to hold.
    pub value: Option<T>,
    /// Mistakes and notes.
    pub diagnostics: Vec<Diagnostic>,
}
