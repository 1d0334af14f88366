//! Single changes to a brief that may make an order possible where there is none: each is a text that the teacher could have written instead.
//!
//! Only what the conflict names is eased, since nothing else can help: without any change to its demands they still cannot hold together.

use super::edit;
use crate::brief::{Brief, Entry, Length};
use crate::compile::Compiled;
use crate::model::movement::SpringNeed;
use crate::problem::demand::Kind;
use crate::rules::breathers::Breathers;
use crate::rules::fits::Fits;
use crate::rules::ledger::RuleName;
use crate::rules::rule::Rule as _;
use crate::source::Span;

/// A single change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Easing {
    /// A rule becomes a wish.
    Wish {
        /// What the rule asks for.
        rule: String,
    },
    /// A rule asks for less.
    Less {
        /// The rule.
        rule: String,
        /// The setting.
        setting: &'static str,
        /// What it becomes, as it is written.
        becomes: String,
    },
    /// More minutes.
    Minutes {
        /// How many.
        becomes: String,
    },
    /// More short rests.
    Rests {
        /// How many of each.
        copies: u32,
    },
    /// Fewer repetitions in the whole class.
    Shorter,
    /// A line with springs of its own takes the movement's usual ones.
    Springs {
        /// The movement.
        movement: String,
    },
    /// A line of the list is left out.
    Without {
        /// The movement.
        movement: String,
    },
}

/// A change and the brief with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Candidate {
    /// The change.
    pub easing: Easing,
    /// The whole text of the brief with it.
    pub text: String,
}

/// A rule of a conflict: those of its demands that the conflict names, and where it is written.
#[derive(Debug, Clone, PartialEq)]
pub struct Blamed {
    /// The rule.
    pub rule: RuleName,
    /// Where it is written; `None`: it holds unasked.
    pub span: Option<Span>,
    /// What it asks for.
    pub sentence: String,
    /// Its demands in the conflict.
    pub demands: Vec<usize>,
}

/// The rules of a conflict.
pub fn blamed(compiled: &Compiled, demands: &[usize]) -> Vec<Blamed> {
    let mut found: Vec<Blamed> = Vec::new();
    for &k in demands {
        let entry = &compiled.ledger.entries[k];
        let same = |b: &&mut Blamed| b.rule == entry.rule && b.span == entry.span;
        match found.iter_mut().find(same) {
            Some(rule) => rule.demands.push(k),
            None => found.push(Blamed {
                rule: entry.rule,
                span: entry.span.clone(),
                sentence: entry.sentence.clone(),
                demands: vec![k],
            }),
        }
    }
    found
}

/// The brief with a rule as a wish.
pub fn as_wish(text: &str, rule: &Blamed) -> Option<Candidate> {
    // Not in the rule book: two rests in a row are one, and nothing else.
    if rule.rule == Breathers::NAME {
        return None;
    }
    let name = rule.rule.key;
    Some(Candidate {
        easing: Easing::Wish {
            rule: rule.sentence.clone(),
        },
        text: edit::in_rule(text, rule.span.as_ref(), name, "need", "\"prefer\"")?,
    })
}

/// The brief with a setting of a rule changed.
pub fn with_figure(
    text: &str,
    rule: &Blamed,
    setting: &'static str,
    becomes: String,
) -> Option<Candidate> {
    if rule.rule == Fits::NAME {
        return Some(Candidate {
            text: edit::at_top(text, "minutes", &becomes)?,
            easing: Easing::Minutes { becomes },
        });
    }
    let name = rule.rule.key;
    Some(Candidate {
        text: edit::in_rule(text, rule.span.as_ref(), name, setting, &becomes)?,
        easing: Easing::Less {
            rule: rule.sentence.clone(),
            setting,
            becomes,
        },
    })
}

/// Changes that are not to the rules themselves.
pub fn others(text: &str, brief: &Brief, compiled: &Compiled, demands: &[usize]) -> Vec<Candidate> {
    let problem = &compiled.problem;
    let kinds = || demands.iter().map(|&k| &problem.demands[k].kind);
    let mut found = Vec::new();
    let restful = |kind: &Kind| {
        matches!(
            kind,
            Kind::Follow(_) | Kind::Recovery(_) | Kind::Longest(_) | Kind::Fatigue(_)
        )
    };
    let rests = &brief.rules.breathers;
    let copies = rests.copies + 1;
    if kinds().any(restful)
        && copies <= 6
        && let Some(text) = edit::in_breathers(text, rests.span.as_ref(), copies)
    {
        let easing = Easing::Rests { copies };
        found.push(Candidate { easing, text });
    }
    let named = |e: usize| {
        let of_entry = |s: &usize| compiled.class.steps[*s].entry == Some(e);
        kinds().any(|kind| members(kind, problem.steps.len()).iter().any(of_entry))
    };
    let in_text = |entry: &Entry| entry.span.source == brief.span.source;
    let name = |entry: &Entry| {
        let movement = brief.catalogue.get(&entry.movement);
        movement.map_or_else(|| entry.movement.clone(), |m| m.name.clone())
    };
    for (e, entry) in brief.entries.iter().enumerate() {
        if entry.springs.is_none() || !named(e) || !in_text(entry) {
            continue;
        }
        let usual = brief.catalogue.get(&entry.movement).map(|m| &m.springs);
        let value = match usual {
            Some(SpringNeed::Range { from, to, prefer }) => {
                format!("{{ from = {from}, to = {to}, prefer = {prefer} }}")
            }
            Some(SpringNeed::Any { .. }) => "\"any\"".to_owned(),
            Some(SpringNeed::Locked | SpringNeed::Sets(_)) | None => continue,
        };
        if let Some(text) = edit::in_entry(text, &entry.span, "springs", &value) {
            let movement = name(entry);
            found.push(Candidate {
                easing: Easing::Springs { movement },
                text,
            });
        }
    }
    if kinds().any(|kind| matches!(kind, Kind::Fits(_)))
        && brief.length != Length::Short
        && let Some(text) = edit::at_top(text, "length", "\"short\"")
    {
        let easing = Easing::Shorter;
        found.push(Candidate { easing, text });
    }
    for (e, entry) in brief.entries.iter().enumerate() {
        if named(e)
            && in_text(entry)
            && let Some(text) = edit::without_entry(text, &entry.span)
        {
            let movement = name(entry);
            found.push(Candidate {
                easing: Easing::Without { movement },
                text,
            });
        }
    }
    found
}

/// The steps that a demand looks at.
fn members(kind: &Kind, steps: usize) -> Vec<usize> {
    match kind {
        Kind::Precede(d) => vec![d.a, d.b],
        Kind::Contiguous(d) => d.steps.clone(),
        Kind::Place(d) => vec![d.step],
        Kind::Window(d) => vec![d.step],
        Kind::Follow(d) => [&d.trigger[..], &d.remedy[..]].concat(),
        Kind::Recovery(d) => d.steps.clone(),
        Kind::Longest(d) => d.steps.clone(),
        Kind::Same(d) => d.steps.clone(),
        Kind::Neighbours(d) => d.pairs.iter().flat_map(|&(a, b)| [a, b]).collect(),
        Kind::Fatigue(d) => d.loads.iter().map(|&(step, _)| step).collect(),
        Kind::Peak(d) => vec![d.step],
        Kind::AtMost(_) | Kind::Fits(_) => (0..steps).collect(),
    }
}
