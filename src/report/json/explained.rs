//! Why the best order is as it is: `explain --json`.
//!
//! Where a figure was not settled in the time it is null, or `costs_at_least_seconds` and `costs_at_most_seconds` differ.

use serde::Serialize;

use super::orders::Link;
use super::plan::Plan;
use super::seconds;
use crate::answer::explained::Explained;
use crate::brief::Brief;
use crate::compile::Compiled;
use crate::exchange::version::{VERSION, Version};
use crate::explain::difference::difference;
use crate::explain::elsewhere::{self, Other};
use crate::explain::price;
use crate::explain::savings::links;
use crate::explain::transition::{self, Avoided, Common};
use crate::explain::waste::{facet_name, value_name};
use crate::explain::words::sentence;
use crate::lesson::rule_report::{RuleReport, rule_reports};
use crate::report::explained::heading;
use crate::score::Evaluation;

/// Why the best order is as it is: what `explain --json` prints.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Explain {
    /// The version of this format.
    pub segue_explain: Version,
    /// The plan, as `plan --json` prints it.
    pub plan: Plan,
    /// Whether somebody asked to stop before all of it was worked out.
    pub interrupted: bool,
    /// What each rule costs, dearest first.
    pub rules: Vec<Price>,
    /// What each change-over that takes time or halts the class is for.
    pub transitions: Vec<Transition>,
    /// For each movement, block and series the cheapest other place with all else in its order.
    pub other_places: Vec<Elsewhere>,
}

impl Explain {
    /// An explanation with its plan.
    pub fn new(explained: &Explained) -> Self {
        let (answer, why) = (&explained.answer, &explained.why);
        let compiled = &*answer.compiled;
        let mut told = Self {
            segue_explain: VERSION,
            plan: Plan::new(answer, None),
            interrupted: explained.interrupted,
            rules: Vec::new(),
            transitions: Vec::new(),
            other_places: Vec::new(),
        };
        if let Some(best) = &answer.best {
            let reports = rule_reports(compiled, best);
            let priced = |p| Price::new((compiled, best), &reports, p);
            told.rules = why.prices.iter().map(priced).collect();
            let crossed = |t| Transition::new(compiled, t, &reports, &why.prices);
            told.transitions = why.transitions.iter().map(crossed).collect();
            let moved = |e| Elsewhere::new(&answer.brief, (compiled, best), e);
            told.other_places = why.elsewhere.iter().map(moved).collect();
        }
        told
    }
}

/// What a rule costs, and how the best order differs from the best one without it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Price {
    /// The rule.
    pub rule: String,
    /// The line of the brief that asks for it; null if it holds unasked.
    pub line: Option<usize>,
    /// Its demands in the problem.
    pub demands: Vec<usize>,
    /// It costs so much at least.
    pub costs_at_least_seconds: f64,
    /// It costs so much at most; null if nothing is known.
    pub costs_at_most_seconds: Option<f64>,
    /// Stops more than without it; null where no order was sought without it alone.
    pub stops: Option<i64>,
    /// Change-over time more than without it; null where no order was sought without it alone.
    pub changeover_seconds: Option<f64>,
}

impl Price {
    fn new(
        (compiled, best): (&Compiled, &Evaluation),
        reports: &[RuleReport],
        p: &price::Price,
    ) -> Self {
        let without = p.without.as_ref();
        let d = without.map(|without| difference((compiled, best), (compiled, without)));
        Self {
            rule: heading(reports, p).to_owned(),
            line: p.line,
            demands: p.demands.clone(),
            costs_at_least_seconds: compiled.seconds_of(p.at_least),
            costs_at_most_seconds: p.at_most.map(|c| compiled.seconds_of(c)),
            stops: d.map(|d| d.stops),
            changeover_seconds: d.map(|d| seconds(d.changeover)),
        }
    }
}

/// A change-over, what it is for and what an order without it costs.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Transition {
    /// Between which steps.
    #[serde(flatten)]
    pub link: Link,
    /// Of the step after it.
    pub place: usize,
    /// What is left of its time without the changes: the way from one position to the next.
    pub moving_seconds: f64,
    /// What is changed.
    pub changes: Vec<Changed>,
    /// What keeps it, as sentences.
    pub kept_by: Vec<String>,
    /// Rules without which it would be gone.
    pub gone_without: Vec<String>,
    /// What an order without it costs.
    pub without_it: Without,
}

impl Transition {
    fn new(
        compiled: &Compiled,
        t: &transition::Transition,
        reports: &[RuleReport],
        prices: &[price::Price],
    ) -> Self {
        let has = |e: &Evaluation| {
            links(&e.timeline)
                .iter()
                .any(|l| (l.from, l.to) == (t.link.from, t.link.to) && l.stop >= t.link.stop)
        };
        let gone = (prices.iter())
            .filter(|p| p.is_tight())
            .filter(|p| p.without.as_ref().is_some_and(|e| !has(e)));
        let kept_by = t.tied_by.iter().map(|&k| sentence(compiled, k));
        Self {
            link: (&t.link).into(),
            place: t.place,
            moving_seconds: seconds(t.way),
            changes: (t.changed.iter())
                .map(|c| Changed::new(compiled, c))
                .collect(),
            kept_by: kept_by.collect(),
            gone_without: gone.map(|p| heading(reports, p).to_owned()).collect(),
            without_it: Without::new(compiled, &t.avoided),
        }
    }
}

/// What an order without a transition costs.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
#[serde(untagged)]
pub enum Without {
    /// There is none, or none was sought.
    Word(WithoutWord),
    /// So much more.
    Costs(Costs),
}

impl Without {
    fn new(compiled: &Compiled, avoided: &Avoided) -> Self {
        match *avoided {
            Avoided::NotSought => Self::Word(WithoutWord::NotSought),
            Avoided::Never => Self::Word(WithoutWord::Impossible),
            Avoided::Costs { at_least, at_most } => Self::Costs(Costs {
                costs_at_least_seconds: compiled.seconds_of(at_least),
                costs_at_most_seconds: at_most.map(|c| compiled.seconds_of(c)),
            }),
        }
    }
}

/// Why there are no figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum WithoutWord {
    /// It was not looked for.
    #[serde(rename = "not sought")]
    NotSought,
    /// Every order has it.
    Impossible,
}

/// Between which two figures a cost lies.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Costs {
    /// So much at least.
    pub costs_at_least_seconds: f64,
    /// So much at most; null if nothing is known.
    pub costs_at_most_seconds: Option<f64>,
}

/// A change of one thing in a change-over.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Changed {
    /// What is changed.
    pub what: String,
    /// What it is before.
    pub from: String,
    /// What it is after.
    pub to: String,
    /// How long it takes, the way to reach it not counted.
    pub seconds: f64,
    /// The step that needs it; null: the end of the class.
    pub needed_by: Option<usize>,
    /// The step since which the old value stood; null: the start of the class.
    pub since: Option<usize>,
    /// Whether it is changed before the step that needs it is next.
    pub ahead_of_time: bool,
    /// A value that would serve both sides of it.
    pub serves_both: Option<String>,
    /// What that value costs more than the two.
    pub serves_both_costs_seconds: Option<f64>,
    /// Whether another movement of the class could be done on a value that the step after it allows.
    pub others_could: bool,
}

impl Changed {
    fn new(compiled: &Compiled, c: &transition::Changed) -> Self {
        let value = |v| value_name(compiled, c.facet, v);
        let (serves, dearer) = match c.common {
            Common::Nothing => (None, None),
            Common::Value { value: v, dearer } => {
                (Some(value(v)), Some(compiled.seconds_of(dearer)))
            }
        };
        Self {
            what: facet_name(compiled, c.facet),
            from: value(c.from),
            to: value(c.to),
            seconds: seconds(c.time),
            needed_by: c.needed_by,
            since: c.since,
            ahead_of_time: c.early,
            serves_both: serves,
            serves_both_costs_seconds: dearer,
            others_could: c.others_could,
        }
    }
}

/// The cheapest other place of a movement, a block or a series; none of the keys from `other_place` on where it can only stand where it is.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Elsewhere {
    /// What is moved, in order.
    pub steps: Vec<usize>,
    /// The name of the block or series; null for a movement.
    pub block: Option<String>,
    /// Of its first step.
    pub place: usize,
    /// Whether it was not settled.
    pub open: bool,
    /// Where else its first step would stand.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub other_place: Option<usize>,
    /// What that costs more.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub costs_seconds: Option<f64>,
    /// Stops more.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stops: Option<i64>,
    /// Change-over time more.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub changeover_seconds: Option<f64>,
    /// Demands that would break anywhere else.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub breaks: Option<Vec<usize>>,
}

impl Elsewhere {
    fn new(
        brief: &Brief,
        (compiled, best): (&Compiled, &Evaluation),
        e: &elsewhere::Elsewhere,
    ) -> Self {
        let mut told = Self {
            steps: e.unit.steps.clone(),
            block: e.unit.block.map(|b| brief.blocks[b].name.clone()),
            place: e.place,
            open: e.other == Other::Open,
            other_place: None,
            costs_seconds: None,
            stops: None,
            changeover_seconds: None,
            breaks: None,
        };
        match &e.other {
            Other::Place { place, evaluation } => {
                let d = difference((compiled, evaluation), (compiled, best));
                told.other_place = Some(*place);
                told.costs_seconds = Some(compiled.seconds_of(d.score));
                told.stops = Some(d.stops);
                told.changeover_seconds = Some(seconds(d.changeover));
            }
            Other::Breaks(demands) => told.breaks = Some(demands.clone()),
            Other::Nowhere | Other::Open => {}
        }
        told
    }
}
