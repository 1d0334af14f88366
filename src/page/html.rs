//! The run sheet as one page for browser and printer: no script, nothing from outside, all text escaped.
//!
//! The look: a narrow column for the clock, a wide one for what is done, one for the springs, so that the eye can run down any of them. What
//! is said between two rows stands in a line of its own above the row it leads to and never leaves it at the end of a page. A stop is a
//! boxed word and a thick rule; nothing is said by colour.

use askama::Template;

use super::format::{Density, file_title};
use super::picture::{self, Picture};
use crate::harmless::line;
use crate::report::section::Line;
use crate::report::sheet::{HALT, SPRINGS_KEY, Sheet, Transition};
use crate::report::timeline::Timeline;
use crate::report::words::harmless;

/// One page with one class or more; more than one get a list of contents.
#[derive(Template)]
#[template(path = "sheet.html", config = "src/page/askama.toml")]
struct Page<'a> {
    title: String,
    sheets: Vec<(usize, &'a Sheet, Vec<Picture>)>,
    /// A name for the style sheet: at a glance it is set closer.
    density: &'static str,
}

impl Page<'_> {
    /// What stands before a line that is to be looked at, so that it needs no colour.
    fn mark(&self, line: &Line) -> &'static str {
        line.tone.mark()
    }

    fn several(&self) -> bool {
        self.sheets.len() > 1
    }

    /// Whether there is anything to draw of a transition.
    fn drawn(&self, transition: &Transition) -> bool {
        transition.stop || !transition.cues.is_empty() || !transition.time.is_empty()
    }
}

/// How tall a part of a picture is at most, so that it fits on a page of A4 or Letter.
const TALLEST: f64 = 740.0;

/// One page with these classes, each as it is to be drawn in this density, with the picture of each for which there is one.
///
/// # Errors
/// What kept the template from being filled in.
pub fn page(
    title: &str,
    sheets: &[Sheet],
    timelines: &[Option<Timeline>],
    density: Density,
) -> Result<String, askama::Error> {
    let sheets: &[Sheet] = &sheets.iter().map(harmless).collect::<Vec<_>>();
    let title = match sheets {
        [one] => file_title(one.date, &one.title),
        _ => line(title),
    };
    let mut number = 0;
    let mut drawn = |strip: &Timeline| -> Vec<Picture> {
        let mut parts = picture::parts(strip, picture::WIDTH, TALLEST);
        for part in &mut parts {
            number += 1;
            part.number = number;
        }
        parts
    };
    let timelines = timelines.iter().map(Option::as_ref);
    let timelines = timelines.chain(std::iter::repeat(None));
    Page {
        title,
        sheets: (sheets.iter().zip(timelines).enumerate())
            .map(|(i, (sheet, strip))| (i + 1, sheet, strip.map_or_else(Vec::new, &mut drawn)))
            .collect(),
        density: match density {
            Density::Full => "full",
            Density::Glance => "glance",
        },
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
        let drawn = page("The week", &sheets, &[], Density::Full).expect("it is drawn");
        assert!(drawn.contains("<h1>The week</h1>"), "{drawn}");
        assert_eq!(drawn.matches("<h1").count(), 1);
        for n in 1..=2 {
            assert!(drawn.contains(&format!("href=\"#class-{n}\"")), "{n}");
            assert!(drawn.contains(&format!("<article id=\"class-{n}\"")), "{n}");
        }
        assert!(!drawn.contains("<Friday>"), "{drawn}");
        let alone = page("The week", &sheets[..1], &[], Density::Full).expect("it is drawn");
        assert!(!alone.contains("<nav"), "{alone}");
        assert!(alone.contains("<title>Monday</title>"), "{alone}");
    }
}
