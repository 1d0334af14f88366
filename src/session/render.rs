//! A document to bytes, in each file format.

use std::collections::BTreeSet;

use askama::Template as _;

use crate::answer::planned::Answer;
use crate::page::calendar;
use crate::page::format::{Density, FileFormat};
#[cfg(feature = "pdf")]
use crate::page::pdf;
use crate::page::{csv, html, markdown, picture};
use crate::report::detail::{Detail, at};
use crate::report::drawn::Drawn;
use crate::report::json::{indented, plan::Plan as Report};
use crate::report::sheet::{Sheet, sheet};
use crate::report::terminal;
use crate::report::timeline::{Timeline, timeline};

/// Columns of the run sheet in a calendar.
const COLUMNS: usize = 72;

/// What is written: a class, or what there is to say of several and then each of them.
pub struct Document<'a> {
    /// What it is called.
    pub title: &'a str,
    /// The run sheets.
    pub sheets: &'a [Sheet],
    /// The same for programs.
    pub json: &'a dyn Fn() -> Drawn,
    /// What the pictures of them say, one for each sheet that has an order.
    pub timelines: &'a dyn Fn() -> Vec<Option<Timeline>>,
}

/// A file before it is written.
#[derive(Debug, Clone, Default)]
pub struct Rendered {
    /// Its content.
    pub bytes: Vec<u8>,
    /// Letters missing from its font; a sign replaces them.
    pub lacking: BTreeSet<char>,
}

/// The run sheet of an answer in one form.
///
/// # Errors
/// As for [`render`]; without an order there is no picture.
pub fn render_answer(
    answer: &Answer,
    format: FileFormat,
    density: Density,
) -> Result<Rendered, String> {
    let drawn = |best| timeline(&answer.brief, &answer.compiled, best);
    let sheet = sheet(answer);
    let document = Document {
        title: &sheet.title,
        sheets: std::slice::from_ref(&sheet),
        json: &|| indented(&Report::new(answer, None)),
        timelines: &|| vec![answer.best.as_ref().map(drawn)],
    };
    render(&document, format, density)
}

/// A document in one form.
///
/// # Errors
/// Why there is none: it lacks what the form needs, a date for example.
pub fn render(
    document: &Document<'_>,
    format: FileFormat,
    density: Density,
) -> Result<Rendered, String> {
    let short: Vec<Sheet>;
    let sheets = match density {
        Density::Full => document.sheets,
        Density::Glance => {
            short = (document.sheets.iter())
                .map(|sheet| at(sheet, Detail::Glance))
                .collect();
            &short
        }
    };
    let sheet = sheets.first().ok_or("there is no run sheet")?;
    let bytes = match format {
        FileFormat::Html => {
            let timelines = match density {
                Density::Full => (document.timelines)(),
                Density::Glance => Vec::new(),
            };
            html::page(document.title, sheets, &timelines, density)
                .map_err(|e| e.to_string())?
                .into_bytes()
        }
        FileFormat::Markdown => {
            let texts = sheets.iter().map(markdown::text);
            texts.collect::<Vec<_>>().join("\n").into_bytes()
        }
        FileFormat::Csv => csv::table(sheet).map_err(|e| e.to_string())?,
        FileFormat::Json => (document.json)().ansi().as_bytes().to_vec(),
        FileFormat::Picture => {
            let timeline = (document.timelines)().into_iter().flatten().next();
            let timeline = timeline.ok_or("there is no order to draw")?;
            let drawn = picture::picture(&timeline).render();
            drawn.map_err(|e| e.to_string())?.into_bytes()
        }
        #[cfg(feature = "pdf")]
        FileFormat::Pdf => {
            let timelines = (document.timelines)();
            let timelines = timelines.iter().map(Option::as_ref);
            let classes: Vec<pdf::Class<'_>> = sheets
                .iter()
                .zip(timelines.chain(std::iter::repeat(None)))
                .collect();
            let sketch = pdf::sketch(document.title, &classes, density)?;
            return Ok(Rendered {
                bytes: pdf::file(&sketch)?,
                lacking: pdf::lacking(&sketch)?.into_iter().collect(),
            });
        }
        FileFormat::Calendar => {
            let when = sheet.date.ok_or("the class has no date")?;
            let read = at(sheet, Detail::Cues);
            calendar::entry(sheet, when, &terminal::sheet(&read, COLUMNS)).into_bytes()
        }
    };
    Ok(Rendered {
        bytes,
        lacking: BTreeSet::new(),
    })
}
