//! Where and by how much a demand is broken, in words.
//!
//! The referee counts; this says which steps the count is about, read off the same timeline.

use super::wording::{clock, count, length};
use crate::compile::Compiled;
use crate::problem::demand::{Kind, longest::Longest, recovery::Recovery};
use crate::problem::timeline::Timeline;

/// The name of a step as it stands on paper.
pub fn name_of(compiled: &Compiled, step: usize) -> String {
    let step = &compiled.class.steps[step];
    super::wording::step(&compiled.class.movements[step.movement], step)
}

/// Where and by how much demand `k` is broken; empty if its sentence says it all. Call it only for a demand with `violations` of at least 1.
pub fn detail(compiled: &Compiled, timeline: &Timeline, k: usize, violations: i64) -> String {
    let name = |step: usize| name_of(compiled, step);
    let place = |step: usize| timeline.index_of(step).map(|i| i + 1);
    match &compiled.problem.demands[k].kind {
        Kind::Precede(d) => match (place(d.a), place(d.b)) {
            (Some(a), Some(b)) => format!(
                "{} stands at place {a}, {} at place {b}",
                name(d.a),
                name(d.b)
            ),
            _ => String::new(),
        },
        Kind::Contiguous(d) => {
            let mut places: Vec<usize> = d.steps.iter().filter_map(|&s| place(s)).collect();
            places.sort_unstable();
            match (places.first(), places.last()) {
                (Some(first), Some(last)) if last - first >= places.len() => format!(
                    "places {first} to {last}, with {} between",
                    count(
                        as_count(last + 1 - first - places.len()),
                        "other movement",
                        "other movements"
                    )
                ),
                _ => "they are together but not in this order".into(),
            }
        }
        Kind::Place(d) => {
            place(d.step).map_or_else(String::new, |p| format!("it stands at place {p}"))
        }
        Kind::Window(d) => timeline.index_of(d.step).map_or_else(String::new, |i| {
            let start = timeline.start[i];
            if start < d.from {
                format!(
                    "it starts at {}, {} too early",
                    clock(start),
                    length(d.from - start)
                )
            } else {
                format!(
                    "it starts at {}, {} too late",
                    clock(start),
                    length(start - d.to)
                )
            }
        }),
        Kind::Follow(d) => {
            let order = &timeline.order;
            let ends: Vec<String> = (0..order.len())
                .filter(|&i| {
                    d.trigger.contains(&order[i])
                        && order
                            .get(i + 1)
                            .is_none_or(|next| !d.trigger.contains(next))
                        && !remedied(order, i, d.within, &d.remedy, &d.trigger)
                })
                .map(|i| format!("{} at {}", name(order[i]), clock(timeline.start[i])))
                .collect();
            format!("after {}", ends.join("; after "))
        }
        Kind::Recovery(d) => recovery(compiled, timeline, d),
        Kind::Longest(d) => longest(compiled, timeline, d),
        Kind::AtMost(d) => format!(
            "it changes {}, {} too often",
            times(timeline.facet_changes[d.facet]),
            times(timeline.facet_changes[d.facet] - d.changes)
        ),
        Kind::Same(_) => match violations {
            1 => "one of them differs".into(),
            n => format!("{n} of them differ"),
        },
        Kind::Neighbours(d) => {
            let kept = d
                .pairs
                .iter()
                .filter(|&&(a, b)| timeline.order.windows(2).any(|w| w == [a, b]))
                .count();
            format!(
                "{} found so in the order",
                count(as_count(kept), "such pair", "such pairs")
            )
        }
        Kind::Fits(d) => format!(
            "it takes {}, {} too long",
            clock(timeline.finish),
            length(timeline.finish - d.total)
        ),
        Kind::Fatigue(d) => format!(
            "the {} would be tired beyond the ceiling at the end of {}",
            d.region,
            count(violations, "movement", "movements")
        ),
        Kind::Peak(_) => format!("{} outside", length(violations)),
    }
}

fn as_count(n: usize) -> i64 {
    i64::try_from(n).expect("a class has few steps")
}

fn times(n: i64) -> String {
    match n {
        1 => "once".into(),
        2 => "twice".into(),
        n => format!("{n} times"),
    }
}

fn remedied(order: &[usize], at: usize, within: i64, remedy: &[usize], trigger: &[usize]) -> bool {
    order[at + 1..]
        .iter()
        .take(usize::try_from(within).unwrap_or(0))
        .find(|step| remedy.contains(step) || trigger.contains(step))
        .is_some_and(|step| remedy.contains(step))
}

/// Each neighbouring two that lie too close, with the rest that there is.
fn recovery(compiled: &Compiled, timeline: &Timeline, demand: &Recovery) -> String {
    let members = members(timeline, &demand.steps);
    let group = |i: usize| compiled.problem.steps[timeline.order[i]].group;
    let close: Vec<String> = members
        .windows(2)
        .filter_map(|pair| {
            let (a, b) = (pair[0], pair[1]);
            let exempt = group(a).is_some() && group(a) == group(b);
            let rest = timeline.start[b] - timeline.end[a];
            (!exempt && rest < demand.seconds).then(|| {
                format!(
                    "{} and {}: {} of rest",
                    name_of(compiled, timeline.order[a]),
                    name_of(compiled, timeline.order[b]),
                    length(rest)
                )
            })
        })
        .collect();
    close.join("; ")
}

/// Each stretch that is too long, with its length.
fn longest(compiled: &Compiled, timeline: &Timeline, demand: &Longest) -> String {
    let mut stretches: Vec<(usize, usize)> = Vec::new();
    for i in members(timeline, &demand.steps) {
        match stretches.last_mut() {
            Some((_, last)) if timeline.start[i] - timeline.end[*last] < demand.rest => *last = i,
            _ => stretches.push((i, i)),
        }
    }
    let long: Vec<String> = stretches
        .into_iter()
        .map(|(a, b)| (a, b, timeline.end[b] - timeline.start[a]))
        .filter(|&(_, _, time)| time > demand.limit)
        .map(|(a, b, time)| {
            let over = length(time - demand.limit);
            let (from, to) = (
                name_of(compiled, timeline.order[a]),
                name_of(compiled, timeline.order[b]),
            );
            if a == b {
                format!("{from}: {}, {over} too long", length(time))
            } else {
                format!("{from} to {to}: {}, {over} too long", length(time))
            }
        })
        .collect();
    long.join("; ")
}

/// Places (index from 0) of the members in use, in order.
fn members(timeline: &Timeline, steps: &[usize]) -> Vec<usize> {
    (0..timeline.order.len())
        .filter(|&i| steps.contains(&timeline.order[i]))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::sample;
    use crate::problem::demand::{Demand, fits::Fits, follow::Follow, window::Window};
    use crate::score::evaluate;

    /// The detail of one demand put on the sample class in the order heavy, light, free.
    fn said(kind: Kind) -> String {
        let mut made = sample::compiled();
        let value = |class: &str| made.spring_value(class);
        let setups = vec![
            vec![value("heavy"), 0],
            vec![value("light"), 0],
            vec![value("none"), 0],
        ];
        made.compiled.problem.demands = vec![Demand { kind, weight: None }];
        let found = evaluate(&made.compiled.problem, &[0, 1, 2], &setups);
        assert_eq!(found.broken, [0], "{:?}", found.errors);
        detail(&made.compiled, &found.timeline, 0, found.counts[0])
    }

    #[test]
    fn too_short_a_rest_names_the_two_and_the_rest_that_there_is() {
        // Sitting up, a change of two springs and lying down again: 3.5 + 8 + 3.5 s.
        let demand = Recovery {
            steps: vec![0, 1],
            seconds: 6_000,
        };
        assert_eq!(
            said(Kind::Recovery(demand)),
            "heavy press and light press: 15 s of rest"
        );
    }

    #[test]
    fn a_class_that_does_not_fit_says_by_how_much() {
        let text = said(Kind::Fits(Fits { total: 6_000 }));
        assert!(text.ends_with("too long"), "{text}");
    }

    #[test]
    fn a_back_bend_at_the_end_is_named_with_its_time() {
        let text = said(Kind::Follow(Follow {
            trigger: vec![2],
            remedy: vec![0],
            within: 3,
        }));
        assert!(text.starts_with("after free press at "), "{text}");
    }

    #[test]
    fn a_start_outside_its_window_is_early_or_late() {
        let early = said(Kind::Window(Window {
            step: 0,
            from: 60_000,
            to: 90_000,
        }));
        assert!(early.ends_with("too early"), "{early}");
        let late = said(Kind::Window(Window {
            step: 2,
            from: 0,
            to: 100,
        }));
        assert!(late.ends_with("too late"), "{late}");
    }
}
