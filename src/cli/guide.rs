//! `segue guide`: the chapters of the guide, by name.

use super::args::Guide;
use super::ending::Refusal;
use super::voice::Voice;
use crate::answer::ending::Ending;
use crate::guide::CHAPTERS;
use crate::read::names::{either, nearest};
use crate::report::drawn::Drawn;

/// Prints a chapter, or which there are.
///
/// # Errors
/// A name that is none.
pub fn run(args: &Guide, voice: Voice) -> Result<Ending, Refusal> {
    let Some(asked) = &args.name else {
        let lines = CHAPTERS
            .iter()
            .map(|chapter| format!("{:<10} {}\n", chapter.name, chapter.title));
        voice.answer(&Drawn::text(&lines.collect::<String>()))?;
        return Ok(Ending::Done);
    };
    match CHAPTERS.iter().find(|chapter| chapter.name == asked) {
        Some(chapter) => {
            voice.answer(&Drawn::text(chapter.text))?;
            Ok(Ending::Done)
        }
        None => Err(Refusal::Several(unknown(asked).into())),
    }
}

/// What to say of a name that is none: the nearest, and all.
fn unknown(asked: &str) -> [String; 2] {
    let all: Vec<&str> = CHAPTERS.iter().map(|chapter| chapter.name).collect();
    let near = nearest(asked, &all);
    let mend = if near.is_empty() {
        String::new()
    } else {
        format!("; did you mean {}?", either(&near))
    };
    [
        format!("the guide has no chapter `{asked}`{mend}"),
        format!("chapters: {}", all.join(", ")),
    ]
}
