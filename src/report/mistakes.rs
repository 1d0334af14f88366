//! Diagnostics drawn on the text that they are about: file, line, column, the line itself with a caret, and how to mend it.

use std::borrow::Cow;
use std::sync::Arc;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

use crate::diagnostic::{Diagnostic, Label, Severity};
use crate::harmless::{letters, spelt, text};
use crate::sizes::{DRAWN, MESSAGE_LETTERS};
use crate::source::{Source, Span};

/// Whether the drawing is coloured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paint {
    /// Letters only.
    Plain,
    /// With ANSI colours.
    Coloured,
}

/// Draws diagnostics, sorted by text and place, an empty line between two; ends in a line break unless there is none. Of very many the first
/// are drawn ([`DRAWN`]), and the others counted.
pub fn draw(diagnostics: &[Diagnostic], paint: Paint, columns: usize) -> String {
    let mut sorted: Vec<&Diagnostic> = diagnostics.iter().collect();
    // Those without a place come first: a file that cannot be opened explains what follows.
    sorted.sort_by_key(|d| {
        d.labels
            .first()
            .map(|l| (l.span.source.name.clone(), l.span.bytes.start))
    });
    sorted.dedup();
    let renderer = match paint {
        Paint::Plain => Renderer::plain(),
        Paint::Coloured => Renderer::styled(),
    }
    .term_width(columns);
    let more = sorted.len().saturating_sub(DRAWN);
    sorted.truncate(DRAWN);
    let mut shown = Shown::default();
    let drawn = sorted.into_iter().map(|d| one(&shown.of(d), &renderer));
    let mut drawn: Vec<String> = drawn.collect();
    if more > 0 {
        drawn.push(format!("and {more} more, which are not shown"));
    }
    if drawn.is_empty() {
        return String::new();
    }
    let mut text = drawn.join("\n\n");
    text.push('\n');
    text
}

/// Texts as they are shown beside those that were read; the same where nothing in them steers what is shown ([`crate::harmless`]).
#[derive(Default)]
struct Shown(Vec<[Arc<Source>; 2]>);

impl Shown {
    /// A diagnostic with nothing in it that steers what is shown; its places are at the same letters.
    fn of(&mut self, diagnostic: &Diagnostic) -> Diagnostic {
        let label = |label: &Label| Label {
            span: self.place(&label.span),
            text: spelt(&label.text),
        };
        Diagnostic {
            labels: diagnostic.labels.iter().map(label).collect(),
            message: spelt(&diagnostic.message),
            mend: spelt(&diagnostic.mend),
            ..*diagnostic
        }
    }

    fn place(&mut self, span: &Span) -> Span {
        let shown = self.source(&span.source);
        let bytes = inside(span);
        if Arc::ptr_eq(&shown, &span.source) {
            return Span::new(&shown, bytes);
        }
        let moved = |byte: usize| {
            let before = letters(&span.source.text).take_while(|&(at, _)| at < byte);
            before.map(|(_, c)| c.len_utf8()).sum()
        };
        Span::new(&shown, moved(bytes.start)..moved(bytes.end))
    }

    fn source(&mut self, read: &Arc<Source>) -> Arc<Source> {
        let known = self.0.iter().find(|[known, _]| Arc::ptr_eq(known, read));
        if let Some([_, shown]) = known {
            return Arc::clone(shown);
        }
        let harmless = Source {
            name: spelt(&read.name),
            text: text(&read.text),
        };
        let shown = if harmless == **read {
            Arc::clone(read)
        } else {
            Arc::new(harmless)
        };
        self.0.push([Arc::clone(read), Arc::clone(&shown)]);
        shown
    }
}

/// One diagnostic: its sentence, a snippet for each text that its places are in, and the mend.
fn one(diagnostic: &Diagnostic, renderer: &Renderer) -> String {
    let level = match diagnostic.severity {
        Severity::Mistake => Level::ERROR.with_name("mistake"),
        Severity::Note => Level::NOTE.with_name("note"),
    };
    let message = shortened(&diagnostic.message);
    let mend = shortened(&diagnostic.mend);
    let mut group = Group::with_title(level.primary_title(message.as_ref()));
    let mut drawn: Vec<&Arc<Source>> = Vec::new();
    for label in &diagnostic.labels {
        let source = &label.span.source;
        if drawn.iter().any(|s| Arc::ptr_eq(s, source)) {
            continue;
        }
        drawn.push(source);
        let annotations = diagnostic
            .labels
            .iter()
            .enumerate()
            .filter(|(_, l)| Arc::ptr_eq(&l.span.source, source))
            .map(|(place, l)| {
                let kind = if place == 0 {
                    AnnotationKind::Primary
                } else {
                    AnnotationKind::Context
                };
                let annotation = kind.span(l.span.bytes.clone());
                if l.text.is_empty() {
                    annotation
                } else {
                    annotation.label(shortened(&l.text))
                }
            });
        group = group.element(
            Snippet::source(source.text.as_str())
                .path(source.name.as_str())
                .annotations(annotations),
        );
    }
    if !mend.is_empty() {
        group = group.element(Level::HELP.with_name("mend").message(mend.as_ref()));
    }
    renderer.render(&[group])
}

/// A message that quotes what somebody wrote, cut where that is very long.
pub fn shortened(message: &str) -> Cow<'_, str> {
    match message.char_indices().nth(MESSAGE_LETTERS) {
        Some((end, _)) => Cow::Owned(format!("{}...", &message[..end])),
        None => Cow::Borrowed(message),
    }
}

/// The bytes of a span cut to its text and moved out to whole letters, so that a place at the very end can be drawn too.
fn inside(span: &Span) -> std::ops::Range<usize> {
    let text = &span.source.text;
    let mut from = span.bytes.start.min(text.len());
    let mut to = span.bytes.end.clamp(from, text.len());
    while !text.is_char_boundary(from) {
        from -= 1;
    }
    while !text.is_char_boundary(to) {
        to += 1;
    }
    from..to
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Code;

    fn class() -> Arc<Source> {
        Arc::new(Source {
            name: "noon.toml".into(),
            text: "title = \"Midi d'été\"\nlist = [\n  \"swan\",\n  \"side spilts\",\n]\nminuets = 50\n"
                .into(),
        })
    }

    fn at(source: &Arc<Source>, words: &str) -> Span {
        let from = source.text.find(words).expect("words of the class");
        Span::new(source, from..from + words.len())
    }

    #[test]
    fn mistakes_are_drawn_in_the_order_of_the_file_with_caret_and_mend() {
        let source = class();
        let unknown_key = Diagnostic::mistake(
            Code::UnknownKey,
            at(&source, "minuets"),
            "the key `minuets` means nothing in a brief",
            "unknown key",
            "did you mean `minutes`?",
        );
        let unknown_movement = Diagnostic::mistake(
            Code::UnknownMovement,
            at(&source, "\"side spilts\""),
            "the catalogue has no movement `side spilts`",
            "not in the catalogue",
            "did you mean `Side splits`?",
        );
        let golden = "\
mistake: the catalogue has no movement `side spilts`
 --> noon.toml:4:3
  |
4 |   \"side spilts\",
  |   ^^^^^^^^^^^^^ not in the catalogue
  |
  = mend: did you mean `Side splits`?

mistake: the key `minuets` means nothing in a brief
 --> noon.toml:6:1
  |
6 | minuets = 50
  | ^^^^^^^ unknown key
  |
  = mend: did you mean `minutes`?
";
        assert_eq!(
            draw(&[unknown_key, unknown_movement], Paint::Plain, 80),
            golden
        );
    }

    #[test]
    fn the_place_that_it_clashes_with_is_drawn_too() {
        let source = class();
        let clash = Diagnostic::mistake(
            Code::Duplicate,
            at(&source, "\"side spilts\""),
            "two of a kind",
            "the second",
            "",
        )
        .and(at(&source, "\"swan\""), "the first");
        let golden = "\
mistake: two of a kind
 --> noon.toml:4:3
  |
3 |   \"swan\",
  |   ------ the first
4 |   \"side spilts\",
  |   ^^^^^^^^^^^^^ the second
";
        assert_eq!(draw(&[clash], Paint::Plain, 80), golden);
    }

    #[test]
    fn a_place_past_the_end_or_inside_a_letter_is_drawn_and_not_a_fault() {
        let source = class();
        let end = source.text.len();
        let accent = source.text.find('é').expect("a letter with an accent");
        for bytes in [end..end, end + 5..end + 9, accent + 1..accent + 1, 0..0] {
            let d = Diagnostic::mistake(Code::Syntax, Span::new(&source, bytes), "m", "here", "x");
            let drawn = draw(&[d], Paint::Plain, 80);
            assert!(
                drawn.contains("noon.toml:") && drawn.contains('^'),
                "{drawn}"
            );
        }
    }

    #[test]
    fn what_steers_is_spelt_in_sentences_and_the_caret_stays_below_its_letters() {
        let source = Arc::new(Source {
            name: "a\u{1b}[31m\n.toml".into(),
            text: "# \u{202e}\r\n\"\u{9b}31m\u{2066}\u{1b}é\" = \"swam\"\u{85}\r\n".into(),
        });
        let d = Diagnostic::mistake(
            Code::UnknownMovement,
            at(&source, "\"swam\""),
            "no `\u{9b}31m`",
            "not\nhere",
            "write \u{202e}",
        );
        let golden = "\
mistake: no `\\u{9b}31m`
 --> a\\u{1b}[31m\\n.toml:2:13
  |
2 | \"\u{fffd}31m\u{fffd}\u{fffd}é\" = \"swam\"\u{fffd}
  |             ^^^^^^ not\\nhere
  |
  = mend: write \\u{202e}
";
        assert_eq!(draw(&[d], Paint::Plain, 80), golden);
    }

    #[test]
    fn without_a_place_there_is_the_sentence_alone_and_colour_only_if_asked() {
        let d = Diagnostic {
            severity: Severity::Mistake,
            code: Code::Unreadable,
            message: "there is no file `noon.toml`".into(),
            labels: Vec::new(),
            mend: "look at the name".into(),
        };
        let plain = draw(std::slice::from_ref(&d), Paint::Plain, 80);
        assert!(
            plain.starts_with("mistake: there is no file `noon.toml`"),
            "{plain}"
        );
        assert!(plain.contains("look at the name") && !plain.contains('\u{1b}'));
        assert!(draw(&[d], Paint::Coloured, 80).contains('\u{1b}'));
        assert_eq!(draw(&[], Paint::Plain, 80), "");
    }
}
