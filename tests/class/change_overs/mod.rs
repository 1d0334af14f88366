//! Change-overs of the built-in machines for the tests that read them: every movement and side with its preferred set-up, and words back to
//! acts.

use crate::reading::source;
use segue::compile::{Compiled, compile};
use segue::diagnostic::Diagnostic;
use segue::lesson::changeover::{Changeover, Cue, Stand, changeover};
use segue::model::act::Act;
use segue::model::apparatus::Apparatus;
use segue::model::springs::SpringSet;
use segue::read::brief::{Known, brief};

/// A class with every movement that the machine serves, compiled.
pub fn whole_catalogue(known: &Known, machine: &Apparatus) -> Compiled {
    let served: Vec<&str> = (known.catalogue.movements.iter())
        .filter(|m| machine.cannot_serve(m).is_empty())
        .map(|m| m.name.as_str())
        .collect();
    listed(known, machine, &served)
}

/// A class with these movements, compiled for the machine.
pub fn listed(known: &Known, machine: &Apparatus, names: &[&str]) -> Compiled {
    let text = format!("breathers = 0\nlist = {names:?}\n");
    compiled(known, machine, &text).unwrap_or_else(|e| panic!("{e:#?}"))
}

/// A class as it is written, compiled for the machine.
pub fn compiled(
    known: &Known,
    machine: &Apparatus,
    text: &str,
) -> Result<Compiled, Vec<Diagnostic>> {
    let text = format!("apparatus = {:?}\n{text}", machine.id);
    let found = brief(&source("class.toml", &text), known, None);
    let class = (found.value).unwrap_or_else(|| panic!("{:#?}", found.diagnostics));
    compile(&class, machine)
}

/// Where a step starts and ends and what it asks for.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct State {
    /// Node at the start.
    pub start: usize,
    /// Node at the end.
    pub end: usize,
    /// A value for each facet, `None` if the step does not care.
    pub asks: Vec<Option<usize>>,
}

/// Every state once, with the springs that cost least or with each choice that fits.
pub fn states(compiled: &Compiled, every_choice: bool) -> Vec<State> {
    let mut all = Vec::new();
    for step in &compiled.problem.steps {
        let rest: Vec<Option<usize>> = (step.setup[1..].iter())
            .map(|c| Some(c.as_ref()?.iter().min_by_key(|c| c.penalty)?.value))
            .collect();
        let heads: Vec<Option<usize>> = match &step.setup[0] {
            None => vec![None],
            Some(choices) => {
                let least = choices.iter().map(|c| c.penalty).min();
                (choices.iter())
                    .filter(|c| every_choice || Some(c.penalty) == least)
                    .map(|c| Some(c.value))
                    .collect()
            }
        };
        for head in heads {
            let mut asks = vec![head];
            asks.extend(&rest);
            all.push(State {
                start: step.start,
                end: step.end,
                asks,
            });
        }
    }
    all.sort();
    all.dedup();
    all
}

/// The set-up of a state after another one: what it does not ask for stays.
pub fn after(asks: &[Option<usize>], before: &[usize]) -> Vec<usize> {
    (asks.iter().zip(before))
        .map(|(asked, &was)| asked.unwrap_or(was))
        .collect()
}

/// The change-over from one set-up and node to another.
pub fn between(
    compiled: &Compiled,
    from: (&[usize], Option<usize>),
    to: (&[usize], Option<usize>),
) -> Changeover {
    let stand = |(setup, posture)| Stand { setup, posture };
    changeover(compiled, stand(from), stand(to), 0, false)
}

/// Words back to acts, from a node on with these springs on. What the words leave open stays as it was in `said`'s place: nothing does.
pub fn heard(
    machine: &Apparatus,
    at: usize,
    springs: &SpringSet,
    values: &[usize],
    cues: &[Cue],
) -> Result<Vec<Act>, String> {
    let (mut at, mut springs, mut values) = (at, springs.clone(), values.to_vec());
    let mut acts = Vec::new();
    for cue in cues {
        let words = cue.said();
        let act = one(machine, at, &springs, &values, &words)
            .ok_or_else(|| format!("{words:?} is not one act"))?;
        match &act {
            Act::Close => {}
            Act::Go(m) => at = machine.postures.moves[*m].to,
            Act::Springs { to, .. } => springs = to.clone(),
            Act::Set { facet, to, .. } | Act::Turn { facet, to, .. } => values[*facet] = *to,
            Act::TakeOff { facet, .. } => values[*facet] = 0,
            Act::PutOn { facet, value } => values[*facet] = *value,
        }
        acts.push(act);
    }
    Ok(acts)
}

/// The one act that these words can mean there.
fn one(
    machine: &Apparatus,
    at: usize,
    springs: &SpringSet,
    values: &[usize],
    words: &str,
) -> Option<Act> {
    let mut found = Vec::new();
    if words == "carriage closed" {
        found.push(Act::Close);
    }
    if let Some(said) = words.strip_prefix("change springs: ") {
        let mut to = springs.clone();
        for part in said.split(", then ") {
            let (what, on) = match (part.strip_suffix(" on"), part.strip_suffix(" off")) {
                (Some(what), _) => (what, true),
                (None, Some(what)) => (what, false),
                (None, None) => return None,
            };
            for one in what.split(" and ") {
                let (n, label) = one.split_once(' ')?;
                let n: u32 = n.parse().ok()?;
                let class = (machine.springs.classes.iter()).position(|c| c.label == label)?;
                to.0[class] = if on {
                    to.0[class] + n
                } else {
                    to.0[class].checked_sub(n)?
                };
            }
        }
        let from = springs.clone();
        found.push(Act::Springs { from, to });
    }
    for (index, m) in machine.postures.moves.iter().enumerate() {
        if m.from == at && m.cue == words {
            found.push(Act::Go(index));
        }
    }
    for (facet, spec) in machine.facets.iter().enumerate() {
        let from = values[facet];
        for to in 0..spec.values.len() {
            if !spec.holds_things() {
                if to != from && spec.cues[to] == words {
                    found.push(Act::Set { facet, from, to });
                }
                continue;
            }
            if to != 0 && spec.cues[to] == words {
                found.push(Act::PutOn { facet, value: to });
            }
            if to != 0 && from != 0 && spec.turn_cues[to].as_deref() == Some(words) {
                found.push(Act::Turn { facet, from, to });
            }
            let off = spec.off_cues[to].as_ref().unwrap_or(&spec.cues[0]);
            if to == from && to != 0 && off == words {
                found.push(Act::TakeOff { facet, value: to });
            }
        }
    }
    (found.len() == 1).then(|| found.remove(0))
}
