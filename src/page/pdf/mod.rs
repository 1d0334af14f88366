//! The run sheet as PDF, made by the program itself: A4, one embedded open face, tagged for those who listen to it.
//!
//! It is drawn in two steps. `sheet`, `contents` and `drawn` set what the run sheet says as a [`sketch::Sketch`]: marks on pages and the tree of what they mean, all
//! figures. `write` puts that into the file. Widths come from the face itself ([`face`]); what a sheet says has been decided before
//! ([`crate::report::sheet`]).

mod contents;
mod drawn;
pub mod face;
mod setting;
mod sheet;
pub mod sketch;
mod write;

use super::format::{Density, file_title};
use crate::harmless::line;
use crate::report::sheet::Sheet;
use crate::report::timeline::Timeline;
use crate::report::words::harmless;
use face::Faces;
use setting::Setter;
use sketch::Sketch;

/// A class for paper: its sheet, and its picture if there is one.
pub type Class<'a> = (&'a Sheet, Option<&'a Timeline>);

/// Classes as a document; more than one get a list of contents.
///
/// # Errors
/// If the embedded faces cannot be read.
pub fn sketch(title: &str, classes: &[Class<'_>], density: Density) -> Result<Sketch, String> {
    let faces = Faces::new()?;
    let title = line(title);
    let sheets: Vec<Sheet> = classes.iter().map(|(sheet, _)| harmless(*sheet)).collect();
    // A picture sees to its own words.
    let strips = classes.iter().map(|(_, strip)| *strip);
    let classes: Vec<Class<'_>> = sheets.iter().zip(strips).collect();
    Ok(set(&faces, &title, &classes, density))
}

/// A sketch as a file.
///
/// # Errors
/// If the embedded faces cannot be read, or the document would not be what PDF/UA-1 asks for.
pub fn file(sketch: &Sketch) -> Result<Vec<u8>, String> {
    write::write(sketch, &Faces::new()?)
}

fn set(faces: &Faces, title: &str, classes: &[Class<'_>], density: Density) -> Sketch {
    let titles: Vec<String> = (classes.iter())
        .map(|(sheet, _)| file_title(sheet.date, &sheet.title))
        .collect();
    let title = match &*titles {
        [one] => one,
        _ => title,
    };
    let mut setter = Setter::new(faces, title);
    let listed = (titles.len() > 1).then(|| contents::begin(&mut setter, title, &titles));
    let level = if listed.is_some() { 2 } else { 1 };
    let mut begun = Vec::new();
    for (sheet, strip) in classes {
        let (heading, article) = sheet::set(&mut setter, sheet, density, level);
        begun.push(heading);
        if let (Some(strip), Density::Full) = (strip, density) {
            drawn::set(&mut setter, strip, article, level + 1);
        }
    }
    if let Some(listed) = listed {
        contents::end(&mut setter, &listed, &begun);
    }
    contents::feet(&mut setter, title);
    setter.sketch
}

/// The letters of the classes that the face cannot draw, each once; they come out as a sign.
///
/// # Errors
/// If the embedded faces cannot be read.
pub fn lacking(sketch: &Sketch) -> Result<Vec<char>, String> {
    let faces = Faces::new()?;
    let mut lacking: Vec<char> = (sketch.pages.iter().flatten())
        .filter_map(|mark| match &mark.ink {
            sketch::Ink::Words { text, .. } => Some(text.chars()),
            _ => None,
        })
        .flatten()
        .filter(|&c| !faces.draws(c))
        .collect();
    lacking.sort_unstable();
    lacking.dedup();
    Ok(lacking)
}
