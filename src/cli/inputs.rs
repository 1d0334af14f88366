//! Files to texts: the only place that reads any.

use std::ffi::OsStr;
use std::fs::{File, Metadata};
use std::io::Read;
use std::path::Path;
use std::sync::Arc;

use crate::answer::class::{ClassFormat, Text};
use crate::diagnostic::{Code, Diagnostic};
use crate::model::apparatus::Apparatus;
use crate::read::machine::apparatus;
use crate::read::table;
use crate::sizes::{Largest, PROBLEM_BYTES, TEXT_BYTES};
use crate::source::{Source, Span};

/// The name that stands for standard input.
pub(super) const STANDARD_INPUT: &str = "-";

/// The text of a file or of standard input (`-`).
///
/// # Errors
/// It cannot be read, is too large, or is not text in UTF-8: then with the place of the first byte that is not.
pub fn text(path: &Path) -> Result<Arc<Source>, Diagnostic> {
    let (name, bytes) = read(path, TEXT_BYTES)?;
    decoded(name, bytes)
}

/// The same of a problem file, which may be longer.
///
/// # Errors
/// As for [`text`].
pub fn problem(path: &Path) -> Result<Arc<Source>, Diagnostic> {
    let (name, bytes) = read(path, PROBLEM_BYTES)?;
    decoded(name, bytes)
}

/// The name under which a file is shown, and its bytes. Of one that is too large, or never ends, no more is read than is needed to know that.
fn read(path: &Path, most: Largest) -> Result<(String, Vec<u8>), Diagnostic> {
    let from_stdin = path.as_os_str() == STANDARD_INPUT;
    let name = if from_stdin {
        "standard input".to_owned()
    } else {
        path.display().to_string()
    };
    let unreadable = |e: std::io::Error| {
        Diagnostic::nowhere(
            Code::Unreadable,
            format!("{name} cannot be read: {e}"),
            "check the name of the file and that you may read it",
        )
    };
    let (bytes, length) = if from_stdin {
        (up_to(most, std::io::stdin()).map_err(unreadable)?, None)
    } else {
        let file = File::open(path).map_err(unreadable)?;
        let about = file.metadata().ok().filter(Metadata::is_file);
        (
            up_to(most, file).map_err(unreadable)?,
            about.map(|about| about.len()),
        )
    };
    if most.is_less_than(bytes.len()) {
        return Err(most.refused_file(&name, length));
    }
    tracing::debug!(file = name, bytes = bytes.len(), "read a file");
    Ok((name, bytes))
}

/// All bytes, or one more than are read.
fn up_to(most: Largest, from: impl Read) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    from.take(most.most as u64 + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// The text of a table out of a spreadsheet, which may be in the encoding of an older one: UTF-16 where the file says so, Windows-1252 where it is
/// not UTF-8. Which it was is noted.
///
/// # Errors
/// As for [`text`]: it is no text.
fn table_text(path: &Path) -> Result<(Arc<Source>, Vec<Diagnostic>), Diagnostic> {
    let (name, bytes) = read(path, TEXT_BYTES)?;
    let wide = encoding_rs::Encoding::for_bom(&bytes)
        .map(|(encoding, _)| encoding)
        .filter(|encoding| *encoding != encoding_rs::UTF_8);
    let guessed = match wide {
        Some(wide) => wide,
        None if bytes.contains(&0) || std::str::from_utf8(&bytes).is_ok() => {
            return Ok((decoded(name, bytes)?, Vec::new()));
        }
        None => encoding_rs::WINDOWS_1252,
    };
    let (text, _, _) = guessed.decode(&bytes);
    let source = Arc::new(Source {
        name,
        text: text.into_owned(),
    });
    let note = Diagnostic::note(
        Code::Assumed,
        Span::new(&source, 0..source.text.lines().next().map_or(0, str::len)),
        format!(
            "{} is not in UTF-8: it was read as {}; if letters look wrong, save it as UTF-8",
            source.name,
            guessed.name()
        ),
        "the first line, as it was read",
    );
    Ok((source, vec![note]))
}

/// The bytes as text, without a byte order mark.
///
/// # Errors
/// The first place that is not UTF-8, or that holds a zero byte, which no text has.
fn decoded(name: String, bytes: Vec<u8>) -> Result<Arc<Source>, Diagnostic> {
    let wide = bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff");
    let (text, good) = match String::from_utf8(bytes) {
        Ok(text) => {
            let zero = text.find('\0');
            (text, zero)
        }
        Err(e) => (
            String::from_utf8_lossy(e.as_bytes()).into_owned(),
            Some(e.utf8_error().valid_up_to()),
        ),
    };
    let Some(good) = good else {
        let text = text
            .strip_prefix('\u{feff}')
            .map_or_else(|| text.clone(), str::to_owned);
        return Ok(Arc::new(Source { name, text }));
    };
    let before = &text[..good];
    let line = before.matches('\n').count() + 1;
    // What cannot be read may hold anything, line breaks that are none among it: only the lines up to there are shown.
    let rest = text[good..].lines().next().unwrap_or("");
    let source = Arc::new(Source {
        name,
        text: format!("{before}{rest}\n"),
    });
    let mend = if wide {
        "save it again as plain text in UTF-8: it is in UTF-16"
    } else {
        "save it as plain text in UTF-8, not as an office document"
    };
    let message = format!(
        "{} is not text in UTF-8: byte {} (line {line}) is the first that cannot be read",
        source.name,
        good + 1
    );
    Err(Diagnostic::mistake(
        Code::NotText,
        Span::new(&source, good..good),
        message,
        "from here on it cannot be read",
        mend,
    ))
}

/// The machine in a file.
///
/// # Errors
/// All mistakes of the file.
pub fn machine(path: &Path) -> Result<Apparatus, Vec<Diagnostic>> {
    let source = text(path).map_err(|d| vec![d])?;
    let read = apparatus(&source);
    match read.value {
        Some(machine) if !read.diagnostics.iter().any(Diagnostic::is_mistake) => Ok(machine),
        _ => Err(read.diagnostics),
    }
}

/// The mistake of a class that is JSON.
fn json(source: &Arc<Source>) -> Option<Diagnostic> {
    let start = source.text.len() - source.text.trim_start().len();
    let brace = source.text[start..].starts_with('{');
    brace.then(|| {
        Diagnostic::mistake(
            Code::Syntax,
            Span::new(source, start..start + 1),
            format!("{} is JSON, neither a class nor a list", source.name),
            "JSON begins here",
            "write the class in TOML or as a plain list; a problem file is for `segue solve`",
        )
    })
}

/// A class as it was written.
///
/// # Errors
/// The file cannot be read, or is JSON.
pub fn class(path: &Path) -> Result<Text, Diagnostic> {
    let (class, noticed) = if path.extension() == Some(OsStr::new("csv")) {
        table_text(path)?
    } else {
        (text(path)?, Vec::new())
    };
    if let Some(json) = json(&class) {
        return Err(json);
    }
    Ok(Text {
        format: format(path, &class.text),
        source: class,
        noticed,
    })
}

/// How a class is written: by the ending of its name; on standard input and under other names a line of headings makes it a table, a `[heading]` or a `key = value` line at the
/// top a brief.
fn format(path: &Path, text: &str) -> ClassFormat {
    if path.extension() == Some(OsStr::new("toml")) {
        return ClassFormat::Brief;
    }
    if path.extension() == Some(OsStr::new("txt")) {
        return ClassFormat::List;
    }
    if path.extension() == Some(OsStr::new("csv")) || table::is_one(text) {
        return ClassFormat::Table;
    }
    let first = text
        .lines()
        .map(str::trim)
        .find(|line| !line.is_empty() && !line.starts_with('#'));
    match first {
        Some(line) if line.starts_with('[') || line.contains('=') => ClassFormat::Brief,
        Some(_) | None => ClassFormat::List,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_text_is_refused_with_line_and_byte() {
        let told = |bytes: &[u8]| {
            let d = decoded("a.txt".into(), bytes.to_vec()).expect_err("it is no text");
            assert_eq!(d.code, Code::NotText);
            (d.labels[0].span.line(), d.message, d.mend)
        };
        let (line, message, mend) = told(b"Swan\nM\xe9rmaid\n");
        assert_eq!(line, 2);
        assert!(message.contains("byte 7 (line 2)"), "{message}");
        assert!(mend.contains("UTF-8"), "{mend}");
        let (line, message, mend) = told(b"\xff\xfeS\0w\0a\0n\0");
        assert_eq!(line, 1);
        assert!(message.contains("byte 1 (line 1)"), "{message}");
        assert!(mend.contains("UTF-16"), "{mend}");
        assert!(told(b"Swan\n\0\0").1.contains("byte 6 (line 2)"));
    }

    #[test]
    fn a_byte_order_mark_is_left_away() {
        let source = decoded("a.txt".into(), b"\xef\xbb\xbfSwan\n".to_vec());
        assert_eq!(source.expect("it is text").text, "Swan\n");
    }

    #[test]
    fn a_class_is_a_brief_by_its_name_or_by_its_first_line() {
        assert_eq!(format(Path::new("a.toml"), "swan"), ClassFormat::Brief);
        assert_eq!(format(Path::new("a.txt"), "title = 1"), ClassFormat::List);
        assert_eq!(
            format(Path::new("-"), "# mine\n\ntitle = \"x\""),
            ClassFormat::Brief
        );
        assert_eq!(format(Path::new("-"), "# mine\nswan\n"), ClassFormat::List);
        assert_eq!(
            format(Path::new("-"), "movement,side\nswan,\n"),
            ClassFormat::Table
        );
        assert_eq!(format(Path::new("a.csv"), "swan\n"), ClassFormat::Table);
    }
}
