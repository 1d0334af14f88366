//! Demands that look at the values of a facet.

use crate::mip::columns::{Columns, broken, times_broken};
use crate::mip::program::{Linear, Program, Var};
use crate::problem::demand::at_most::AtMost;
use crate::problem::demand::same::Same;

/// The changes of the facet, counted by its columns, are at most the number allowed.
pub(super) fn at_most(
    columns: &Columns,
    demand: &AtMost,
    weight: Option<i64>,
    program: &mut Program,
) {
    let most = columns.places.many as i64 + 1;
    if demand.changes >= most {
        return;
    }
    let broken = broken(weight, program);
    let changes: Linear = (1..=columns.places.many + 1)
        .map(|k| columns.facets[demand.facet].changes(k))
        .sum();
    program.at_most(changes, broken * (most - demand.changes) + demand.changes);
}

/// A column for each value, place by place, that follows the members: at a place of a member it is what the member has.
///
/// One that must hold has one set of columns for all places. For a wish the columns may go over from one value to another; each going over
/// is paid for, between two members in steps or at once alike, and a column is a value at the members alone.
pub(super) fn same(columns: &Columns, demand: &Same, weight: Option<i64>, program: &mut Program) {
    let Columns {
        problem, places, ..
    } = columns;
    let facet = &columns.facets[demand.facet];
    if facet.possible.len() < 2 {
        return;
    }
    if weight.is_none() {
        let common = values(facet.possible.len(), program);
        for (&a, &common) in facet.possible.iter().zip(&common) {
            for &s in &demand.steps {
                if problem.steps[s].setup[demand.facet].is_some() {
                    let takes = facet.takes(problem, places, demand.facet, s, a);
                    program.at_most(takes, common);
                } else {
                    for k in 1..=places.many {
                        let apart = facet.has(k, a) - (Linear::from(1) - places.at(s, k));
                        program.at_most(apart, common);
                    }
                }
            }
        }
        return;
    }
    let mut before: Option<Vec<Var>> = None;
    for k in 1..=places.many {
        let member = places.any(&demand.steps, k);
        let here = values(facet.possible.len(), program);
        for (&a, &here) in facet.possible.iter().zip(&here) {
            let apart = facet.has(k, a) - (Linear::from(1) - member.clone());
            program.at_most(apart, here);
        }
        if let Some(before) = before {
            let goes_over = times_broken(1, weight, program);
            for (&here, &before) in here.iter().zip(&before) {
                program.at_most(Linear::from(here) - before, goes_over.clone());
            }
        }
        before = Some(here);
    }
}

/// Columns of which one is 1, where what they follow is whole.
fn values(many: usize, program: &mut Program) -> Vec<Var> {
    let columns: Vec<Var> = (0..many).map(|_| program.share(1)).collect();
    program.equal(columns.iter().copied().sum::<Linear>(), 1);
    columns
}
