//! Demands that look at the order alone. `x[s][k]`: step s stands at place k.

use crate::mip::columns::{Columns, broken, times_broken};
use crate::mip::places::in_turn;
use crate::mip::program::{Linear, Program};
use crate::problem::demand::contiguous::Contiguous;
use crate::problem::demand::follow::Follow;
use crate::problem::demand::neighbours::Neighbours;
use crate::problem::demand::place::Place;
use crate::problem::demand::precede::Precede;

/// Wherever b stands by place k, a stands before k, or is left out, or the demand is broken. One that must hold has its rows already.
pub(super) fn precede(
    columns: &Columns,
    demand: &Precede,
    weight: Option<i64>,
    program: &mut Program,
) {
    if weight.is_some() {
        let broken = times_broken(1, weight, program);
        in_turn(columns.places, program, demand.a, demand.b, &broken);
    }
}

/// Of each two members in use one stands at most `members in use - 1 + within` places after the other; where ordered, each two are in turn.
pub(super) fn contiguous(
    columns: &Columns,
    demand: &Contiguous,
    weight: Option<i64>,
    program: &mut Program,
) {
    let places = columns.places;
    let n = places.many as i64;
    let broken = broken(weight, program);
    let in_use: Linear = demand.steps.iter().map(|&s| places.used(s)).sum();
    // More than all the others cannot stand between.
    let room = in_use - 1 + demand.within.min(n);
    for (i, &a) in demand.steps.iter().enumerate() {
        for &b in &demand.steps[i + 1..] {
            let left_out = Linear::from(2) - places.used(a) - places.used(b);
            let slack = room.clone() + left_out * n + broken.clone() * n;
            let apart = places.place(b) - places.place(a);
            if !demand.ordered {
                program.at_most(apart.clone() * -1, slack.clone());
            }
            program.at_most(apart, slack);
            if demand.ordered {
                in_turn(places, program, a, b, &broken);
            }
        }
    }
}

/// The step is at no place that is wrong for the number of steps in use.
pub(super) fn place(columns: &Columns, demand: &Place, weight: Option<i64>, program: &mut Program) {
    let places = columns.places;
    let broken = times_broken(1, weight, program);
    let fewest = places.fewest.max(1);
    for k in 1..=places.many {
        let wrong = |steps: &usize| {
            let from_front = |p: i64| if p < 0 { *steps as i64 + 1 + p } else { p };
            (k as i64) < from_front(demand.min) || from_front(demand.max) < k as i64
        };
        let here = places.at(demand.step, k);
        if here.terms.is_empty() {
            continue;
        }
        if places.all_needed() {
            if wrong(&places.many) {
                program.at_most(here, broken.clone());
            }
            continue;
        }
        let sizes: Linear = (fewest..=places.many)
            .filter(wrong)
            .map(|size| places.ends_at(size))
            .sum();
        program.at_most(here + sizes, broken.clone() + 1);
    }
}

/// Where a run of triggers ends at place k, a remedy stands at one of the next `within` places, and at or before the first trigger among them.
///
/// A run ends at k where a trigger stands at k and none at k + 1. A later trigger at k + c asks for a remedy among the next c places; where
/// it is not the first, it asks for less than the first does.
pub(super) fn follow(
    columns: &Columns,
    demand: &Follow,
    weight: Option<i64>,
    program: &mut Program,
) {
    let places = columns.places;
    let within = usize::try_from(demand.within).map_or(places.many, |w| w.min(places.many));
    let trigger = |k| places.any(&demand.trigger, k);
    let remedies = |k: usize, next: usize| places.between(&demand.remedy, k + 1, k + next + 1);
    for k in 1..=places.many {
        if trigger(k).terms.is_empty() {
            continue;
        }
        let broken = times_broken(1, weight, program);
        let ends = trigger(k) - trigger(k + 1);
        program.at_most(ends.clone() - remedies(k, within), broken.clone());
        for next in 2..=within.min(places.many - k) {
            let again = trigger(k + next) - 1;
            program.at_most(ends.clone() + again - remedies(k, next), broken.clone());
        }
    }
}

/// The listed pairs that stand are counted by the columns of the order.
pub(super) fn neighbours(
    columns: &Columns,
    demand: &Neighbours,
    weight: Option<i64>,
    program: &mut Program,
) {
    let places = columns.places;
    let standing: Linear = (2..=places.many)
        .flat_map(|k| places.pairs(k))
        .filter(|&&(s, t, _)| demand.pairs.contains(&(s, t)))
        .map(|pair| pair.2)
        .sum();
    if let Some(least) = demand.least {
        let missing = times_broken(least, weight, program);
        program.at_most(Linear::from(least), standing.clone() + missing);
    }
    if let Some(most) = demand.most {
        let over = times_broken(demand.pairs.len() as i64, weight, program);
        program.at_most(standing, over + most);
    }
}
