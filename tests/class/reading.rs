//! Classes as they are read with what is built in, for the tests beside this file.

use std::fs;
use std::path::Path;
use std::sync::Arc;

use segue::brief::Brief;
use segue::diagnostic::Diagnostic;
use segue::read::brief::{Known, brief};
use segue::read::built_in::models;
use segue::read::list::quick_list;
use segue::source::Source;

/// What is built in, and no blocks of one's own.
pub fn known() -> Known {
    let models = models(&[]);
    Known {
        catalogue: models.catalogue,
        apparatus: models.apparatus,
        kept_blocks: Vec::new(),
    }
}

/// A text under a name.
pub fn source(name: &str, text: &str) -> Arc<Source> {
    Arc::new(Source {
        name: name.into(),
        text: text.into(),
    })
}

/// A brief without a mistake; there may be notes on it.
pub fn read(text: &str, known: &Known) -> Brief {
    let found = brief(&source("class.toml", text), known, None);
    let mistakes = found.diagnostics.iter().filter(|d| d.is_mistake());
    let told: Vec<String> = mistakes.map(told).collect();
    assert!(told.is_empty(), "{text}: {told:#?}");
    found.value.expect("what has no mistake is read")
}

/// A scenario of which nothing is to be said, not even a note; a plain list where its name ends in `.txt`.
pub fn scenario(name: &str, known: &Known) -> Brief {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let text = fs::read_to_string(path.join(name)).expect("it is there");
    let source = source(name, &text);
    let found = match name.ends_with(".txt") {
        true => quick_list(&source, known, None),
        false => brief(&source, known, None),
    };
    let told: Vec<String> = found.diagnostics.iter().map(told).collect();
    assert!(told.is_empty(), "{name}: {told:#?}");
    found.value.expect("what has no mistake is read")
}

fn told(d: &Diagnostic) -> String {
    let line = d.labels.first().map_or(0, |l| l.span.line());
    format!("line {line}: {} ({})", d.message, d.mend)
}
