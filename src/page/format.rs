//! The forms that a run sheet can be written in, by the ending of the file.

use std::path::Path;

use crate::model::date::Date;

/// A form of a run sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileFormat {
    /// A page for browser and printer.
    Html,
    /// Plain text with marks.
    Markdown,
    /// A table, one row a step.
    Csv,
    /// Everything, for programs.
    Json,
    /// An entry for a calendar.
    Calendar,
    /// A picture.
    Picture,
    /// A document for paper and for mail.
    #[cfg(feature = "pdf")]
    Pdf,
}

/// How much a sheet says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Density {
    /// All that somebody needs who has never seen the class.
    Full,
    /// What the teacher who made it wants to see at a glance.
    Glance,
}

/// Endings and their forms, as they are listed to people.
const ENDINGS: &[(&str, FileFormat)] = &[
    ("html", FileFormat::Html),
    #[cfg(feature = "pdf")]
    ("pdf", FileFormat::Pdf),
    ("md", FileFormat::Markdown),
    ("csv", FileFormat::Csv),
    ("json", FileFormat::Json),
    ("ics", FileFormat::Calendar),
    ("svg", FileFormat::Picture),
];

impl FileFormat {
    /// The form that a file's ending asks for; `None` if there is no such form.
    pub fn of(file: &Path) -> Option<Self> {
        let ending = file.extension()?.to_str()?.to_lowercase();
        ENDINGS
            .iter()
            .find(|(known, _)| *known == ending)
            .map(|&(_, form)| form)
    }

    /// Whether it can hold several classes.
    pub fn holds_several(self) -> bool {
        match self {
            Self::Html | Self::Markdown | Self::Json => true,
            #[cfg(feature = "pdf")]
            Self::Pdf => true,
            Self::Csv | Self::Calendar | Self::Picture => false,
        }
    }

    /// The endings of such forms, for a sentence: ".html, .md or .csv".
    pub fn endings(such: impl Fn(Self) -> bool) -> String {
        let all = ENDINGS.iter().filter(|(_, form)| such(*form));
        let all: Vec<String> = all.map(|(ending, _)| format!(".{ending}")).collect();
        let (last, rest) = all.split_last().expect("there are endings");
        format!("{} or {last}", rest.join(", "))
    }
}

/// What a document of one class is called, as a file would be: the day first, so that a folder sorts by it.
pub fn file_title(date: Option<Date>, title: &str) -> String {
    match date {
        Some(date) => format!("{} {title}", date.day()),
        None => title.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ending_chooses_the_form_whatever_its_capitals() {
        assert_eq!(
            FileFormat::of(Path::new("a/b.HTML")),
            Some(FileFormat::Html)
        );
        assert_eq!(
            FileFormat::of(Path::new("b.tar.ics")),
            Some(FileFormat::Calendar)
        );
        assert_eq!(FileFormat::of(Path::new("html")), None);
        assert_eq!(FileFormat::of(Path::new("a.docx")), None);
    }
}
