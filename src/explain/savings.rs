//! What an order saves against another, change-over by change-over.

use crate::compile::Compiled;
use crate::problem::timeline::Timeline;
use crate::score::Evaluation;
use crate::source::Span;

/// One change-over of an order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Link {
    /// The step before; `None` at the start of the class.
    pub from: Option<usize>,
    /// The step after; `None` at the end of the class.
    pub to: Option<usize>,
    /// Hundredths.
    pub time: i64,
    /// Whether it halts the class.
    pub stop: bool,
}

/// An order with the class that it was judged in.
pub type Judged<'a> = (&'a Compiled, &'a Evaluation);

/// What one order saves against another. Numbers above 0 are savings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Savings {
    /// Stops saved.
    pub stops: i64,
    /// Change-over time saved, hundredths.
    pub changeover: i64,
    /// Rules that may give way and are broken, saved: each counts once, however many places it is broken at.
    pub wishes: i64,
    /// Broken rules that must hold, saved; each counts once.
    pub musts: i64,
    /// Change-overs of the order as given that the new one lacks, dearest first.
    pub gone: Vec<Link>,
    /// Change-overs of the new order that the order as given lacks, dearest first.
    pub new: Vec<Link>,
    /// Change-overs that both have but that take another time: as given, then new.
    pub altered: Vec<(Link, Link)>,
}

/// The change-overs of an order, the final one included if it takes time or halts.
pub fn links(timeline: &Timeline) -> Vec<Link> {
    let mut links: Vec<Link> = (0..timeline.order.len())
        .map(|i| Link {
            from: i.checked_sub(1).map(|before| timeline.order[before]),
            to: Some(timeline.order[i]),
            time: timeline.start[i] - timeline.changeover_start[i],
            stop: timeline.stops[i],
        })
        .collect();
    if timeline.final_changeover > 0 || timeline.final_stop {
        links.push(Link {
            from: timeline.order.last().copied(),
            to: None,
            time: timeline.final_changeover,
            stop: timeline.final_stop,
        });
    }
    links
}

/// What `best` saves against `as_given`.
pub fn savings(as_given: Judged<'_>, best: Judged<'_>) -> Savings {
    let wishes = broken_wishes(as_given.0, as_given.1) - broken_wishes(best.0, best.1);
    let musts = broken_musts(as_given.0, as_given.1) - broken_musts(best.0, best.1);
    let (as_given, best) = (as_given.1, best.1);
    let (old, new) = (links(&as_given.timeline), links(&best.timeline));
    let same = |a: &Link, b: &Link| a.from == b.from && a.to == b.to;
    let missing = |these: &[Link], those: &[Link]| {
        let mut found: Vec<Link> = these
            .iter()
            .filter(|a| !those.iter().any(|b| same(a, b)))
            .copied()
            .collect();
        found.sort_by_key(|l| (-l.time, l.from, l.to));
        found
    };
    let altered = old
        .iter()
        .filter_map(|a| {
            new.iter()
                .find(|b| same(a, b) && (a.time, a.stop) != (b.time, b.stop))
                .map(|b| (*a, *b))
        })
        .collect();
    Savings {
        stops: as_given.stops - best.stops,
        changeover: as_given.changeover - best.changeover,
        wishes,
        musts,
        gone: missing(&old, &new),
        new: missing(&new, &old),
        altered,
    }
}

/// How many rules that may give way an order does not keep. A rule that asks for several things, or that one step breaks in several places,
/// counts once: one line of the class, or one that holds unasked.
pub fn broken_wishes(compiled: &Compiled, evaluation: &Evaluation) -> i64 {
    rules(compiled, evaluation, false)
}

/// How many rules that must hold an order does not keep.
pub fn broken_musts(compiled: &Compiled, evaluation: &Evaluation) -> i64 {
    rules(compiled, evaluation, true)
}

fn rules(compiled: &Compiled, evaluation: &Evaluation, must: bool) -> i64 {
    let mut found: Vec<(&str, Option<usize>)> = (0..evaluation.counts.len())
        .filter(|k| evaluation.counts[*k] > 0 && evaluation.broken.contains(k) == must)
        .map(|k| {
            let entry = &compiled.ledger.entries[k];
            (entry.rule.title, entry.span.as_ref().map(Span::line))
        })
        .collect();
    found.sort_unstable();
    found.dedup();
    as_count(found.len())
}

fn as_count(n: usize) -> i64 {
    i64::try_from(n).expect("a class has few demands")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::sample::compiled;

    fn class(order: &[usize], times: &[i64]) -> Evaluation {
        let mut now = 0;
        let mut timeline = Timeline {
            order: order.to_vec(),
            stops: vec![false; order.len()],
            ..Timeline::default()
        };
        for time in times {
            timeline.changeover_start.push(now);
            timeline.start.push(now + time);
            now += time + 100;
            timeline.end.push(now);
        }
        Evaluation {
            timeline,
            changeover: times.iter().sum(),
            ..Evaluation::default()
        }
    }

    #[test]
    fn the_links_that_go_and_those_that_come_are_told_apart() {
        let given = class(&[0, 1, 2], &[5, 50, 20]);
        let best = class(&[0, 2, 1], &[5, 10, 20]);
        let made = compiled();
        let found = savings((&made.compiled, &given), (&made.compiled, &best));
        assert_eq!(found.changeover, 40);
        let ends = |links: &[Link]| links.iter().map(|l| (l.from, l.to)).collect::<Vec<_>>();
        assert_eq!(ends(&found.gone), [(Some(0), Some(1)), (Some(1), Some(2))]);
        assert_eq!(ends(&found.new), [(Some(2), Some(1)), (Some(0), Some(2))]);
        assert!(found.altered.is_empty());
    }
}
