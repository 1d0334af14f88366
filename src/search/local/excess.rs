//! How far an order is from keeping a demand that must hold: a guide for the walk between orders, and no more. What holds is said by the demands
//! themselves.

use crate::problem::demand::Kind;
use crate::problem::demand::follow::Follow;
use crate::problem::demand::longest::Longest;
use crate::problem::demand::recovery::Recovery;
use crate::problem::step::Step;
use crate::problem::timeline::Timeline;

/// One violation, with nothing said of how bad it is.
pub const UNIT: i64 = 100;
/// What lacks so much counts as one violation more (hundredths).
const LACK: i64 = 6000;

/// How far a demand with `count` violations is broken, in parts of [`UNIT`]: once for each violation, and more where more is missing.
pub fn excess(kind: &Kind, count: i64, steps: &[Step], timeline: &Timeline) -> i64 {
    let of_order = |places: i64| UNIT * places / timeline.order.len().max(1) as i64;
    let of_time = |hundredths: i64| UNIT * hundredths / LACK;
    let more = match kind {
        Kind::Peak(_) => return UNIT + of_time(count),
        Kind::AtMost(d) => UNIT * (timeline.facet_changes[d.facet] - d.changes - 1),
        Kind::Fits(d) => of_time(timeline.finish - d.total),
        Kind::Window(d) => (timeline.index_of(d.step)).map_or(0, |at| {
            let start = timeline.start[at];
            of_time((d.from - start).max(start - d.to))
        }),
        Kind::Place(d) => (timeline.index_of(d.step)).map_or(0, |at| {
            let count = timeline.order.len() as i64;
            let place = |p: i64| if p < 0 { count + p } else { p - 1 };
            of_order((place(d.min) - at as i64).max(at as i64 - place(d.max)))
        }),
        Kind::Recovery(d) => of_time(rest_missing(d, steps, timeline)),
        Kind::Longest(d) => of_time(too_long(d, timeline)),
        Kind::Follow(d) => of_order(places_to_remedy(d, timeline)),
        Kind::Precede(_)
        | Kind::Contiguous(_)
        | Kind::Same(_)
        | Kind::Neighbours(_)
        | Kind::Fatigue(_) => 0,
    };
    UNIT * count + more.max(0)
}

/// Steps that it may help to move where a demand is broken; empty: any.
pub fn movable(kind: &Kind) -> Vec<usize> {
    match kind {
        Kind::Precede(d) => vec![d.a, d.b],
        Kind::Contiguous(d) => d.steps.clone(),
        Kind::Place(d) => vec![d.step],
        Kind::Window(d) => vec![d.step],
        Kind::Peak(d) => vec![d.step],
        Kind::Follow(d) => d.trigger.iter().chain(&d.remedy).copied().collect(),
        Kind::Recovery(d) => d.steps.clone(),
        Kind::Longest(d) => d.steps.clone(),
        Kind::Same(d) => d.steps.clone(),
        Kind::Neighbours(d) => d.pairs.iter().flat_map(|&(a, b)| [a, b]).collect(),
        Kind::Fatigue(d) => d.loads.iter().map(|&(s, _)| s).collect(),
        Kind::AtMost(_) | Kind::Fits(_) => Vec::new(),
    }
}

/// Rest that is missing between neighbouring members, in all (hundredths).
fn rest_missing(demand: &Recovery, steps: &[Step], timeline: &Timeline) -> i64 {
    let mut missing = 0;
    let mut last: Option<usize> = None;
    for (place, s) in timeline.order.iter().enumerate() {
        if !demand.steps.contains(s) {
            continue;
        }
        if let Some(before) = last {
            let group = steps[timeline.order[before]].group;
            let exempt = group.is_some() && group == steps[*s].group;
            let rest = timeline.start[place] - timeline.end[before];
            missing += if exempt {
                0
            } else {
                (demand.seconds - rest).max(0)
            };
        }
        last = Some(place);
    }
    missing
}

/// By how much stretches pass their limit, in all (hundredths).
fn too_long(demand: &Longest, timeline: &Timeline) -> i64 {
    let mut passed = 0;
    let mut stretch: Option<(i64, i64)> = None;
    let over = |stretch: Option<(i64, i64)>| {
        stretch.map_or(0, |(first, last)| (last - first - demand.limit).max(0))
    };
    for (place, s) in timeline.order.iter().enumerate() {
        if demand.steps.contains(s) {
            let (start, end) = (timeline.start[place], timeline.end[place]);
            let goes_on = stretch.filter(|&(_, last)| start - last < demand.rest);
            if goes_on.is_none() {
                passed += over(stretch);
            }
            stretch = Some((goes_on.map_or(start, |(first, _)| first), end));
        }
    }
    passed + over(stretch)
}

/// From each run of triggers without a remedy to the next remedy, or the end, in places, in all.
fn places_to_remedy(demand: &Follow, timeline: &Timeline) -> i64 {
    let order = &timeline.order;
    let mut far = 0;
    for place in (0..order.len()).filter(|&p| demand.trigger.contains(&order[p])) {
        let after = &order[place + 1..];
        if (after.first()).is_some_and(|s| demand.trigger.contains(s)) {
            continue;
        }
        let next = after.iter().position(|s| demand.remedy.contains(s));
        far += (next.unwrap_or(order.len()) as i64 - demand.within + 1).max(0);
    }
    far
}
