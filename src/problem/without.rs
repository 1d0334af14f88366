//! A problem without some of its steps: what is asked of the others alone still holds, what is asked of the steps that are gone is asked no more.

use super::definition::Problem;
use super::demand::{Demand, Kind};

/// The problem without the steps for which `gone` is true, and for each of its demands the number that it had.
///
/// Steps keep their order and close up. A demand on steps that are all gone is gone with them; so is one that needs a step that is gone (the
/// order of two, a place, a window). `neighbours` asks for no more pairs than are left.
pub fn without(problem: &Problem, gone: &[bool]) -> (Problem, Vec<usize>) {
    let kept: Vec<usize> = (0..problem.steps.len()).filter(|&s| !gone[s]).collect();
    let mut number = vec![None; problem.steps.len()];
    for (new, &old) in kept.iter().enumerate() {
        number[old] = Some(new);
    }
    let mut demands = Vec::new();
    let mut numbers = Vec::new();
    for (k, demand) in problem.demands.iter().enumerate() {
        if let Some(kind) = left_of(&demand.kind, &number) {
            demands.push(Demand {
                kind,
                weight: demand.weight,
            });
            numbers.push(k);
        }
    }
    let left = Problem {
        steps: kept.iter().map(|&s| problem.steps[s].clone()).collect(),
        demands,
        ..problem.clone()
    };
    (left, numbers)
}

fn left_of(kind: &Kind, number: &[Option<usize>]) -> Option<Kind> {
    let some = |steps: &[usize], least: usize| -> Option<Vec<usize>> {
        let left: Vec<usize> = steps.iter().filter_map(|&s| number[s]).collect();
        (left.len() >= least).then_some(left)
    };
    Some(match kind.clone() {
        Kind::Precede(mut d) => {
            (d.a, d.b) = (number[d.a]?, number[d.b]?);
            Kind::Precede(d)
        }
        Kind::Contiguous(mut d) => {
            d.steps = some(&d.steps, 2)?;
            Kind::Contiguous(d)
        }
        Kind::Place(mut d) => {
            d.step = number[d.step]?;
            Kind::Place(d)
        }
        Kind::Window(mut d) => {
            d.step = number[d.step]?;
            Kind::Window(d)
        }
        Kind::Peak(mut d) => {
            d.step = number[d.step]?;
            Kind::Peak(d)
        }
        Kind::Follow(mut d) => {
            d.trigger = some(&d.trigger, 1)?;
            d.remedy = d.remedy.iter().filter_map(|&s| number[s]).collect();
            Kind::Follow(d)
        }
        Kind::Recovery(mut d) => {
            d.steps = some(&d.steps, 2)?;
            Kind::Recovery(d)
        }
        Kind::Longest(mut d) => {
            d.steps = some(&d.steps, 1)?;
            Kind::Longest(d)
        }
        Kind::Same(mut d) => {
            d.steps = some(&d.steps, 2)?;
            Kind::Same(d)
        }
        Kind::Neighbours(mut d) => {
            d.pairs = (d.pairs.iter())
                .filter_map(|&(a, b)| Some((number[a]?, number[b]?)))
                .collect();
            let pairs = i64::try_from(d.pairs.len()).expect("a class has few pairs");
            d.least = d.least.map(|least| least.min(pairs));
            if d.pairs.is_empty() {
                return None;
            }
            Kind::Neighbours(d)
        }
        Kind::Fatigue(mut d) => {
            d.loads = (d.loads.iter())
                .filter_map(|&(s, load)| Some((number[s]?, load)))
                .collect();
            if d.loads.is_empty() {
                return None;
            }
            Kind::Fatigue(d)
        }
        Kind::AtMost(d) => Kind::AtMost(d),
        Kind::Fits(d) => Kind::Fits(d),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::demand::contiguous::Contiguous;
    use crate::problem::demand::neighbours::Neighbours;
    use crate::problem::demand::place::Place;
    use crate::problem::demand::precede::Precede;
    use crate::problem::step::{Side, Step};

    fn step(id: &str) -> Step {
        Step {
            id: id.into(),
            side: Side::Both,
            duration: 0,
            setup: Vec::new(),
            start: 0,
            end: 0,
            stage: None,
            group: None,
            optional: None,
        }
    }

    #[test]
    fn the_others_keep_what_is_asked_of_them_under_their_new_numbers() {
        let kinds = [
            Kind::Precede(Precede { a: 0, b: 1 }),
            Kind::Precede(Precede { a: 2, b: 3 }),
            Kind::Place(Place {
                step: 1,
                min: 1,
                max: 1,
            }),
            Kind::Contiguous(Contiguous {
                steps: vec![1, 2, 3],
                ordered: true,
                within: 0,
            }),
            Kind::Neighbours(Neighbours {
                pairs: vec![(1, 2), (2, 3)],
                least: Some(2),
                most: None,
            }),
        ];
        let problem = Problem {
            steps: ["a", "b", "c", "d"].map(step).to_vec(),
            demands: (kinds.into_iter())
                .map(|kind| Demand { kind, weight: None })
                .collect(),
            ..Problem::default()
        };
        let (left, numbers) = without(&problem, &[false, true, false, false]);
        let ids: Vec<&str> = left.steps.iter().map(|s| s.id.as_str()).collect();
        assert_eq!(ids, ["a", "c", "d"]);
        assert_eq!(numbers, [1, 3, 4]);
        let kinds: Vec<Kind> = left.demands.into_iter().map(|d| d.kind).collect();
        assert_eq!(kinds[0], Kind::Precede(Precede { a: 1, b: 2 }));
        assert_eq!(
            kinds[1],
            Kind::Contiguous(Contiguous {
                steps: vec![1, 2],
                ordered: true,
                within: 0
            })
        );
        assert_eq!(
            kinds[2],
            Kind::Neighbours(Neighbours {
                pairs: vec![(1, 2)],
                least: Some(1),
                most: None
            })
        );
    }
}
