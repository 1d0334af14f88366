//! What an order saves against another, change-over by change-over.

use crate::problem::timeline::Timeline;
use crate::score::Evaluation;

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

/// What one order saves against another. Numbers above 0 are savings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Savings {
    /// Stops saved.
    pub stops: i64,
    /// Change-over time saved, hundredths.
    pub changeover: i64,
    /// Broken wishes saved, each violation counted (parts of a class outside its middle count as one).
    pub wishes: i64,
    /// Broken demands that must hold saved.
    pub musts: i64,
    /// Change-overs of the order as given that the new one has not, dearest first.
    pub gone: Vec<Link>,
    /// Change-overs of the new order that the order as given has not, dearest first.
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
pub fn savings(as_given: &Evaluation, best: &Evaluation) -> Savings {
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
    let musts = |e: &Evaluation| as_count(e.broken.len());
    Savings {
        stops: as_given.stops - best.stops,
        changeover: as_given.changeover - best.changeover,
        wishes: broken_wishes(as_given) - broken_wishes(best),
        musts: musts(as_given) - musts(best),
        gone: missing(&old, &new),
        new: missing(&new, &old),
        altered,
    }
}

/// How many wishes an order leaves unmet.
pub fn broken_wishes(evaluation: &Evaluation) -> i64 {
    let unmet = (0..evaluation.counts.len())
        .filter(|k| evaluation.counts[*k] > 0 && !evaluation.broken.contains(k))
        .count();
    as_count(unmet)
}

fn as_count(n: usize) -> i64 {
    i64::try_from(n).expect("a class has few demands")
}

#[cfg(test)]
mod tests {
    use super::*;

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
        let found = savings(&given, &best);
        assert_eq!(found.changeover, 40);
        let ends = |links: &[Link]| links.iter().map(|l| (l.from, l.to)).collect::<Vec<_>>();
        assert_eq!(ends(&found.gone), [(Some(0), Some(1)), (Some(1), Some(2))]);
        assert_eq!(ends(&found.new), [(Some(2), Some(1)), (Some(0), Some(2))]);
        assert!(found.altered.is_empty());
    }
}
