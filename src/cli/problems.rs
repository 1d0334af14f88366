//! Problems in files: problem files, and sequential ordering problems.

use std::ffi::OsStr;
use std::path::Path;
use std::sync::Arc;

use super::ending::Refusal;
use crate::exchange::{problem_file, tsplib};
use crate::problem::Problem;
use crate::source::Source;

/// The problem in a text: a sequential ordering problem by the ending `.sop` or by its first word, else a problem file.
pub(super) fn problem_of(path: &Path, source: &Arc<Source>) -> Result<Problem, Refusal> {
    let ending = path.extension().and_then(OsStr::to_str);
    if ending == Some("sop") || ending != Some("json") && tsplib::recognises(&source.text) {
        return tsplib::read(source).map_err(Refusal::Mistakes);
    }
    problem_file::read(&source.text).map_err(|mistakes| {
        let lines: Vec<String> = mistakes
            .iter()
            .map(|m| format!("{}: {m}", source.name))
            .collect();
        let brief = !source.text.trim_start().starts_with(['{', '[']);
        let hint = if brief {
            "\nsegue: a brief or a list is planned with `segue plan FILE`"
        } else {
            ""
        };
        Refusal::Usage(lines.join("\nsegue: ") + hint)
    })
}
