//! The rest of a class that is late: `late --json`.

use serde::Serialize;

use super::class::Class;
use super::orders::{Beside, Machine};
use super::seconds;
use crate::answer::class;
use crate::exchange::version::{VERSION, Version};
use crate::orders::late::{self, Begun, Rest, as_class};
use crate::report::rest::{cut_names, shown, taught};

/// The rest of a class that is late: what `late --json` prints.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Late {
    /// The version of this format.
    pub segue_late: Version,
    /// The title of the class; may be empty.
    pub title: String,
    /// The machine that it is planned on.
    pub machine: Machine,
    /// The place that comes next.
    pub from: usize,
    /// The time that is left.
    pub left_seconds: f64,
    /// How far it is behind the plan. Below 0: ahead.
    pub behind_seconds: f64,
    /// Whether the rest fits without a cut.
    pub fits: bool,
    /// By how much it does not. Below 0: to spare.
    pub too_long_seconds: f64,
    /// Whether all choices of so few cuts were looked at.
    pub settled: bool,
    /// Whether the rest is in its best order.
    pub rest_is_proven: bool,
    /// Whether the plan of the class is the best, so that planned again it begins as it did.
    pub plan_is_proven: bool,
    /// Whether somebody asked to stop before all of it was worked out.
    pub interrupted: bool,
    /// What could be cut so that it fits, the one that leaves the best class first.
    pub cuts: Vec<Cut>,
    /// The rest with the first cut, or whole.
    pub rest: Class,
}

impl Late {
    /// The rest of a class.
    pub fn new(prepared: &class::Class, begun: &Begun, found: &late::Late) -> Self {
        let cuts = found.cuts.iter();
        Self {
            segue_late: VERSION,
            title: prepared.brief.title.clone(),
            machine: Machine::of(&prepared.compiled),
            from: begun.done + 1,
            left_seconds: seconds(begun.left),
            behind_seconds: seconds(begun.behind),
            fits: found.fits(),
            too_long_seconds: seconds(found.whole.found.timeline.finish - found.until),
            settled: found.settled,
            rest_is_proven: shown(found).proven,
            plan_is_proven: begun.plan_is_proven,
            interrupted: found.interrupted,
            cuts: cuts.map(|c| Cut::new(prepared, begun, found, c)).collect(),
            rest: Class::from(&taught(prepared, begun, shown(found))),
        }
    }
}

/// Movements without which the rest fits.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Cut {
    /// Their names.
    pub movements: Vec<String>,
    /// Their steps.
    pub steps: Vec<usize>,
    /// What they save of the time of the rest.
    pub saves_seconds: f64,
    /// What is left of the time then.
    pub to_spare_seconds: f64,
    /// The class without them less the whole class.
    pub beside_whole: Beside,
    /// The whole class without them.
    pub order: Vec<usize>,
    /// For each step of the order one value for each facet.
    pub setups: Vec<Vec<usize>>,
}

impl Cut {
    fn new(prepared: &class::Class, begun: &Begun, found: &late::Late, cut: &Rest) -> Self {
        let (before, whole) = as_class(&prepared.compiled, &found.whole);
        let (after, rest) = as_class(&prepared.compiled, cut);
        let steps = cut.cut.iter().flat_map(|&k| &begun.movements[k]);
        let timeline = &cut.found.timeline;
        Self {
            movements: cut_names(prepared, begun, cut),
            steps: steps.copied().collect(),
            saves_seconds: seconds(cut.saves),
            to_spare_seconds: seconds(found.until - timeline.finish),
            beside_whole: Beside::new((&before, &whole), (&after, &rest)),
            order: timeline.order.iter().map(|&s| cut.steps[s]).collect(),
            setups: timeline.setups.clone(),
        }
    }
}
