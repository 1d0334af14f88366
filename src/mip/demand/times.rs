//! Demands that look at the clock. `start(k)`, `end(k)`: of the step at place k; nobody waits, so times never fall from place to place, not even
//! past the last step in use.
//!
//! "Unless" is a row that the horizon, an upper bound on all times, makes say nothing.

use crate::mip::changeovers::Clock;
use crate::mip::columns::{Columns, broken};
use crate::mip::places::Places;
use crate::mip::program::{Linear, Program, Var};
use crate::problem::demand::fits::Fits;
use crate::problem::demand::longest::Longest;
use crate::problem::demand::peak::Peak;
use crate::problem::demand::recovery::Recovery;
use crate::problem::demand::window::Window;

/// At whichever place the step stands, that place starts in time.
pub(super) fn window(
    columns: &Columns,
    demand: &Window,
    weight: Option<i64>,
    program: &mut Program,
) {
    let clock = columns.clock();
    let broken = broken(weight, program);
    let from = demand.from.min(clock.horizon + 1);
    let late = (clock.horizon - demand.to).max(0);
    for k in 1..=columns.places.many {
        let here = columns.places.at(demand.step, k);
        if here.terms.is_empty() {
            continue;
        }
        program.at_most((here.clone() - broken.clone()) * from, clock.start(k));
        let elsewhere = Linear::from(1) - here + broken.clone();
        program.at_most(
            clock.start(k),
            elsewhere * late + demand.to.min(clock.horizon),
        );
    }
}

/// Between a member at place k and a later one at place l that is not exempt from it lies the rest.
///
/// Where it must hold, it is asked of all such pairs: of members in a row not all are of one group if the first and the last are not, and the
/// rest between two neighbours among them lies between those as well. A wish counts neighbours alone, each pair by its earlier
/// member: there the row says nothing where a member stands between.
pub(super) fn recovery(
    columns: &Columns,
    demand: &Recovery,
    weight: Option<i64>,
    program: &mut Program,
) {
    let (places, clock) = (columns.places, columns.clock());
    let steps = &columns.problem.steps;
    let rest = demand.seconds.min(clock.horizon + 1);
    let mut groups: Vec<Option<i64>> = demand.steps.iter().map(|&s| steps[s].group).collect();
    groups.sort_unstable();
    groups.dedup();
    let of = |group: Option<i64>, inside: bool| -> Vec<usize> {
        (demand.steps.iter().copied())
            .filter(|&s| (steps[s].group == group) == inside)
            .collect()
    };
    for k in 1..=places.many {
        let broken = broken(weight, program);
        for &group in &groups {
            let earlier = places.any(&of(group, true), k);
            let later = if group.is_some() {
                of(group, false)
            } else {
                demand.steps.clone()
            };
            if earlier.terms.is_empty() {
                continue;
            }
            for l in k + 1..=places.many {
                let mut both = earlier.clone() + places.any(&later, l) - 1 - broken.clone();
                if weight.is_some() {
                    both = both - places.between(&demand.steps, k + 1, l);
                }
                program.at_most(both * rest, clock.start(l) - clock.end(k));
            }
        }
    }
}

/// `opens[k]`: a stretch begins with the member at place k.
///
/// The first member opens one; another may only open one if the rest lies between it and every member before it. From a place that opens one to the
/// end of a later member is at most the limit, unless another is opened between or the stretch is counted as too long. Not to open one
/// where one could be opened makes a stretch longer, which helps nobody where the demand must hold; for a wish it could
/// make two into one, so there a member opens one unless less than the rest lies between it and its neighbour.
pub(super) fn longest(
    columns: &Columns,
    demand: &Longest,
    weight: Option<i64>,
    program: &mut Program,
) {
    let (places, clock) = (columns.places, columns.clock());
    let n = places.many;
    let rest = demand.rest.min(clock.horizon + 1);
    let limit = demand.limit.min(clock.horizon);
    let member = |k| places.any(&demand.steps, k);
    let opens: Vec<Var> = (0..=n).map(|_| program.binary()).collect();
    for (l, &opens) in opens.iter().enumerate().skip(1) {
        program.at_most(opens, member(l));
        let earlier = places.between(&demand.steps, 1, l);
        program.at_most(member(l) - earlier, opens);
        for k in 1..l {
            let gap = clock.start(l) - clock.end(k);
            program.at_most((member(k) + opens - 1) * rest, gap.clone());
            if weight.is_some() {
                let between = places.between(&demand.steps, k + 1, l);
                let no_neighbours = Linear::from(2) - member(k) - member(l) + between;
                let unless = (no_neighbours + opens) * (clock.horizon + 1);
                program.at_most(gap, unless + (rest - 1));
            }
        }
    }
    for k in 1..=n {
        let too_long = broken(weight, program);
        for l in k..=n {
            let opened: Linear = (k + 1..=l).map(|m| opens[m]).sum();
            let other = Linear::from(2) - opens[k] - member(l) + opened + too_long.clone();
            let length = clock.end(l) - clock.start(k);
            program.at_most(length, other * (clock.horizon - limit) + limit);
        }
    }
}

/// The class ends in time.
pub(super) fn fits(columns: &Columns, demand: &Fits, weight: Option<i64>, program: &mut Program) {
    let clock = columns.clock();
    if demand.total < clock.horizon {
        let broken = broken(weight, program);
        let late = broken * (clock.horizon - demand.total);
        program.at_most(clock.finish.clone(), late + demand.total);
    }
}

/// The part of the class opens and closes at whole hundredths, and the step lies inside; for a wish, all of it but what is outside is inside.
///
/// Whoever wants the step inside wants the part to open early and close late. `opens` is whole and at least `(from * finish - 999) / 1000`, so
/// at least the share rounded down; `closes` is whole and at most `to * finish / 1000`, so at most the share rounded down. `inside`
/// is 0, or no more than from one end to another of either span. What is outside costs, rounded down: `cost` is whole and at
/// least `(weight * outside - 99) / 100`.
pub(super) fn peak(columns: &Columns, demand: &Peak, weight: Option<i64>, program: &mut Program) {
    let (places, clock) = (columns.places, columns.clock());
    let length = columns.problem.steps[demand.step].duration;
    if length == 0 {
        // Nothing of it can lie outside.
        return;
    }
    let part = opening(clock, demand, program);
    let Some(weight) = weight else {
        for k in 1..=places.many {
            let here = places.at(demand.step, k);
            let start = clock.start(k);
            let unless = (Linear::from(1) - here.clone()) * part.latest;
            program.at_most(part.opens, start.clone() + unless);
            let unless = (Linear::from(1) - here) * (clock.horizon + length);
            program.at_most(start + length, unless + part.closes);
        }
        return;
    };
    let inside = program.time(length);
    let some = program.binary();
    program.at_most(inside, some * length);
    program.at_most(inside, places.used(demand.step) * length);
    let none = (Linear::from(1) - some) * (part.latest + length);
    let span = Linear::from(part.closes) - part.opens;
    program.at_most(inside, span + none.clone());
    for k in 1..=places.many {
        let here = places.at(demand.step, k);
        if here.terms.is_empty() {
            continue;
        }
        let elsewhere = (Linear::from(1) - here) * (clock.horizon + part.latest + length);
        let unless = none.clone() + elsewhere;
        let start = clock.start(k);
        let from_opening = start.clone() + length - part.opens;
        program.at_most(inside, from_opening + unless.clone());
        let till_closing = Linear::from(part.closes) - start;
        program.at_most(inside, till_closing + unless);
    }
    price(places, demand.step, length, weight, inside, program);
}

/// A part of the class.
struct Part {
    opens: Var,
    closes: Var,
    /// `opens` is at most this, and so are all times.
    latest: i64,
}

/// The columns of the part of the class, and their rows.
fn opening(clock: &Clock, demand: &Peak, program: &mut Program) -> Part {
    let latest = clock.horizon.max(demand.from * clock.horizon / 1000);
    let opens = program.whole(latest);
    program.at_most(clock.finish.clone() * demand.from, opens * 1000 + 999);
    let closes = program.whole(clock.horizon);
    program.at_most(closes * 1000, clock.finish.clone() * demand.to);
    Part {
        opens,
        closes,
        latest,
    }
}

/// What lies outside costs its weight a second, rounded down.
fn price(
    places: &Places,
    step: usize,
    length: i64,
    weight: i64,
    inside: Var,
    program: &mut Program,
) {
    let cost = program.whole(weight * length / 100);
    program.costs(cost);
    let outside = places.used(step) * length - inside;
    program.at_most(outside * weight, cost * 100 + 99);
}
