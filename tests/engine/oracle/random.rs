//! Random small problems, hard on purpose: ties, no order at all, facets that many steps do not care about, costs that are not symmetric
//! (closed, so that no detour is shorter), reach, facets that do not halt, open starts and ends, optional steps, twins, pairs, groups, stages and
//! every kind of demand, hard and soft.

use rand::seq::{IndexedRandom, SliceRandom};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use segue::problem::check::check;
use segue::problem::demand::at_most::AtMost;
use segue::problem::demand::contiguous::Contiguous;
use segue::problem::demand::fatigue::Fatigue;
use segue::problem::demand::fits::Fits;
use segue::problem::demand::follow::Follow;
use segue::problem::demand::longest::Longest;
use segue::problem::demand::neighbours::Neighbours;
use segue::problem::demand::peak::Peak;
use segue::problem::demand::place::Place;
use segue::problem::demand::precede::Precede;
use segue::problem::demand::recovery::Recovery;
use segue::problem::demand::same::Same;
use segue::problem::demand::window::Window;
use segue::problem::demand::{Demand, Kind};
use segue::problem::facet::Facet;
use segue::problem::posture::Postures;
use segue::problem::step::{Choice, Side, Step};
use segue::problem::{End, Problem};

/// How large the problems may be.
#[derive(Debug, Clone, Copy)]
pub struct Size {
    /// Most steps where demands look at the clock.
    pub timed: usize,
    /// Most steps elsewhere.
    pub untimed: usize,
    /// Most facets.
    pub facets: usize,
}

/// A problem that depends on the seed and the size alone.
pub fn problem(seed: u64, size: &Size) -> Problem {
    let mut die = Die(ChaCha8Rng::seed_from_u64(seed));
    let timed = die.chance(0.5);
    let n = die.up_to(1, if timed { size.timed } else { size.untimed });
    let costs: &[i64] = die.one(&[
        &[0, 100, 200],
        &[100],
        &[50, 100, 300, 700],
        &[0, 0, 900],
        &[10, 20, 40, 80, 160],
    ]);
    let n_postures = die.up_to(1, 4);
    let facets: Vec<Facet> = (0..die.up_to(0, size.facets))
        .map(|f| die.facet(f, n_postures, costs))
        .collect();
    let mut steps: Vec<Step> = Vec::new();
    for i in 0..n {
        let mut step = match steps.choose(&mut die.0) {
            Some(twin) if die.0.random_bool(0.2) => twin.clone(),
            _ => die.step(&facets, n_postures),
        };
        step.id = format!("s{i}");
        steps.push(step);
    }
    let value = |die: &mut Die, f: usize| die.0.random_range(0..facets[f].values.len());
    let start_setup = (0..facets.len()).map(|f| value(&mut die, f)).collect();
    let end = die.chance(0.5).then(|| End {
        setup: (0..facets.len())
            .map(|f| die.chance(0.5).then(|| value(&mut die, f)))
            .collect(),
        posture: die.chance(0.5).then(|| die.0.random_range(0..n_postures)),
    });
    let demands = (0..die.up_to(0, 5))
        .filter_map(|_| die.demand(&steps, &facets, timed))
        .collect();
    let made = Problem {
        title: format!("random {seed}"),
        postures: Postures {
            names: (0..n_postures).map(|p| format!("p{p}")).collect(),
            path: die.matrix(n_postures, costs),
        },
        start_setup,
        start_posture: die.chance(0.6).then(|| die.0.random_range(0..n_postures)),
        end,
        time_weight: die.one(&[0, 1, 1, 1, 3]),
        stop_weight: die.one(&[0, 100, 500]),
        facets,
        steps,
        demands,
    };
    let made = with_pair(
        made,
        &mut Die(ChaCha8Rng::seed_from_u64(seed ^ 0x0063_6f75_706c_6573)),
    );
    assert_eq!(check(&made), [], "seed {seed} makes no sound problem");
    made
}

/// For a third of the problems: two steps, alike in all that they ask for and one directly after the other, as the sides of a movement are.
fn with_pair(made: Problem, die: &mut Die) -> Problem {
    let drawn = die.some(2, made.steps.len());
    let &[a, b, ..] = &drawn[..] else {
        return made;
    };
    if !die.chance(0.35) {
        return made;
    }
    let mut with = made.clone();
    let mut step = with.steps[a].clone();
    step.optional = None;
    if die.chance(0.8) {
        step.end = step.start;
    }
    with.steps[b] = Step {
        id: with.steps[b].id.clone(),
        ..step.clone()
    };
    with.steps[a] = step;
    with.demands.push(Demand {
        kind: Kind::Contiguous(Contiguous {
            steps: vec![a, b],
            ordered: die.chance(0.3),
            within: 0,
        }),
        weight: None,
    });
    if check(&with).is_empty() { with } else { made }
}

struct Die(ChaCha8Rng);

impl Die {
    fn chance(&mut self, share: f64) -> bool {
        self.0.random_bool(share)
    }

    fn up_to(&mut self, least: usize, most: usize) -> usize {
        self.0.random_range(least..=most)
    }

    fn one<T: Copy>(&mut self, of: &[T]) -> T {
        *of.choose(&mut self.0).expect("there is something to draw")
    }

    /// Distinct numbers below `many`, at least `least` of them, in any order.
    fn some(&mut self, least: usize, many: usize) -> Vec<usize> {
        let mut all: Vec<usize> = (0..many).collect();
        all.shuffle(&mut self.0);
        all.truncate(self.0.random_range(least.min(many)..=many));
        all
    }

    /// Costs that are not symmetric, already all-pairs shortest.
    fn matrix(&mut self, n: usize, costs: &[i64]) -> Vec<Vec<i64>> {
        let mut rows: Vec<Vec<i64>> = (0..n)
            .map(|a| {
                (0..n)
                    .map(|b| if a == b { 0 } else { self.one(costs) })
                    .collect()
            })
            .collect();
        for via in 0..n {
            for a in 0..n {
                for b in 0..n {
                    rows[a][b] = rows[a][b].min(rows[a][via] + rows[via][b]);
                }
            }
        }
        rows
    }

    fn facet(&mut self, f: usize, n_postures: usize, costs: &[i64]) -> Facet {
        let n = self.up_to(1, 3);
        Facet {
            name: format!("f{f}"),
            values: (0..n).map(|v| format!("v{v}")).collect(),
            change: self.matrix(n, costs),
            reach: self.chance(0.5).then(|| self.some(1, n_postures)),
            stop: self.chance(0.6),
        }
    }

    fn step(&mut self, facets: &[Facet], n_postures: usize) -> Step {
        let mut setup = Vec::new();
        for facet in facets {
            let listed = self.some(1, facet.values.len());
            let choices = (listed.into_iter())
                .map(|value| Choice {
                    value,
                    penalty: self.one(&[0, 0, 50, 120]),
                })
                .collect();
            setup.push(self.chance(0.6).then_some(choices));
        }
        Step {
            id: String::new(),
            side: self.one(&[Side::Both, Side::Left, Side::Right]),
            duration: self.one(&[0, 100, 500, 1000, 3000]),
            setup,
            start: self.0.random_range(0..n_postures),
            end: self.0.random_range(0..n_postures),
            stage: self.one(&[None, None, None, Some(0), Some(1), Some(2)]),
            group: self.one(&[None, None, Some(1), Some(2)]),
            optional: if self.chance(0.2) {
                Some(self.one(&[0, 40, 200]))
            } else {
                None
            },
        }
    }

    /// A demand of a kind drawn, or `None` where the problem is too small for that kind.
    fn demand(&mut self, steps: &[Step], facets: &[Facet], timed: bool) -> Option<Demand> {
        let n = steps.len();
        let total: i64 = steps.iter().map(|s| s.duration).sum();
        let one = self.0.random_range(0..n);
        let kind = match self.up_to(0, if timed { 18 } else { 6 }) {
            0 => match self.some(2, n)[..] {
                [a, b, ..] => Kind::Precede(Precede { a, b }),
                _ => return None,
            },
            1 => Kind::Contiguous(Contiguous {
                steps: self.some(1, n),
                ordered: self.chance(0.4),
                within: self.one(&[0, 0, 1, 2]),
            }),
            2 => Kind::Place(Place {
                step: one,
                min: self.one(&[1, 1, 2, -1, -2, -3]),
                max: self.one(&[1, 2, 3, -1, -1, -2]),
            }),
            3 => Kind::Follow(Follow {
                trigger: self.some(0, n),
                remedy: self.some(0, n),
                within: self.one(&[0, 1, 2, 3]),
            }),
            4 if !facets.is_empty() => Kind::AtMost(AtMost {
                facet: self.0.random_range(0..facets.len()),
                changes: self.one(&[0, 1, 2, 3]),
            }),
            5 if !facets.is_empty() && n >= 2 => Kind::Same(Same {
                steps: self.some(2, n),
                facet: self.0.random_range(0..facets.len()),
            }),
            4 | 5 => return None,
            6 => {
                let mut pairs = Vec::new();
                for a in 0..n {
                    for b in 0..n {
                        if a != b && self.chance(0.35) {
                            pairs.push((a, b));
                        }
                    }
                }
                let least = self.one(&[None, Some(1), Some(2)]);
                let most = match least {
                    None => Some(self.one(&[0, 1])),
                    Some(_) => self.one(&[None, least]),
                };
                Kind::Neighbours(Neighbours { pairs, least, most })
            }
            7 | 8 => {
                let from = self.0.random_range(0..=total + 300);
                Kind::Window(Window {
                    step: one,
                    from,
                    to: from + self.one(&[0, 100, 1000]),
                })
            }
            9 | 10 => Kind::Recovery(Recovery {
                steps: self.some(1, n),
                seconds: self.one(&[50, 100, 300, 600, 1500]),
            }),
            11 | 12 => Kind::Longest(Longest {
                steps: self.some(1, n),
                limit: self.one(&[100, 600, 1500, 4000]),
                rest: self.one(&[50, 100, 250, 600]),
            }),
            13 | 14 => Kind::Fits(Fits {
                total: total + self.one(&[0, 100, 300, 800]),
            }),
            15 | 16 => Kind::Fatigue(Fatigue {
                region: "a region".into(),
                loads: (self.some(1, n).into_iter())
                    .map(|step| (step, self.one(&[0.0, 0.2, 0.5, 1.0])))
                    .collect(),
                build: 0.015,
                recover: self.one(&[0.0, 0.0015]),
                rest: self.one(&[1.0, 15.0]),
                start: self.one(&[0.0, 0.1]),
                ceiling: self.one(&[0.05, 0.1, 0.2, 0.4]),
            }),
            _ => {
                let from = self.one(&[0, 200, 400]);
                Kind::Peak(Peak {
                    step: one,
                    from,
                    to: from + self.one(&[100, 400, 600]),
                })
            }
        };
        let weight = self.one(&[
            None,
            None,
            None,
            None,
            Some(0),
            Some(30),
            Some(100),
            Some(250),
            Some(800),
        ]);
        Some(Demand { kind, weight })
    }
}
