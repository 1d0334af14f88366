//! `segue schema`: JSON Schemas of what may be written and of what is printed, for editors and programs.

use super::args::Schema;
use super::ending::Refusal;
use super::voice::Voice;
use crate::answer::ending::Ending;
use crate::read::names::{either, nearest};
use crate::report::drawn::Drawn;

macro_rules! shipped {
    ($($name:literal: $says:literal),+ $(,)?) => {
        &[$((
            $name,
            $says,
            include_str!(concat!("../../models/schema/", $name, ".schema.json")),
        )),+]
    };
}

/// Schemas by name, with what they are of.
const SCHEMAS: &[(&str, &str, &str)] = shipped!(
    "brief": "a class",
    "apparatus": "a machine",
    "catalogue": "movements",
    "blocks": "blocks and series kept by name",
    "labels": "labels of springs",
    "plan": "what `plan --json` prints",
    "check": "what `check --json` prints, one line a class",
    "explain": "what `explain --json` prints",
    "try": "what `try --json` prints",
    "vary": "what `vary --json` prints",
    "keep": "what `keep --json` prints",
    "late": "what `late --json` prints",
    "list": "what `list --json` prints",
    "files": "what `files --json` prints",
    "problem": "what `export` prints",
    "solution": "what `solve --json` prints",
    "solved": "what `solve --lines` prints, one line a problem",
);

/// Prints a schema, or which there are.
///
/// # Errors
/// A name that is none.
pub fn run(args: &Schema, voice: Voice) -> Result<Ending, Refusal> {
    let Some(asked) = &args.name else {
        let lines = SCHEMAS
            .iter()
            .map(|(name, says, _)| format!("{name:<10} {says}\n"));
        voice.answer(&Drawn::text(&lines.collect::<String>()))?;
        return Ok(Ending::Done);
    };
    match SCHEMAS.iter().find(|(name, ..)| name == asked) {
        Some((.., text)) => {
            voice.answer(&Drawn::text(text))?;
            Ok(Ending::Done)
        }
        None => {
            let known: Vec<&str> = SCHEMAS.iter().map(|(name, ..)| *name).collect();
            let near = nearest(asked, &known);
            let mend = if near.is_empty() {
                format!("known: {}", known.join(", "))
            } else {
                format!("did you mean {}?", either(&near))
            };
            Err(Refusal::Usage(format!(
                "there is no schema `{asked}`; {mend}"
            )))
        }
    }
}
