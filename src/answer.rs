//! Texts and limits in, an answer or mistakes out: the flow on one page.
//!
//! Read the brief, compile it for its machine, search, have the referee score what was found and her own order beside it.

use std::sync::Arc;

use crate::brief::Brief;
use crate::compile::{Compiled, compile};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::explain::conflict::{Conflict, conflict};
use crate::problem::Problem;
use crate::read::brief::{Known, brief as read_brief};
use crate::read::quick_list::quick_list;
use crate::score::{Evaluation, evaluate};
use crate::search::budget::Limits;
use crate::search::outcome::{Outcome, Progress};
use crate::search::{best_setups, solve};
use crate::source::Source;

/// How many states the set-ups of her own order may take: the same on every machine, and soon over even where the search is interrupted.
pub const OWN_ORDER: u64 = 20_000;

/// How a class is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A brief in TOML.
    Brief,
    /// A plain list, one movement a line.
    List,
}

/// The texts behind one class.
#[derive(Debug, Clone)]
pub struct Texts {
    /// What she wrote.
    pub class: Arc<Source>,
    /// How it is written.
    pub form: Form,
    /// Movements, machines and kept blocks.
    pub known: Known,
    /// Id of the machine to plan on, whatever the brief says.
    pub apparatus: Option<String>,
}

/// A class that was read and compiled.
#[derive(Debug, Clone)]
pub struct Prepared {
    /// What she wrote.
    pub brief: Arc<Brief>,
    /// What there is to solve.
    pub compiled: Arc<Compiled>,
    /// What the reader noticed and went on with.
    pub notes: Vec<Diagnostic>,
}

/// Everything known about one class after planning it.
#[derive(Debug, Clone)]
pub struct Answer {
    /// What she wrote.
    pub brief: Arc<Brief>,
    /// What was solved.
    pub compiled: Arc<Compiled>,
    /// How the search ended.
    pub outcome: Outcome,
    /// The plan scored by the referee, if there is one.
    pub best: Option<Evaluation>,
    /// Her own order with the cheapest set-ups, scored by the referee; `None` if they were not found within [`OWN_ORDER`].
    pub as_given: Option<Evaluation>,
    /// What cannot hold together, where no order exists.
    pub conflict: Option<Conflict>,
    /// What the reader noticed and went on with.
    pub notes: Vec<Diagnostic>,
}

/// Reads and compiles a class.
///
/// # Errors
/// All mistakes and notes, if there is a mistake.
pub fn prepare(texts: &Texts) -> Result<Prepared, Vec<Diagnostic>> {
    let machine = texts.apparatus.as_deref();
    let read = match texts.form {
        Form::Brief => read_brief(&texts.class, &texts.known, machine),
        Form::List => quick_list(&texts.class, &texts.known, machine),
    };
    let mut notes = read.diagnostics;
    let slips = notes.iter().any(Diagnostic::is_mistake);
    let Some(brief) = read.value else {
        if !slips {
            notes.push(nothing_read(&texts.class));
        }
        return Err(notes);
    };
    let machine = (texts.known.apparatus.iter()).find(|a| a.id == brief.apparatus);
    let Some(machine) = machine else {
        // The reader has said that it is not known.
        return Err(notes);
    };
    match compile(&brief, machine) {
        Ok(compiled) if !slips => Ok(Prepared {
            brief: Arc::new(brief),
            compiled: Arc::new(compiled),
            notes,
        }),
        Ok(_) => Err(notes),
        Err(mistakes) => {
            let known = |d: &Diagnostic| !slips || holds_beside(d, &notes);
            let more: Vec<Diagnostic> = mistakes.into_iter().filter(known).collect();
            notes.extend(more);
            Err(notes)
        }
    }
}

/// Whether a mistake of a class that could be read in part alone would still be one with the slips mended: not where the list is empty
/// for them, not on a line that has a slip itself, and not what a slip says already.
fn holds_beside(mistake: &Diagnostic, slips: &[Diagnostic]) -> bool {
    let lines = |d: &Diagnostic| -> Vec<(String, usize)> {
        d.labels
            .iter()
            .map(|l| (l.span.source.name.clone(), l.span.line()))
            .collect()
    };
    let of_mistake = lines(mistake);
    mistake.code != Code::EmptyList
        && slips
            .iter()
            .filter(|s| s.is_mistake())
            .all(|slip| !lines(slip).iter().any(|at| of_mistake.contains(at)))
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

/// For each step the number of its movement: two sides and two rounds of one are the same.
pub fn movements(compiled: &Compiled) -> Vec<usize> {
    let class = &compiled.class;
    let id = |movement: usize| &class.movements[movement].id;
    let first = |movement: usize| (0..movement).find(|&m| id(m) == id(movement));
    (class.steps.iter())
        .map(|s| first(s.movement).unwrap_or(s.movement))
        .collect()
}

/// Plans a class that was compiled.
pub fn plan(prepared: &Prepared, limits: &Limits, progress: &mut dyn FnMut(&Progress)) -> Answer {
    let problem = &prepared.compiled.problem;
    let outcome = solve(problem, limits, progress);
    let best = outcome
        .plan
        .as_ref()
        .map(|plan| evaluate(problem, &plan.order, &plan.setups));
    let impossible = outcome.plan.is_none() && outcome.proven();
    let conflict = impossible.then(|| conflict(&prepared.compiled, limits));
    Answer {
        brief: Arc::clone(&prepared.brief),
        compiled: Arc::clone(&prepared.compiled),
        outcome,
        best,
        as_given: as_given(problem),
        conflict,
        notes: prepared.notes.clone(),
    }
}

/// Her own order: the list as written, first side before second, no breather, with the cheapest set-ups, its broken rules counted.
///
/// `None` if no set-ups were found within [`OWN_ORDER`] expanded states.
pub fn as_given(problem: &Problem) -> Option<Evaluation> {
    let order: Vec<usize> = (0..problem.steps.len())
        .filter(|&s| problem.steps[s].optional.is_none())
        .collect();
    let limits = Limits {
        nodes: Some(OWN_ORDER),
        ..Limits::default()
    };
    let setups = best_setups(problem, &order, &limits)?;
    Some(evaluate(problem, &order, &setups))
}
