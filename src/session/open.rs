//! A text to a class: read it for its machine and compile it.

use std::collections::HashSet;
use std::sync::Arc;

use super::Session;
use super::studio::Studio;
use crate::answer::class::{Class, ClassFormat, Text};
use crate::brief::Brief;
use crate::compile::compile;
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::read::brief::brief as read_brief;
use crate::read::list::quick_list;
use crate::read::table::spreadsheet;
use crate::source::{Source, Span};

impl Session {
    /// Reads and compiles a class. `machine`: id of the machine to plan on, whatever the brief says.
    ///
    /// # Errors
    /// All mistakes and notes, if there is a mistake.
    pub fn open(
        studio: &Studio,
        text: impl Into<Arc<Text>>,
        machine: Option<&str>,
    ) -> Result<Self, Vec<Diagnostic>> {
        let text = text.into();
        let class = read(studio, &text, machine)?;
        Ok(Self {
            studio: studio.clone(),
            text,
            class,
        })
    }

    /// The same class after a change to what was read.
    ///
    /// # Errors
    /// What is wrong with the class that it makes.
    pub(super) fn changed(&self, brief: Brief) -> Result<Self, Vec<Diagnostic>> {
        let compiled = compile(&brief, &self.class.compiled.apparatus)?;
        Ok(Self {
            class: Class {
                brief: Arc::new(brief),
                compiled: Arc::new(compiled),
                notes: self.class.notes.clone(),
            },
            ..self.clone()
        })
    }
}

fn read(studio: &Studio, text: &Text, machine: Option<&str>) -> Result<Class, Vec<Diagnostic>> {
    let known = &studio.known;
    let read = match text.format {
        ClassFormat::Brief => read_brief(&text.source, known, machine),
        ClassFormat::List => quick_list(&text.source, known, machine),
        ClassFormat::Table => spreadsheet(&text.source, known, machine),
    };
    let mut notes = text.noticed.clone();
    notes.extend(read.diagnostics);
    let slips = notes.iter().any(Diagnostic::is_mistake);
    let Some(brief) = read.value else {
        if !slips {
            notes.push(nothing_read(&text.source));
        }
        return Err(notes);
    };
    let machine = (known.apparatus.iter()).find(|a| a.id == brief.apparatus);
    let Some(machine) = machine else {
        // The reader has said that it is not known.
        return Err(notes);
    };
    match compile(&brief, machine) {
        Ok(compiled) if !slips => {
            let problem = &compiled.problem;
            tracing::info!(
                class = brief.title,
                machine = compiled.apparatus.id,
                steps = problem.steps.len(),
                facets = problem.facets.len(),
                demands = problem.demands.len(),
                "read a class"
            );
            Ok(Class {
                brief: Arc::new(brief),
                compiled: Arc::new(compiled),
                notes,
            })
        }
        Ok(_) => Err(notes),
        Err(mistakes) => {
            let lines = Lines::of(notes.iter().filter(|d| d.is_mistake()));
            let more: Vec<Diagnostic> = (mistakes.into_iter())
                .filter(|d| !slips || lines.hold_beside(d))
                .collect();
            notes.extend(more);
            Err(notes)
        }
    }
}

/// The lines of texts on which mistakes stand, each by where it begins.
struct Lines<'d>(HashSet<(&'d str, usize)>);

impl<'d> Lines<'d> {
    fn of(mistakes: impl Iterator<Item = &'d Diagnostic>) -> Self {
        let labels = mistakes.flat_map(|d| &d.labels);
        Self(labels.map(|l| begins(&l.span)).collect())
    }

    /// Whether a mistake of a class that could be read in part alone would still be one with these slips mended: not where the list is
    /// empty for them, not on a line that has a slip itself, and not what a slip says already.
    fn hold_beside(&self, mistake: &Diagnostic) -> bool {
        mistake.code != Code::EmptyList
            && !(mistake.labels.iter()).any(|l| self.0.contains(&begins(&l.span)))
    }
}

/// The text of a place and where its line begins.
fn begins(span: &Span) -> (&str, usize) {
    let text = &span.source.text;
    let before = text.get(..span.bytes.start).unwrap_or(text);
    let line = before.rfind('\n').map_or(0, |at| at + 1);
    (span.source.name.as_str(), line)
}

/// A text of which nothing could be read although nothing was wrong with it.
fn nothing_read(source: &Source) -> Diagnostic {
    Diagnostic {
        severity: Severity::Mistake,
        code: Code::EmptyList,
        message: format!("nothing could be read from {}", source.name),
        labels: Vec::new(),
        mend: "write at least one movement".into(),
    }
}
