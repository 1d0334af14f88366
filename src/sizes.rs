//! The largest inputs that are read. What is larger is no class: it is refused at once, with the figure that is kept and what is there, before
//! anything is done with it that takes longer than to read it. Below, reading takes time in proportion to the length.
//!
//! A class has some 60 steps and 5 kB; each figure is many times what one needs.

use crate::diagnostic::{Code, Diagnostic};
use crate::source::{Source, Span};

/// One of the limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Largest {
    /// So many are read.
    pub most: usize,
    /// What is counted: "lines".
    pub of: &'static str,
    /// What to do where there are more.
    pub mend: &'static str,
}

/// Bytes of a class, or of a file of one's own. The longest file that comes with segue, a machine, has 44 kB.
pub const TEXT_BYTES: Largest = Largest {
    most: 1_000_000,
    of: "bytes",
    mend: "split it into several files; a class takes a few thousand bytes",
};

/// Bytes of a problem file. The largest published sequential ordering problems (SOPLIB, from memory) have 700 nodes
/// and take 2 MB.
pub const PROBLEM_BYTES: Largest = Largest {
    most: 20_000_000,
    of: "bytes",
    mend: "give a smaller problem",
};

/// Letters of a name, of a line of a list, or of what is said of a person. The longest name that comes with segue has 40.
pub const NAME_LETTERS: Largest = Largest {
    most: 200,
    of: "letters",
    mend: "shorten it; one movement stands on a line",
};

/// Letters of any other text, such as how a movement is done. The longest that comes with segue has 279.
pub const TEXT_LETTERS: Largest = Largest {
    most: 2_000,
    of: "letters",
    mend: "shorten it",
};

/// Lines of the lists of a class, those of its blocks among them.
pub const LINES: Largest = Largest {
    most: 1_000,
    of: "lines with a movement",
    mend: "split it into several classes",
};

/// Steps of a class, each side and each round of a movement for itself. Every movement that comes with segue once, and some of one's own,
/// are fewer; so are those of ten hours.
pub const STEPS: Largest = Largest {
    most: 400,
    of: "steps",
    mend: "split it into several classes, or take rounds away; each side and each round of a movement is a step",
};

/// Blocks and series of a class. No more than steps.
pub const BLOCKS: Largest = Largest {
    most: STEPS.most,
    of: "blocks",
    mend: "split it into several classes, or leave out blocks that it does not name",
};

/// Movements of one's own in a brief. Nearly as many as come with segue; more belong into files of one's own.
pub const OWN_MOVEMENTS: Largest = Largest {
    most: 200,
    of: "movements of its own",
    mend: "move them to files of your own, where they are there for every class",
};

/// Rules of a brief that may be given many times (`before`, `pinned`, ...), all kinds together. One for each step.
pub const RULES: Largest = Largest {
    most: STEPS.most,
    of: "rules",
    mend: "take rules away; one rule may name a block instead of each movement",
};

/// Conditions of a brief. One for each person in the largest room.
pub const CONDITIONS: Largest = Largest {
    most: 200,
    of: "conditions",
    mend: "write each condition once, whoever has it",
};

/// Rows of a table out of a spreadsheet that are not empty. The lines of a class, and what may stand above the headings.
pub const ROWS: Largest = Largest {
    most: LINES.most + 100,
    of: "rows",
    mend: "split it into several tables, one for each class",
};

/// Cells of a row. There are some 20 headings; the others are the teacher's own.
pub const COLUMNS: Largest = Largest {
    most: 100,
    of: "columns",
    mend: "take columns away that are not needed",
};

/// Values of any list and keys of any table in TOML.
pub const VALUES: Largest = Largest {
    most: 1_000,
    of: "values",
    mend: "take some away",
};

/// Positions of a machine. Those that come with segue have up to 77.
pub const POSITIONS: Largest = Largest {
    most: 200,
    of: "positions",
    mend: "leave out positions that no movement takes",
};

/// Facets of a machine beside its springs. Those that come with segue have up to 4, and ways are reckoned for every set of them.
pub const FACETS: Largest = Largest {
    most: 8,
    of: "facets",
    mend: "leave out what is never changed during a class",
};

/// Choices of springs of a machine. Those that come with segue have up to 18; two of each of five kinds make 243.
pub const SPRING_SETS: Largest = Largest {
    most: 1_000,
    of: "choices of springs",
    mend: "put springs that are alike into one class",
};

/// What the rules of a class come to, step by step. A full class at noon has 140, one of 200 steps with the rules of the trade some 4,000.
pub const DEMANDS: Largest = Largest {
    most: 20_000,
    of: "single demands",
    mend: "take rules away, or let them name single movements instead of blocks",
};

/// Nodes or steps of a problem file. No more are searched.
pub const PROBLEM_STEPS: Largest = Largest {
    most: 1_000,
    of: "steps",
    mend: "give a smaller problem",
};

/// So many mistakes of one text are told; at the next, reading ends.
pub const MISTAKES: usize = 50;

/// So many mistakes and notes are drawn, of however many texts.
pub const DRAWN: usize = 100;

/// Letters of a message that are drawn.
pub const MESSAGE_LETTERS: usize = 1_000;

impl Largest {
    /// Whether these are more.
    pub fn is_less_than(&self, found: usize) -> bool {
        found > self.most
    }

    /// The refusal. `whose`: what has so many ("the class"); `span`: where the first stands that is too many.
    pub fn refused(&self, whose: &str, found: usize, span: Span) -> Diagnostic {
        self.refused_at(whose, &figure(found), span)
    }

    /// The same where they were not counted to the end.
    pub fn refused_uncounted(&self, whose: &str, span: Span) -> Diagnostic {
        self.refused_at(whose, &self.more(), span)
    }

    fn refused_at(&self, whose: &str, found: &str, span: Span) -> Diagnostic {
        Diagnostic::mistake(
            Code::TooLarge,
            span,
            self.sentence(whose, found),
            "beyond the limit",
            self.mend,
        )
    }

    fn more(&self) -> String {
        format!("more than {}", figure(self.most))
    }

    /// The refusal of a file. `found`: how many bytes it has, if that is known.
    pub fn refused_file(&self, name: &str, found: Option<u64>) -> Diagnostic {
        let found = match found {
            Some(found) => figure(usize::try_from(found).unwrap_or(usize::MAX)),
            None => self.more(),
        };
        Diagnostic::nowhere(Code::TooLarge, self.sentence(name, &found), self.mend)
    }

    /// The refusal of a text that is longer.
    pub fn refused_text(&self, source: &Source) -> Option<Diagnostic> {
        let found = source.text.len();
        self.is_less_than(found)
            .then(|| self.refused_file(&source.name, u64::try_from(found).ok()))
    }

    fn sentence(&self, whose: &str, found: &str) -> String {
        format!(
            "{whose} has {found} {}; at most {} are allowed",
            self.of,
            figure(self.most)
        )
    }
}

/// A figure as it is read: "1,000,000".
fn figure(n: usize) -> String {
    let digits = n.to_string();
    let mut written = String::new();
    for (k, digit) in digits.chars().enumerate() {
        if k > 0 && (digits.len() - k).is_multiple_of(3) {
            written.push(',');
        }
        written.push(digit);
    }
    written
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_refusal_names_what_is_there_the_limit_and_what_to_do() {
        let told = TEXT_BYTES.refused_file("noon.txt", Some(12_345_678));
        assert_eq!(
            told.message,
            "noon.txt has 12,345,678 bytes; at most 1,000,000 are allowed"
        );
        assert_eq!(told.mend, TEXT_BYTES.mend);
        let told = TEXT_BYTES.refused_file("standard input", None).message;
        assert!(told.starts_with("standard input has more than 1,000,000 bytes"));
    }

    #[test]
    fn figures_are_written_in_groups_of_three() {
        for (n, written) in [(0, "0"), (999, "999"), (1000, "1,000"), (12_345, "12,345")] {
            assert_eq!(figure(n), written);
        }
    }

    #[test]
    fn what_is_as_large_as_allowed_is_read() {
        let of = |n: usize| Source {
            name: String::new(),
            text: "x".repeat(n),
        };
        assert!(TEXT_BYTES.refused_text(&of(TEXT_BYTES.most)).is_none());
        assert!(TEXT_BYTES.refused_text(&of(TEXT_BYTES.most + 1)).is_some());
    }
}
