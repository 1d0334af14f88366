//! The guide for teachers and for programs, in short chapters: shown by `segue guide`, read in the repository, and here.
//!
//! Its commands, samples, excerpts, tables of keys and links are tried by `tests/program/readme.rs`, `tests/program/guide.rs` and `tests/house/links.rs`, so that what it shows is what there is.

/// A chapter of the guide.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Chapter {
    /// What one types to read it, also the stem of its file.
    pub name: &'static str,
    /// Its title, as in the first line of its text.
    pub title: &'static str,
    /// Its text, in Markdown.
    pub text: &'static str,
}

/// From `name: title` the table of the chapters, and for each a module whose documentation is the chapter.
macro_rules! chapters {
    ($($name:ident: $title:literal),+ $(,)?) => {
        /// The chapters, in the order in which they are read: what one saves, a later one may use.
        pub const CHAPTERS: &[Chapter] = &[$(Chapter {
            name: stringify!($name),
            title: $title,
            text: include_str!(concat!(stringify!($name), ".md")),
        }),+];

        $(
            #[doc = include_str!(concat!(stringify!($name), ".md"))]
            pub mod $name {}
        )+
    };
}

chapters! {
    list: "Plain lists and tables",
    why: "Why this order, and what if",
    paper: "On paper",
    another: "Another class for Thursday",
    late: "Running late",
    brief: "The brief: everything you can say",
    rules: "Rules",
    conditions: "Conditions",
    own: "Your own movements, machines and blocks",
    commands: "All commands",
    json: "JSON",
    problems: "Problem files",
    care: "Care",
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_chapter_begins_with_its_title_and_a_sentence_of_what_it_is_for() {
        for chapter in CHAPTERS {
            let mut lines = chapter.text.lines();
            let title = lines.next().and_then(|line| line.strip_prefix("# "));
            assert_eq!(title, Some(chapter.title), "{}", chapter.name);
            assert_eq!(lines.next(), Some(""), "{}", chapter.name);
            let sentence: Vec<&str> = lines.take_while(|line| !line.is_empty()).collect();
            let sentence = sentence.join(" ");
            let one = sentence.ends_with('.') && !sentence.contains(". ");
            assert!(one, "{}: {sentence:?}", chapter.name);
        }
    }
}
