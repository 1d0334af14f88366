//! Weeks of classes: every class is valid, good enough and far enough from the others; on short lists the spread is the best there is.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::collections::BTreeMap;

use crate::oracle;
use crate::oracle::random::{Size, problem};
use segue::orders::difference::{Difference, Measure};
use segue::orders::every::every;
use segue::orders::vary::{List, Short, Sureness, Week, Wish, vary, vary_any};
use segue::problem::Problem;
use segue::problem::demand::precede::Precede;
use segue::problem::demand::{Demand, Kind};
use segue::score::evaluate;
use segue::search::budget::Limits;

const SMALL: Size = Size {
    timed: 4,
    untimed: 5,
    facets: 2,
};

fn problems(many: u64) -> impl Iterator<Item = (u64, Problem)> {
    (0..many).map(|seed| (seed, problem(seed, &SMALL)))
}

fn wish(count: usize, within: i64, apart: usize) -> Wish {
    Wish {
        count,
        within,
        apart,
        opener: false,
        closer: false,
    }
}

fn week(problem: &Problem, wish: &Wish, seed: u64) -> Option<Week> {
    let names = (0..problem.steps.len()).collect();
    let limits = Limits {
        seed,
        ..Limits::default()
    };
    vary(problem, names, wish, &limits, &mut |_| {}).ok()
}

/// The best score of each order of the steps that must be done, by trying everything.
fn by_trying(problem: &Problem) -> BTreeMap<Vec<usize>, i64> {
    let must: Vec<usize> = (0..problem.steps.len())
        .filter(|&s| problem.steps[s].optional.is_none())
        .collect();
    let mut found = BTreeMap::new();
    for order in permutations(&must) {
        let mut fixed = problem.clone();
        fixed.demands.extend(order.windows(2).map(|two| Demand {
            kind: Kind::Precede(Precede {
                a: two[0],
                b: two[1],
            }),
            weight: None,
        }));
        if let Some((score, _, _)) = oracle::best(&fixed) {
            found.insert(order, score);
        }
    }
    found
}

fn permutations(of: &[usize]) -> Vec<Vec<usize>> {
    if of.is_empty() {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for (k, &first) in of.iter().enumerate() {
        let mut rest = of.to_vec();
        rest.remove(k);
        for mut tail in permutations(&rest) {
            tail.insert(0, first);
            all.push(tail);
        }
    }
    all
}

/// The best smallest difference of `count` of these orders, all at least `apart` from one another, by trying all sets; `None`: no such set.
fn best_spread(
    orders: &[Vec<usize>],
    count: usize,
    measure: &Measure,
    apart: usize,
) -> Option<Difference> {
    fn grow(
        left: &[Vec<usize>],
        chosen: &mut Vec<Vec<usize>>,
        count: usize,
        least: Difference,
        measure: &Measure,
        apart: usize,
    ) -> Option<Difference> {
        if chosen.len() == count {
            return Some(least);
        }
        let mut best = None;
        for (k, order) in left.iter().enumerate() {
            let near = chosen.iter().map(|c| measure.between(c, order)).min();
            let least = near.map_or(least, |near| near.min(least));
            if least.pairs >= apart {
                chosen.push(order.clone());
                best = best.max(grow(&left[k + 1..], chosen, count, least, measure, apart));
                chosen.pop();
            }
        }
        best
    }
    let far = Difference {
        pairs: usize::MAX,
        turned: usize::MAX,
    };
    grow(orders, &mut Vec::new(), count, far, measure, apart)
}

/// The same list with its `k`-th step done as another, new movement: as the first step of another problem of the same machine would be.
fn with_another(problem: &Problem, k: usize) -> Problem {
    let mut other = problem.clone();
    let donor = &problem.steps[(k + 1) % problem.steps.len()];
    let step = &mut other.steps[k];
    step.setup.clone_from(&donor.setup);
    step.duration += 500;
    (step.start, step.end) = (donor.end, donor.start);
    other
}

/// Source: every order of both lists (`oracle`), every choice of three of them. A movement that is swapped has other neighbours in every order.
#[test]
fn the_best_spread_of_two_short_lists_equals_trying_all() {
    let (mut full, mut both) = (0, 0);
    for (seed, problem) in problems(90) {
        let n = problem.steps.len();
        let k = usize::try_from(seed).unwrap() % n;
        if problem.steps[k].optional.is_some() {
            continue;
        }
        let other = with_another(&problem, k);
        if !segue::problem::check::check(&other).is_empty() {
            continue;
        }
        let names: Vec<usize> = (0..n).collect();
        let mut swapped = names.clone();
        swapped[k] = n;
        let lists = [
            List {
                problem: &problem,
                names: names.clone(),
            },
            List {
                problem: &other,
                names: swapped.clone(),
            },
        ];
        let wish = wish(3, 2500, 1);
        let limits = Limits::default();
        let Ok(found) = vary_any(&lists, true, &wish, &limits, &mut |_| {}) else {
            continue;
        };
        let measures = [Measure::new(&problem, names), Measure::new(&other, swapped)];
        let orders: Vec<(usize, Vec<usize>)> = [&problem, &other]
            .into_iter()
            .enumerate()
            .flat_map(|(list, p)| by_trying(p).into_iter().map(move |(o, s)| (list, o, s)))
            .filter(|(_, _, score)| *score <= found.ceiling)
            .map(|(list, order, _)| (list, order))
            .collect();
        let between = |i: usize, j: usize| {
            let ((a, one), (b, two)) = (&orders[i], &orders[j]);
            measures[*a].across(one, &measures[*b], two)
        };
        let mut best: [Option<Difference>; 4] = [None; 4];
        for i in 0..orders.len() {
            best[1] = best[1].max(Some(Difference::default()));
            for j in 0..i {
                let two = between(i, j);
                if two.pairs == 0 {
                    continue;
                }
                best[2] = best[2].max(Some(two));
                for h in 0..j {
                    let three = two.min(between(i, h)).min(between(j, h));
                    if three.pairs > 0 {
                        best[3] = best[3].max(Some(three));
                    }
                }
            }
        }
        let most = (1..=3).rev().find(|&n| best[n].is_some()).unwrap();
        assert_eq!(found.classes.len(), most, "{seed}");
        assert_eq!(found.sureness, Sureness::Farthest, "{seed}");
        assert_eq!(found.short, (most < 3).then_some(Short::Proven), "{seed}");
        if most > 1 {
            assert_eq!(found.least(), best[most], "{seed}");
        }
        for (class, &list) in found.classes.iter().zip(&found.lists) {
            let (order, setups) = (&class.timeline.order, &class.timeline.setups);
            let judged = evaluate(lists[list].problem, order, setups);
            assert!(judged.feasible() && judged.score <= found.ceiling, "{seed}");
        }
        full += u32::from(most == 3);
        both += u32::from(found.lists.iter().any(|&list| list != found.lists[0]));
    }
    assert!(full > 15 && both > 15, "{full} full, {both} of both lists");
}

#[test]
fn every_order_within_the_ceiling_is_found() {
    let mut many = 0;
    for (seed, problem) in problems(120) {
        let all = by_trying(&problem);
        let Some(best) = all.values().min().copied() else {
            continue;
        };
        let plan = segue::search::solve(&problem, &Limits::default(), &mut |_| {})
            .plan
            .unwrap();
        let ceiling = best + best / 4;
        let found = every(&problem, &plan, ceiling, 1000, 100_000, &Limits::default());
        assert!(found.complete, "{seed}");
        let measure = Measure::new(&problem, (0..problem.steps.len()).collect());
        let mut spelled: BTreeMap<Vec<usize>, i64> = BTreeMap::new();
        for plan in &found.plans {
            let judged = evaluate(&problem, &plan.order, &plan.setups);
            assert!(judged.feasible() && judged.score == plan.score, "{seed}");
            spelled.insert(measure.spelled(&plan.order), plan.score);
        }
        assert_eq!(spelled.len(), found.plans.len(), "{seed}: an order twice");
        let within: BTreeMap<Vec<usize>, i64> =
            all.into_iter().filter(|(_, s)| *s <= ceiling).collect();
        assert_eq!(spelled, within, "{seed}");
        many += within.len();
    }
    assert!(many > 300, "{many}");
}

#[test]
fn the_best_spread_of_a_short_list_equals_trying_all() {
    let (mut full, mut fewer) = (0, 0);
    for (seed, problem) in problems(150) {
        let all = by_trying(&problem);
        let Some(best) = all.values().min().copied() else {
            assert!(week(&problem, &wish(3, 2500, 1), seed).is_none(), "{seed}");
            continue;
        };
        let measure = Measure::new(&problem, (0..problem.steps.len()).collect());
        let orders: Vec<Vec<usize>> = (all.iter())
            .filter(|(_, s)| **s <= best + best / 4)
            .map(|(order, _)| order.clone())
            .collect();
        for apart in [1, 3] {
            let found = week(&problem, &wish(3, 2500, apart), seed).unwrap();
            let most = (1..=3)
                .rev()
                .find(|&n| best_spread(&orders, n, &measure, apart).is_some())
                .unwrap();
            assert_eq!(found.classes.len(), most, "{seed}, {apart} apart");
            assert_eq!(found.short, (most < 3).then_some(Short::Proven), "{seed}");
            if most > 1 {
                let truth = best_spread(&orders, most, &measure, apart);
                assert_eq!(found.least(), truth, "{seed}, {apart} apart");
                assert_eq!(found.sureness, Sureness::Farthest, "{seed}");
            }
            full += u32::from(most == 3);
            fewer += u32::from(most < 3);
        }
    }
    assert!(full > 30 && fewer > 30, "{full} full, {fewer} fewer");
}

/// What every week promises, whatever the list.
fn promised(problem: &Problem, names: &[usize], week: &Week, wish: &Wish) {
    let measure = Measure::new(problem, names.to_vec());
    assert!(week.ceiling <= week.best.score + week.best.score * wish.within / 10_000);
    for class in &week.classes {
        let again = evaluate(problem, &class.timeline.order, &class.timeline.setups);
        assert!(again.feasible(), "{:?} {:?}", again.errors, again.broken);
        assert_eq!(again.score, class.score);
        assert!(class.score <= week.ceiling);
    }
    let n = week.classes.len();
    for i in 0..n {
        for j in 0..i {
            let (a, b) = (&week.classes[i].timeline, &week.classes[j].timeline);
            let apart = measure.between(&a.order, &b.order);
            assert_eq!(apart, week.apart[i * n + j]);
            assert!(apart.pairs >= wish.apart, "{i} and {j}: {apart:?}");
            let (a, b) = (measure.spelled(&a.order), measure.spelled(&b.order));
            assert!(!wish.opener || a.first() != b.first(), "{i} and {j}");
            assert!(!wish.closer || a.last() != b.last(), "{i} and {j}");
        }
    }
    assert_eq!(week.short.is_some(), n < wish.count);
}

fn shared(name: &str) -> Problem {
    let path = format!("{}/tests/data/problems/{name}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    segue::exchange::problem_file::read(&text).unwrap()
}

#[test]
fn a_week_of_a_longer_list_keeps_what_it_promises_and_another_seed_gives_another() {
    for name in ["packed-012.json", "sides-010.json", "studio-012.json"] {
        let problem = shared(name);
        let names: Vec<usize> = (0..problem.steps.len()).collect();
        let wish = wish(4, 1500, 2);
        let one = week(&problem, &wish, 1).unwrap();
        promised(&problem, &names, &one, &wish);
        let again = week(&problem, &wish, 1).unwrap();
        assert_eq!(one.classes, again.classes, "{name}");
        let other = week(&problem, &wish, 2).unwrap();
        promised(&problem, &names, &other, &wish);
    }
}

#[test]
fn other_starts_and_other_ends_are_kept_and_what_cannot_be_is_said() {
    let mut wish = wish(4, 3000, 1);
    (wish.opener, wish.closer) = (true, true);
    let (mut full, mut fewer) = (0, 0);
    for (seed, problem) in problems(90) {
        if let Some(found) = week(&problem, &wish, seed) {
            let names: Vec<usize> = (0..problem.steps.len()).collect();
            promised(&problem, &names, &found, &wish);
            full += u32::from(found.short.is_none());
            fewer += u32::from(found.short == Some(Short::Proven));
        }
    }
    assert!(full > 0 && fewer > 0, "{full} full, {fewer} fewer");
}
