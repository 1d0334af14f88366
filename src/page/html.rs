//! The run sheet as one page for browser and printer: no script, nothing from outside, all text escaped.
//!
//! The look: a narrow column for the clock, a wide one for what is done, one for the springs, so that the eye can run down any of them. What
//! is said between two rows stands in a line of its own above the row it leads to and never leaves it at the end of a page. A stop is a
//! boxed word and a thick rule; nothing is said by colour.

use askama::Template;

use super::form::{Density, file_title};
use crate::report::section::{Line, Section, Tone};
use crate::report::sheet::{PUT_BACK, Sheet, SheetRow, Transition};

/// One page with one class or more; more than one get a list of contents.
#[derive(Template)]
#[template(path = "sheet.html", config = "src/page/askama.toml")]
struct Page<'a> {
    title: String,
    sheets: Vec<(usize, &'a Sheet)>,
    full: bool,
}

impl Page<'_> {
    /// What stands before a line that is to be looked at, so that it needs no colour.
    fn mark(&self, line: &Line) -> &'static str {
        match line.tone {
            Tone::Plain | Tone::Good => "",
            Tone::Heed | Tone::Wrong => "! ",
        }
    }

    fn several(&self) -> bool {
        self.sheets.len() > 1
    }

    /// What is said at a transition in this density.
    fn said(&self, transition: &Transition) -> String {
        let cues = if self.full {
            &transition.cues
        } else {
            &transition.machine
        };
        cues.join("; ")
    }

    /// Whether there is anything to draw of a transition.
    fn drawn(&self, transition: &Transition) -> bool {
        transition.stop
            || !self.said(transition).is_empty()
            || (self.full && !transition.time.is_empty())
    }

    /// The lines of a section in this density: at a glance only what is to be looked at is left of the rules.
    fn after<'s>(&self, sheet: &'s Sheet) -> Vec<(&'s str, Vec<&'s Line>)> {
        let looked_at = |l: &&Line| self.full || matches!(l.tone, Tone::Heed | Tone::Wrong);
        let rules = (sheet.after.iter()).filter(|s| s.heading != PUT_BACK);
        rules
            .map(|s| {
                (
                    s.heading.as_str(),
                    s.lines.iter().filter(looked_at).collect(),
                )
            })
            .filter(|(_, lines): &(&str, Vec<&Line>)| !lines.is_empty())
            .collect()
    }

    fn put_back<'s>(&self, sheet: &'s Sheet) -> Option<&'s Section> {
        sheet.after.iter().find(|s| s.heading == PUT_BACK)
    }

    fn layers<'s>(&self, row: &'s SheetRow) -> &'s [String] {
        if self.full { &row.layers } else { &[] }
    }

    fn opening<'s>(&self, sheet: &'s Sheet) -> &'s [Line] {
        if self.full { &sheet.opening } else { &[] }
    }
}

/// One page with these classes.
///
/// # Errors
/// What kept the template from being filled in.
pub fn page(title: &str, sheets: &[Sheet], density: Density) -> Result<String, askama::Error> {
    let title = match sheets {
        [one] => file_title(one.date.as_deref(), &one.title),
        _ => title.to_owned(),
    };
    Page {
        title,
        sheets: sheets.iter().enumerate().map(|(i, s)| (i + 1, s)).collect(),
        full: density == Density::Full,
    }
    .render()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn several_classes_share_a_page_with_contents_and_one_class_has_none() {
        let class = |title: &str| Sheet {
            title: title.into(),
            ..Sheet::default()
        };
        let sheets = [class("Monday"), class("Thursday & <Friday>")];
        let drawn = page("The week", &sheets, Density::Full).expect("it is drawn");
        assert!(drawn.contains("<h1>The week</h1>"), "{drawn}");
        assert_eq!(drawn.matches("<h1").count(), 1);
        for n in 1..=2 {
            assert!(drawn.contains(&format!("href=\"#class-{n}\"")), "{n}");
            assert!(drawn.contains(&format!("<article id=\"class-{n}\"")), "{n}");
        }
        assert!(!drawn.contains("<Friday>"), "{drawn}");
        let alone = page("The week", &sheets[..1], Density::Full).expect("it is drawn");
        assert!(!alone.contains("<nav"), "{alone}");
        assert!(alone.contains("<title>Monday</title>"), "{alone}");
    }
}
