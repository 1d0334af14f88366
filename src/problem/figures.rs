//! How great the figures of a problem can grow: proof that every score, every time and every sum on the way to them fits into 64 bits.
//!
//! **Claim.** For a problem without mistakes, every order and every set-ups have a score and a finish of at most [`GREATEST`].
//! **Why.** An order of n steps has at most n + 1 change-overs. In each, every facet changes at its dearest at most, and the walk goes
//! the longest path to one posture for each facet and then to its end. A step adds its greatest penalties and its own penalty where it is
//! optional. A demand is broken at most as often as [`most_violations`] says. All terms are at least 0, so no sum of a part of
//! them is greater. **Tested by** `no_plan_scores_above_the_bound`.
//!
//! The sums here are taken in 128 bits and stay at the end of those where they would pass it.

use super::definition::Problem;
use super::demand::Kind;

/// The greatest score and the greatest time of a problem that is solved. The search needs room above it for what stands for infinity and
/// for sums with that.
pub const GREATEST: i64 = i64::MAX / 16;

/// Above the sum of all change-overs of any order, hundredths.
pub fn most_changeover(problem: &Problem) -> i128 {
    let dearest = |rows: &[Vec<i64>]| rows.iter().flatten().copied().max().unwrap_or(0);
    let changes = sum(problem.facets.iter().map(|f| dearest(&f.change).into()));
    let legs = problem.facets.len() as i128 + 1;
    let way = legs.saturating_mul(dearest(&problem.postures.path).into());
    (problem.steps.len() as i128 + 1).saturating_mul(changes.saturating_add(way))
}

/// Above the end of any class, hundredths.
pub fn latest_finish(problem: &Problem) -> i128 {
    let work = sum(problem.steps.iter().map(|s| s.duration.into()));
    work.saturating_add(most_changeover(problem))
}

/// How often a demand can be broken at most, as its kind counts: for `peak` an amount in hundredths.
pub fn most_violations(problem: &Problem, kind: &Kind) -> i128 {
    let many = |n: usize| n as i128;
    match kind {
        Kind::Precede(_)
        | Kind::Contiguous(_)
        | Kind::Place(_)
        | Kind::Window(_)
        | Kind::AtMost(_)
        | Kind::Fits(_) => 1,
        Kind::Follow(d) => many(d.trigger.len()),
        Kind::Recovery(d) => many(d.steps.len()),
        Kind::Longest(d) => many(d.steps.len()),
        Kind::Same(d) => many(d.steps.len()),
        Kind::Neighbours(d) => many(d.pairs.len()).max(d.least.unwrap_or(0).into()),
        Kind::Fatigue(d) => many(d.loads.len()),
        Kind::Peak(d) => problem
            .steps
            .get(d.step)
            .map_or(0, |step| step.duration.into()),
    }
}

/// What a demand of this weight can add to the score at most.
fn most_cost(problem: &Problem, kind: &Kind, weight: i64) -> i128 {
    let cost = i128::from(weight).saturating_mul(most_violations(problem, kind));
    if kind.is_peak() { cost / 100 } else { cost }
}

/// No order scores more, whatever its set-ups.
pub fn greatest_score(problem: &Problem) -> i128 {
    let time = i128::from(problem.time_weight).saturating_mul(most_changeover(problem));
    let stops = i128::from(problem.stop_weight).saturating_mul(problem.steps.len() as i128 + 1);
    let penalties = sum(problem.steps.iter().map(|step| {
        let dearest = |choices: &Vec<super::step::Choice>| {
            choices.iter().map(|c| c.penalty).max().unwrap_or(0).into()
        };
        let setups = sum(step.setup.iter().flatten().map(dearest));
        setups.saturating_add(step.optional.unwrap_or(0).into())
    }));
    let wishes = sum(problem
        .demands
        .iter()
        .filter_map(|d| Some(most_cost(problem, &d.kind, d.weight?))));
    sum([time, stops, penalties, wishes].into_iter())
}

/// A price for each violation of what must hold, so that one violation more is never made up for by anything else: above the greatest
/// score, as long as there is room for all of them; else the greatest for which there is room, so that nothing passes [`GREATEST`].
///
/// For `peak`, whose weight is for a second and whose count is in hundredths, the weight is the price times 100, and there must be room
/// for the product of that weight and the count.
pub fn price_of_breaking(problem: &Problem) -> i64 {
    let otherwise = greatest_score(problem);
    let times = sum(problem
        .demands
        .iter()
        .filter(|d| d.weight.is_none())
        .map(|d| {
            let times = most_violations(problem, &d.kind);
            let hundredths = if d.kind.is_peak() { 100 } else { 1 };
            times.saturating_mul(hundredths)
        }));
    let room = (i128::from(GREATEST) - otherwise).max(0);
    let most = (room / times.max(1)).min(i128::from(GREATEST / 100));
    i64::try_from(otherwise.saturating_add(1).min(most)).expect("at most a hundredth of GREATEST")
}

fn sum(terms: impl Iterator<Item = i128>) -> i128 {
    terms.fold(0, i128::saturating_add)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::demand::Demand;
    use crate::problem::demand::peak::Peak;
    use crate::problem::demand::precede::Precede;
    use crate::problem::facet::Facet;
    use crate::problem::posture::Postures;
    use crate::problem::step::{Choice, Side, Step};

    fn two_steps() -> Problem {
        let step = Step {
            id: String::new(),
            side: Side::Both,
            duration: 6000,
            setup: vec![Some(vec![
                Choice {
                    value: 0,
                    penalty: 7,
                },
                Choice {
                    value: 1,
                    penalty: 0,
                },
            ])],
            start: 0,
            end: 1,
            stage: None,
            group: None,
            optional: None,
        };
        let demand = |kind, weight| Demand { kind, weight };
        Problem {
            title: String::new(),
            facets: vec![Facet {
                name: "springs".into(),
                values: vec!["a".into(), "b".into()],
                change: vec![vec![0, 400], vec![300, 0]],
                reach: Some(vec![1]),
                stop: true,
            }],
            postures: Postures {
                names: vec!["p".into(), "q".into()],
                path: vec![vec![0, 500], vec![600, 0]],
            },
            start_setup: vec![0],
            start_posture: Some(0),
            end: None,
            time_weight: 2,
            stop_weight: 1000,
            steps: vec![
                step.clone(),
                Step {
                    optional: Some(50),
                    ..step
                },
            ],
            demands: vec![
                demand(Kind::Precede(Precede { a: 1, b: 0 }), Some(3)),
                demand(
                    Kind::Peak(Peak {
                        step: 0,
                        from: 0,
                        to: 0,
                    }),
                    Some(10),
                ),
                demand(Kind::Precede(Precede { a: 0, b: 1 }), None),
            ],
        }
    }

    #[test]
    fn the_bound_is_the_sum_of_the_greatest_of_each() {
        let p = two_steps();
        // Three change-overs of 400 and two legs of 600; three stops; two penalties of 7 and the optional step; 3, and 10 for each of 60 s.
        assert_eq!(most_changeover(&p), 3 * 1600);
        assert_eq!(latest_finish(&p), 3 * 1600 + 12_000);
        assert_eq!(greatest_score(&p), 2 * 4800 + 3000 + 14 + 50 + 3 + 600);
        assert_eq!(
            price_of_breaking(&p),
            2 * 4800 + 3000 + 14 + 50 + 3 + 600 + 1
        );
    }

    #[test]
    fn figures_at_the_end_of_their_bits_do_not_overflow() {
        let mut p = two_steps();
        p.stop_weight = i64::MAX;
        p.facets[0].change[0][1] = i64::MAX;
        p.steps[0].duration = i64::MAX;
        p.demands[1].weight = Some(i64::MAX);
        assert!(greatest_score(&p) > i128::from(GREATEST));
        assert!(latest_finish(&p) > i128::from(GREATEST));
        assert_eq!(price_of_breaking(&p), 0);
    }
}
