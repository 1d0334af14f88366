//! A document to bytes, in each form that a file can have.

use std::collections::BTreeSet;

use askama::Template as _;

use crate::page::calendar;
use crate::page::format::{Density, FileFormat};
#[cfg(feature = "pdf")]
use crate::page::pdf;
use crate::page::{csv, html, markdown, picture};
use crate::report::glance::glance;
use crate::report::sheet::Sheet;
use crate::report::terminal;
use crate::report::timeline::Timeline;

/// Columns of the run sheet in a calendar.
const COLUMNS: usize = 72;

/// What is written: a class, or what there is to say of several and then each of them.
pub struct Document<'a> {
    /// What it is called.
    pub title: &'a str,
    /// The run sheets.
    pub sheets: &'a [Sheet],
    /// The same for programs.
    pub json: &'a dyn Fn() -> String,
    /// What the pictures of them say, one for each sheet that has an order.
    pub timelines: &'a dyn Fn() -> Vec<Option<Timeline>>,
}

/// A file before it is written.
#[derive(Debug, Clone, Default)]
pub struct Rendered {
    /// What stands in it.
    pub bytes: Vec<u8>,
    /// Letters that its face lacks; a sign stands in their place.
    pub lacking: BTreeSet<char>,
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
            short = document.sheets.iter().map(glance).collect();
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
        FileFormat::Json => (document.json)().into_bytes(),
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
            let look = terminal::Look {
                columns: COLUMNS,
                teaching: density == Density::Full,
            };
            let drawn = terminal::sheet(sheet, look);
            let plain = anstream::adapter::strip_str(&drawn).to_string();
            calendar::entry(sheet, when, plain.trim_end()).into_bytes()
        }
    };
    Ok(Rendered {
        bytes,
        lacking: BTreeSet::new(),
    })
}
