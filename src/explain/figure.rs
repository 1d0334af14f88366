//! The figure of a demand as an order has it: how long it takes, how soon the remedy comes, how often a facet changes. What the figure of
//! the rule would have to be for the order to keep it.

use crate::problem::Problem;
use crate::problem::demand::Kind;
use crate::problem::timeline::Timeline;

/// The figure of a demand in an order: hundredths for times, counts for the others. `None`: it has none, or none would do.
pub fn figure(problem: &Problem, kind: &Kind, timeline: &Timeline) -> Option<f64> {
    let order = &timeline.order;
    let places = |steps: &[usize]| -> Vec<usize> {
        (0..order.len())
            .filter(|&i| steps.contains(&order[i]))
            .collect()
    };
    match kind {
        Kind::Fits(_) => Some(timeline.finish as f64),
        Kind::Recovery(d) => {
            let group = |i: usize| problem.steps[order[i]].group;
            places(&d.steps)
                .windows(2)
                .filter(|w| group(w[0]).is_none() || group(w[0]) != group(w[1]))
                .map(|w| (timeline.start[w[1]] - timeline.end[w[0]]) as f64)
                .reduce(f64::min)
        }
        Kind::Longest(d) => {
            let mut longest = None::<i64>;
            let (mut from, mut last) = (0, None::<usize>);
            for i in places(&d.steps) {
                if last.is_none_or(|last| timeline.start[i] - timeline.end[last] >= d.rest) {
                    from = timeline.start[i];
                }
                last = Some(i);
                longest = longest.max(Some(timeline.end[i] - from));
            }
            longest.map(|time| time as f64)
        }
        Kind::Follow(d) => {
            let is_trigger = |i: usize| d.trigger.contains(&order[i]);
            let ends = (0..order.len())
                .filter(|&i| is_trigger(i) && (i + 1 == order.len() || !is_trigger(i + 1)));
            let mut most = 0;
            for end in ends {
                let next = (end + 1..order.len())
                    .find(|&i| d.remedy.contains(&order[i]) || is_trigger(i))?;
                if !d.remedy.contains(&order[next]) {
                    return None;
                }
                most = most.max(next - end);
            }
            Some(most as f64)
        }
        Kind::AtMost(d) => Some(timeline.facet_changes[d.facet] as f64),
        Kind::Contiguous(d) => {
            let places = places(&d.steps);
            let in_order = places.windows(2).count() + 1 >= d.steps.len()
                && (d.steps.windows(2)).all(|w| timeline.index_of(w[0]) < timeline.index_of(w[1]));
            if d.ordered && !in_order {
                return None;
            }
            let (first, last) = (places.first()?, places.last()?);
            Some((last + 1 - first - places.len()) as f64)
        }
        Kind::Neighbours(d) => {
            let kept = (order.windows(2)).filter(|w| d.pairs.contains(&(w[0], w[1])));
            Some(kept.count() as f64)
        }
        Kind::Fatigue(d) => (d.shares(timeline).iter())
            .map(|&(_, share)| share)
            .reduce(f64::max),
        Kind::Place(d) => timeline.index_of(d.step).map(|i| (i + 1) as f64),
        Kind::Window(d) => timeline.index_of(d.step).map(|i| timeline.start[i] as f64),
        Kind::Precede(_) | Kind::Same(_) | Kind::Peak(_) => None,
    }
}

/// How a figure is written in a brief: in whole steps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// The key in the table of the rule.
    pub setting: &'static str,
    /// One step, as [`figure`] counts.
    pub step: f64,
    /// One step, as it is written.
    pub written: f64,
    /// Whether a greater figure asks for less.
    pub up: bool,
    /// The figure as it is, in steps.
    pub now: i64,
}

/// The scale of a demand; `None` if it has no figure that could ask for less.
pub fn scale(kind: &Kind) -> Option<Scale> {
    let scale = |setting, step: f64, written, up, now: f64| {
        let now = if up {
            (now / step).floor()
        } else {
            (now / step).ceil()
        };
        Some(Scale {
            setting,
            step,
            written,
            up,
            now: now as i64,
        })
    };
    match kind {
        Kind::Fits(d) => scale("minutes", 6_000.0, 1.0, true, d.total as f64),
        Kind::Recovery(d) => scale("seconds", 500.0, 5.0, false, d.seconds as f64),
        Kind::Longest(d) => scale("seconds", 500.0, 5.0, true, d.limit as f64),
        Kind::Follow(d) => scale("within", 1.0, 1.0, true, d.within as f64),
        Kind::Contiguous(d) => scale("within", 1.0, 1.0, true, d.within as f64),
        Kind::AtMost(d) => scale("changes", 1.0, 1.0, true, d.changes as f64),
        Kind::Neighbours(d) => match (d.least, d.most) {
            (Some(least), _) => scale("least", 1.0, 1.0, false, least as f64),
            (None, Some(most)) => scale("most", 1.0, 1.0, true, most as f64),
            (None, None) => None,
        },
        Kind::Fatigue(d) => scale("ceiling", 0.05, 0.05, true, d.ceiling),
        Kind::Precede(_) | Kind::Same(_) | Kind::Peak(_) | Kind::Place(_) | Kind::Window(_) => None,
    }
}

impl Scale {
    /// The figure nearest to the one as written that an order with this figure keeps, in steps.
    pub fn of(&self, figure: f64) -> i64 {
        let steps = figure / self.step;
        if self.up {
            steps.ceil() as i64
        } else {
            steps.floor() as i64
        }
    }

    /// Of two figures the one that asks for less.
    pub fn laxer(&self, a: i64, b: i64) -> i64 {
        if self.up { a.max(b) } else { a.min(b) }
    }

    /// A figure as it is written.
    pub fn text(&self, steps: i64) -> String {
        let value = steps as f64 * self.written;
        // At most two places after the point, and none that says nothing.
        format!("{}", (value * 100.0).round() / 100.0)
    }
}
