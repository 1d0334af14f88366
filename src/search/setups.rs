//! The best set-ups for a fixed order: the same search, on a problem that allows no other order.

use crate::problem::Problem;
use crate::problem::demand::precede::Precede;
use crate::problem::demand::{Demand, Kind};
use crate::problem::figures::price_of_breaking;

/// The problem of the set-ups of `order` alone: its steps are those of the order, numbered by their places, and must come so; a
/// demand that must hold is one that should, at a price above all that the order can cost otherwise.
pub fn fixed(problem: &Problem, order: &[usize]) -> Problem {
    let place = |s: usize| order.iter().position(|&o| o == s);
    let map = |steps: &[usize]| steps.iter().filter_map(|&s| place(s)).collect::<Vec<_>>();
    let steps = order
        .iter()
        .map(|&s| {
            let mut step = problem.steps[s].clone();
            step.optional = None;
            step.stage = None;
            step
        })
        .collect();
    let mut demands: Vec<Demand> = (1..order.len())
        .map(|b| Demand {
            kind: Kind::Precede(Precede { a: b - 1, b }),
            weight: None,
        })
        .collect();
    for demand in &problem.demands {
        let kind = match demand.kind.clone() {
            // These depend on the order alone, which is fixed.
            Kind::Precede(_)
            | Kind::Contiguous(_)
            | Kind::Place(_)
            | Kind::Follow(_)
            | Kind::Neighbours(_) => continue,
            Kind::Window(mut d) => {
                let Some(s) = place(d.step) else { continue };
                d.step = s;
                Kind::Window(d)
            }
            Kind::Peak(mut d) => {
                let Some(s) = place(d.step) else { continue };
                d.step = s;
                Kind::Peak(d)
            }
            Kind::Recovery(mut d) => {
                d.steps = map(&d.steps);
                Kind::Recovery(d)
            }
            Kind::Longest(mut d) => {
                d.steps = map(&d.steps);
                Kind::Longest(d)
            }
            Kind::Same(mut d) => {
                d.steps = map(&d.steps);
                Kind::Same(d)
            }
            Kind::Fatigue(mut d) => {
                d.loads = d
                    .loads
                    .iter()
                    .filter_map(|&(s, q)| Some((place(s)?, q)))
                    .collect();
                Kind::Fatigue(d)
            }
            Kind::AtMost(d) => Kind::AtMost(d),
            Kind::Fits(d) => Kind::Fits(d),
        };
        demands.push(Demand {
            kind,
            weight: demand.weight,
        });
    }
    let order_of = order.len().saturating_sub(1);
    let mut fixed = Problem {
        steps,
        // The order itself stands first and goes on holding.
        demands: demands.split_off(order_of),
        ..problem.clone()
    };
    let price = price_of_breaking(&fixed);
    for demand in &mut fixed.demands {
        // The weight of a peak is for a second, what is counted are hundredths.
        let hundredths = if demand.kind.is_peak() { 100 } else { 1 };
        demand.weight.get_or_insert(price * hundredths);
    }
    demands.append(&mut fixed.demands);
    fixed.demands = demands;
    fixed
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::demand::at_most::AtMost;
    use crate::problem::demand::fits::Fits;
    use crate::problem::facet::Facet;
    use crate::problem::figures::{GREATEST, greatest_score};
    use crate::problem::posture::Postures;
    use crate::problem::step::{Choice, Side, Step};
    use crate::search::best_setups;
    use crate::search::budget::Limits;

    /// Two steps that may each take either spring; the second is dear on the first spring, so dear that it outweighs a price of 10^12.
    fn dear() -> Problem {
        let step = |penalty| Step {
            id: String::new(),
            side: Side::Both,
            duration: 100,
            setup: vec![Some(vec![
                Choice { value: 0, penalty },
                Choice {
                    value: 1,
                    penalty: 0,
                },
            ])],
            start: 0,
            end: 0,
            stage: None,
            group: None,
            optional: None,
        };
        Problem {
            title: String::new(),
            facets: vec![Facet {
                name: "springs".into(),
                values: vec!["a".into(), "b".into()],
                change: vec![vec![0, 10], vec![10, 0]],
                reach: None,
                stop: true,
            }],
            postures: Postures {
                names: vec!["p".into()],
                path: vec![vec![0]],
            },
            start_setup: vec![0],
            start_posture: Some(0),
            end: None,
            time_weight: 1,
            stop_weight: 1,
            steps: vec![step(0), step(5_000_000_000_000)],
            demands: vec![
                Demand {
                    kind: Kind::AtMost(AtMost {
                        facet: 0,
                        changes: 0,
                    }),
                    weight: None,
                },
                Demand {
                    kind: Kind::Fits(Fits { total: 0 }),
                    weight: None,
                },
            ],
        }
    }

    #[test]
    fn what_must_hold_is_kept_in_her_order_however_dear_it_is() {
        let setups = best_setups(&dear(), &[0, 1], &Limits::default());
        assert_eq!(setups, Some((vec![vec![0], vec![0]], true)));
    }

    #[test]
    fn the_price_of_breaking_never_leads_beyond_what_can_be_counted() {
        let mut problem = dear();
        problem.steps[1].setup[0] = Some(vec![Choice {
            value: 0,
            penalty: GREATEST - 1000,
        }]);
        let fixed = fixed(&problem, &[1, 0]);
        assert!(greatest_score(&fixed) <= GREATEST.into());
    }
}
