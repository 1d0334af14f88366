//! Texts and limits in, an answer or mistakes out: the flow on one page.
//!
//! Read the brief, compile it for its machine, search, have the referee score what was found and her own order beside it.

use std::sync::Arc;

use crate::brief::Brief;
use crate::compile::{Compiled, compile};
use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::explain::allowance::Allowance;
use crate::explain::conflict::{Conflict, conflict};
use crate::explain::explanation::{Explanation, explanation};
use crate::explain::relaxation::{Relaxations, relaxations};
use crate::orders::swaps::{Swap, lists, swapped};
use crate::problem::Problem;
use crate::read::brief::{Known, brief as read_brief};
use crate::read::list::quick_list;
use crate::read::table::spreadsheet;
use crate::read::what_if::{Wanted, changed};
use crate::score::{Evaluation, evaluate};
use crate::search::budget::Limits;
use crate::search::outcome::{Ended, Outcome, Plan, Progress};
use crate::search::{best_setups, solve};
use crate::source::Source;

/// How many states the set-ups of her own order may take: the same on every machine. Where it was interrupted it is soon over.
pub const OWN_ORDER: u64 = 150_000;

/// How a class is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClassFormat {
    /// A brief in TOML.
    Brief,
    /// A plain list, one movement a line.
    List,
    /// A table out of a spreadsheet, one movement a row.
    Table,
}

/// The texts behind one class.
#[derive(Debug, Clone)]
pub struct Texts {
    /// What she wrote.
    pub class: Arc<Source>,
    /// How it is written.
    pub format: ClassFormat,
    /// Movements, machines and kept blocks.
    pub known: Known,
    /// Id of the machine to plan on, whatever the brief says.
    pub apparatus: Option<String>,
    /// What was noticed before it was read, such as the encoding that it is in.
    pub noticed: Vec<Diagnostic>,
}

/// A class that was read and compiled.
#[derive(Debug, Clone)]
pub struct Prepared {
    /// The texts that it was read from.
    pub texts: Arc<Texts>,
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
    /// Her own order with the cheapest set-ups; `None` if none were found within [`OWN_ORDER`].
    pub as_given: Option<AsGiven>,
    /// So many pairs of neighbours of her own order were to be kept, where that was asked for.
    pub keeps: Option<usize>,
    /// What cannot hold together, where no order exists.
    pub conflict: Option<Conflict>,
    /// Single changes that make an order possible, where none exists.
    pub relaxations: Option<Relaxations>,
    /// What the reader noticed and went on with.
    pub notes: Vec<Diagnostic>,
    /// Whether somebody asked to stop before all of it was worked out.
    pub interrupted: bool,
}

/// Her own order with the cheapest set-ups.
#[derive(Debug, Clone)]
pub struct AsGiven {
    /// The order with its set-ups, scored by the referee.
    pub found: Evaluation,
    /// Whether no set-ups are cheaper; if not, what is saved against it may be less than it seems.
    pub proven: bool,
}

/// Reads and compiles a class.
///
/// # Errors
/// All mistakes and notes, if there is a mistake.
pub fn prepare(texts: &Texts) -> Result<Prepared, Vec<Diagnostic>> {
    let machine = texts.apparatus.as_deref();
    let read = match texts.format {
        ClassFormat::Brief => read_brief(&texts.class, &texts.known, machine),
        ClassFormat::List => quick_list(&texts.class, &texts.known, machine),
        ClassFormat::Table => spreadsheet(&texts.class, &texts.known, machine),
    };
    let mut notes = texts.noticed.clone();
    notes.extend(read.diagnostics);
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
            Ok(Prepared {
                texts: Arc::new(texts.clone()),
                brief: Arc::new(brief),
                compiled: Arc::new(compiled),
                notes,
            })
        }
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
    movements_by(compiled, &mut Vec::new())
}

/// The same for several lists that share the numbers; ids get them as they come.
fn movements_by(compiled: &Compiled, ids: &mut Vec<String>) -> Vec<usize> {
    let class = &compiled.class;
    let mut number = |id: &String| {
        ids.iter().position(|known| known == id).unwrap_or_else(|| {
            ids.push(id.clone());
            ids.len() - 1
        })
    };
    (class.steps.iter())
        .map(|s| number(&class.movements[s.movement].id))
        .collect()
}

/// A class with some movements swapped.
#[derive(Debug, Clone)]
pub struct Listed {
    /// The class.
    pub prepared: Prepared,
    /// What is swapped in it.
    pub swaps: Vec<Swap>,
    /// For each step the number of its movement, the same in all lists of a week.
    pub names: Vec<usize>,
}

/// The lists that a week can be made from.
#[derive(Debug, Clone)]
pub struct Choice {
    /// Those that are looked at; first the class as written.
    pub lists: Vec<Listed>,
    /// How many there are, those among them that cannot be: at least.
    pub ways: usize,
}

/// The class, and the same with at most `most` movements swapped for others that it allows in their place. A list that cannot be compiled (the machine has not
/// what a movement needs) is left out.
pub fn choice(prepared: &Prepared, most: usize, seed: u64) -> Choice {
    let found = lists(&prepared.brief, most, seed);
    let mut ids = Vec::new();
    let mut listed = Vec::new();
    for swaps in found.swaps {
        let compiled = if swaps.is_empty() {
            Some((Arc::clone(&prepared.brief), Arc::clone(&prepared.compiled)))
        } else {
            let brief = swapped(&prepared.brief, &swaps);
            let compiled = compile(&brief, &prepared.compiled.apparatus).ok();
            compiled.map(|compiled| (Arc::new(brief), Arc::new(compiled)))
        };
        if let Some((brief, compiled)) = compiled {
            listed.push(Listed {
                names: movements_by(&compiled, &mut ids),
                prepared: Prepared {
                    brief,
                    compiled,
                    ..prepared.clone()
                },
                swaps,
            });
        }
    }
    Choice {
        lists: listed,
        ways: found.ways,
    }
}

/// Plans a class that was compiled, and where there is no order tries which changes to its text would help.
pub fn plan(prepared: &Prepared, limits: &Limits, progress: &mut dyn FnMut(&Progress)) -> Answer {
    let outcome = solve(&prepared.compiled.problem, limits, progress);
    concluded(prepared, outcome, limits)
}

/// The same from a search that has ended, within what it has left of its limits.
pub fn concluded(prepared: &Prepared, outcome: Outcome, limits: &Limits) -> Answer {
    let (mut answer, mut allowance) = judged(prepared, outcome, limits);
    answer.relaxations = (answer.conflict.as_ref()).map(|c| eased(prepared, c, &mut allowance));
    answer.interrupted = limits.cancelled();
    answer
}

/// What comes of a search, and what it leaves of the limits.
fn judged(prepared: &Prepared, mut outcome: Outcome, limits: &Limits) -> (Answer, Allowance) {
    let problem = &prepared.compiled.problem;
    let as_given = as_given(problem, limits);
    if let Some(own) = &as_given {
        beside_her_own(&mut outcome, &own.found);
    }
    let best = outcome
        .plan
        .as_ref()
        .map(|plan| evaluate(problem, &plan.order, &plan.setups));
    let impossible = outcome.plan.is_none() && outcome.proven();
    let mut allowance = Allowance::after(limits, &outcome);
    let conflict = impossible.then(|| conflict(&prepared.compiled, &mut allowance));
    let answer = Answer {
        brief: Arc::clone(&prepared.brief),
        compiled: Arc::clone(&prepared.compiled),
        outcome,
        best,
        as_given,
        keeps: None,
        conflict,
        relaxations: None,
        notes: prepared.notes.clone(),
        interrupted: limits.cancelled(),
    };
    (answer, allowance)
}

/// A search that was cut short may have found nothing as good as her own order: that is then the best so far. One that is proven cannot be beaten by it.
fn beside_her_own(outcome: &mut Outcome, own: &Evaluation) {
    let better = match &outcome.plan {
        Some(plan) => own.score < plan.score,
        None => outcome.ended != Ended::Refused && outcome.disagreement.is_none(),
    };
    if !own.feasible() || !better {
        return;
    }
    if outcome.proven() {
        outcome.disagreement = Some(format!(
            "the search proves {:?}, her own order scores {}",
            outcome.plan.as_ref().map(|plan| plan.score),
            own.score
        ));
        outcome.plan = None;
        return;
    }
    outcome.plan = Some(Plan {
        order: own.timeline.order.clone(),
        setups: own.timeline.setups.clone(),
        score: own.score,
    });
    outcome.bound = outcome.bound.map(|bound| bound.min(own.score));
}

/// A class and the same class with changes.
#[derive(Debug, Clone)]
pub struct Tried {
    /// What is different.
    pub wanted: Wanted,
    /// The class as it is.
    pub before: Answer,
    /// The class with the changes.
    pub after: Answer,
}

/// Plans a class as it is and with changes, each within half of the limits.
///
/// # Errors
/// What is wrong with the changes, or with the class that they make.
pub fn try_out(
    prepared: &Prepared,
    wanted: &Wanted,
    limits: &Limits,
    progress: &mut dyn FnMut(&Progress),
) -> Result<Tried, Vec<Diagnostic>> {
    let brief = changed(&prepared.brief, &prepared.texts.known, wanted)?;
    let compiled = compile(&brief, &prepared.compiled.apparatus)?;
    let other = Prepared {
        brief: Arc::new(brief),
        compiled: Arc::new(compiled),
        ..prepared.clone()
    };
    let first = limits.share(2);
    let second = Limits {
        nodes: first.nodes,
        ..limits.clone()
    };
    let mut planned = |class: &Prepared, limits: &Limits| {
        let outcome = solve(&class.compiled.problem, limits, progress);
        judged(class, outcome, limits).0
    };
    Ok(Tried {
        wanted: wanted.clone(),
        before: planned(prepared, &first),
        after: planned(&other, &second),
    })
}

/// An answer with its reasons.
#[derive(Debug, Clone)]
pub struct Explained {
    /// The answer.
    pub answer: Answer,
    /// Why its order is as it is; nothing where there is no order.
    pub why: Explanation,
    /// Whether somebody asked to stop before all of it was worked out.
    pub interrupted: bool,
}

/// Plans a class and finds out why its order is as it is, with so many searches at a time. The plan may take half of the limits at most.
/// `news`: what is looked into now.
pub fn explain(
    prepared: &Prepared,
    limits: &Limits,
    threads: usize,
    progress: &mut dyn FnMut(&Progress),
    news: &mut dyn FnMut(&'static str),
) -> Explained {
    let first = limits.share(2);
    let answer = plan(prepared, &first, progress);
    let why = match &answer.best {
        None => Explanation::default(),
        Some(best) => explanation(
            &answer.compiled,
            &answer.outcome,
            best,
            &mut Allowance::after(limits, &answer.outcome).on_threads(threads),
            news,
        ),
    };
    Explained {
        answer,
        why,
        interrupted: limits.cancelled(),
    }
}

/// Single changes to a brief that make an order possible. A list or a table has no lines for rules, so nothing is tried with it.
fn eased(prepared: &Prepared, conflict: &Conflict, allowance: &mut Allowance) -> Relaxations {
    let texts = &prepared.texts;
    if texts.format != ClassFormat::Brief {
        return Relaxations::default();
    }
    let reread = |text: &str| {
        let class = Source {
            name: texts.class.name.clone(),
            text: text.to_owned(),
        };
        let changed = Texts {
            class: Arc::new(class),
            ..Texts::clone(texts)
        };
        let read = prepare(&changed).ok()?;
        Some((read.brief, read.compiled))
    };
    let class = (Arc::clone(&prepared.brief), Arc::clone(&prepared.compiled));
    relaxations(&class, conflict, &reread, allowance)
}

/// Her own order: the list as written, first side before second, no breather, with the cheapest set-ups, its broken rules counted.
///
/// `None` if no set-ups were found within [`OWN_ORDER`] expanded states. Of `limits` only the flag that stops a search counts.
pub fn as_given(problem: &Problem, limits: &Limits) -> Option<AsGiven> {
    let order: Vec<usize> = (0..problem.steps.len())
        .filter(|&s| problem.steps[s].optional.is_none())
        .collect();
    let limits = Limits {
        nodes: Some(OWN_ORDER),
        stop: limits.stop.clone(),
        ..Limits::default()
    };
    let (setups, proven) = best_setups(problem, &order, &limits)?;
    Some(AsGiven {
        found: evaluate(problem, &order, &setups),
        proven,
    })
}
