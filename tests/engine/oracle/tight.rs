//! Random small problems around a plan: the figures of the demands on the clock are those that the plan just meets or just misses, so that
//! seconds decide, early changes among them; and problems at the extremes: no weights, no durations, free changes, all steps optional,
//! many demands on one step.

use rand::seq::{IndexedRandom, SliceRandom};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use segue::problem::Problem;
use segue::problem::check::check;
use segue::problem::demand::fatigue::Fatigue;
use segue::problem::demand::fits::Fits;
use segue::problem::demand::longest::Longest;
use segue::problem::demand::peak::Peak;
use segue::problem::demand::recovery::Recovery;
use segue::problem::demand::window::Window;
use segue::problem::demand::{Demand, Kind};
use segue::problem::timeline::Timeline;
use segue::score::evaluate;

use super::random::{Size, problem};

/// What a problem is to try.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Shape {
    /// Everything together.
    Mixed,
    /// Early changes: few steps, most of which do not care about the facets, which are changed from everywhere; what the plan just meets
    /// must hold.
    Early,
    /// The clock alone: no facets; demands that count, many of them of one kind.
    Clock,
}

/// A problem that depends on the seed and the size alone.
pub fn tight(seed: u64, size: &Size) -> Problem {
    let mut die = ChaCha8Rng::seed_from_u64(seed ^ 0x7465_6e73_6574);
    let shape = pick(&mut die, &[Shape::Mixed, Shape::Early, Shape::Clock]);
    let mut made = match shape {
        Shape::Mixed => problem(seed, size),
        Shape::Early => problem(
            seed,
            &Size {
                untimed: 4,
                ..*size
            },
        ),
        Shape::Clock => problem(seed, &Size { facets: 0, ..*size }),
    };
    made.title = format!("tight {seed}");
    let kept = match shape {
        Shape::Mixed => {
            extremes(&mut made, &mut die);
            0.4
        }
        Shape::Early => {
            early(&mut made, &mut die);
            0.1
        }
        Shape::Clock => 0.2,
    };
    alike_again(&mut made);
    // Most of the demands drawn at first go: what is left is easier to keep, so more problems have a plan. Pairs that must follow each other stay.
    made.demands
        .retain(|d| die.random_bool(kept) || pair(d).is_some());
    let (order, setups) = plan(&made, &mut die);
    let judged = evaluate(&made, &order, &setups);
    assert_eq!(judged.errors, Vec::<String>::new(), "seed {seed}");
    if made.steps.len() <= size.timed {
        // Every other problem has demands of two kinds alone, so that they meet often.
        let mut kinds: Vec<usize> = (0..KINDS).collect();
        kinds.shuffle(&mut die);
        kinds.truncate(pick(&mut die, &[1, 2, KINDS]));
        for _ in 0..die.random_range(0..=6) {
            let kind = match made.demands.choose(&mut die) {
                Some(again) if die.random_bool(0.15) => Some(again.kind.clone()),
                _ => just_so(&made, &judged.timeline, pick(&mut die, &kinds), &mut die),
            };
            let hard = match shape {
                Shape::Mixed => 0.4,
                Shape::Early => 0.7,
                Shape::Clock => 0.15,
            };
            let weight = pick(&mut die, &[0, 1, 30, 70, 99, 100, 101, 250, 1000, 3000]);
            let weight = (!die.random_bool(hard)).then_some(weight);
            made.demands
                .extend(kind.map(|kind| Demand { kind, weight }));
        }
    }
    assert_eq!(check(&made), [], "seed {seed} makes no sound problem");
    made
}

/// How many kinds of demands on the clock [`just_so`] knows.
pub const KINDS: usize = 6;

fn pick<T: Copy>(die: &mut ChaCha8Rng, of: &[T]) -> T {
    *of.choose(die).expect("there is something to draw")
}

/// Facets that are changed from everywhere, that most steps do not care about and that take their time.
fn early(p: &mut Problem, die: &mut ChaCha8Rng) {
    for facet in &mut p.facets {
        if die.random_bool(0.8) {
            facet.reach = None;
        }
    }
    for step in &mut p.steps {
        step.stage = None;
        for choices in &mut step.setup {
            if die.random_bool(0.3) {
                *choices = None;
            }
        }
    }
}

/// Two steps that must follow each other.
pub fn pair(demand: &Demand) -> Option<[usize; 2]> {
    match &demand.kind {
        Kind::Contiguous(d) if demand.weight.is_none() && d.within == 0 => {
            d.steps[..].try_into().ok()
        }
        _ => None,
    }
}

/// The second of each pair asks for what the first asks for, whatever was made of both, if they are of one length and of one place.
fn alike_again(p: &mut Problem) {
    for [a, b] in p.demands.iter().filter_map(pair).collect::<Vec<_>>() {
        let (one, other) = (p.steps[a].clone(), &mut p.steps[b]);
        if (one.duration, one.start, one.end) == (other.duration, other.start, other.end) {
            other.setup = one.setup;
        }
    }
}

/// Each extreme now and then.
fn extremes(p: &mut Problem, die: &mut ChaCha8Rng) {
    if die.random_bool(0.3) {
        for step in &mut p.steps {
            for choices in &mut step.setup {
                if die.random_bool(0.5) {
                    *choices = None;
                }
            }
        }
    }
    if die.random_bool(0.1) {
        p.steps.iter_mut().for_each(|s| s.duration = 0);
    }
    if die.random_bool(0.1) {
        for facet in &mut p.facets {
            facet.change.iter_mut().for_each(|row| row.fill(0));
        }
    }
    if die.random_bool(0.1) {
        p.postures.path.iter_mut().for_each(|row| row.fill(0));
    }
    if die.random_bool(0.3) {
        p.facets.iter_mut().for_each(|f| f.reach = None);
    }
    match die.random_range(0..20) {
        0 => (p.time_weight, p.stop_weight) = (0, 0),
        1 => (p.time_weight, p.stop_weight) = (1_000_000, 3),
        2 => (p.time_weight, p.stop_weight) = (1, 1_000_000_000),
        3 => p.demands.iter_mut().for_each(|d| d.weight = Some(0)),
        4 => (p.demands.iter_mut()).for_each(|d| d.weight = d.weight.map(|w| w * 1_000_000)),
        5 => p.steps.iter_mut().for_each(|s| s.optional = Some(0)),
        6 => p.steps.iter_mut().for_each(|s| s.optional = Some(50)),
        7 => p.steps.iter_mut().for_each(|s| s.group = Some(1)),
        8 | 9 => p.steps.iter_mut().for_each(|s| s.stage = None),
        _ => {}
    }
}

/// An order and set-ups that are allowed, with early changes at random; of the demands only pairs are looked at.
pub fn plan(p: &Problem, die: &mut ChaCha8Rng) -> (Vec<usize>, Vec<Vec<usize>>) {
    let mut order: Vec<usize> = (0..p.steps.len())
        .filter(|&s| p.steps[s].optional.is_none() || die.random_bool(0.5))
        .collect();
    order.shuffle(die);
    // The steps that have a stage take the places of such steps in the order of their stages.
    let places: Vec<usize> = (0..order.len())
        .filter(|&i| p.steps[order[i]].stage.is_some())
        .collect();
    let mut staged: Vec<usize> = places.iter().map(|&i| order[i]).collect();
    staged.sort_by_key(|&s| p.steps[s].stage);
    for (&place, &step) in places.iter().zip(&staged) {
        order[place] = step;
    }
    // The second of a pair goes behind the first; of several pairs the last one drawn is sure to stand.
    for [a, b] in p.demands.iter().filter_map(pair) {
        let alike = p.steps[a].stage == p.steps[b].stage;
        if alike && order.contains(&a) && order.contains(&b) {
            order.retain(|&s| s != b);
            let at = order.iter().position(|&s| s == a).expect("it is used");
            order.insert(at + 1, b);
        }
    }
    let mut setups = vec![vec![0; p.facets.len()]; order.len()];
    for f in 0..p.facets.len() {
        let mut now = p.start_setup[f];
        let mut place = 0;
        while place < order.len() {
            let next = (place..order.len()).find(|&i| p.steps[order[i]].setup[f].is_some());
            let wanted = match next {
                Some(i) => {
                    let choices = p.steps[order[i]].setup[f].iter().flatten();
                    let values: Vec<usize> = choices.map(|c| c.value).collect();
                    pick(die, &values)
                }
                None => p.end.as_ref().and_then(|e| e.setup[f]).unwrap_or(now),
            };
            let until = next.map_or(order.len(), |i| i + 1);
            let last = next.unwrap_or(order.len());
            let change = die.random_range(place..=last);
            for (i, setup) in setups.iter_mut().enumerate().take(until).skip(place) {
                setup[f] = if i < change { now } else { wanted };
            }
            now = wanted;
            place = until;
        }
    }
    (order, setups)
}

/// A demand on the clock whose figures are those of the timeline, or nearly.
pub fn just_so(
    p: &Problem,
    timeline: &Timeline,
    kind: usize,
    die: &mut ChaCha8Rng,
) -> Option<Kind> {
    let n = p.steps.len();
    let mut steps: Vec<usize> = (0..n).collect();
    steps.shuffle(die);
    steps.truncate(die.random_range(1..=n));
    let miss = pick(die, &[0, 0, 0, 0, 1, -1]);
    let at = *(0..timeline.order.len()).collect::<Vec<_>>().choose(die)?;
    let (step, start, end) = (timeline.order[at], timeline.start[at], timeline.end[at]);
    let members: Vec<usize> = (0..timeline.order.len())
        .filter(|&i| steps.contains(&timeline.order[i]))
        .collect();
    let gaps: Vec<i64> = members
        .windows(2)
        .map(|w| timeline.start[w[1]] - timeline.end[w[0]])
        .collect();
    Some(match kind {
        0 => {
            let wide = pick(die, &[0, 0, 50, 1000]);
            let from = (start + miss - pick(die, &[0, wide])).max(0);
            Kind::Window(Window {
                step,
                from,
                to: from + wide,
            })
        }
        1 => Kind::Recovery(Recovery {
            steps,
            seconds: (gaps.choose(die)? + miss).max(0),
        }),
        2 => {
            let rest = (gaps.choose(die)? + pick(die, &[0, 1, 1, 100])).max(0);
            let mut stretches = vec![(
                timeline.start[members[0]],
                timeline.end[members[0]],
                timeline.end[members[0]],
            )];
            for (w, &gap) in members.windows(2).zip(&gaps) {
                let (from, to) = (timeline.start[w[1]], timeline.end[w[1]]);
                match stretches.last_mut() {
                    Some(last) if gap < rest => last.1 = to,
                    _ => stretches.push((from, to, to)),
                }
            }
            let limit = stretches.iter().map(|s| s.1 - s.0).max()?;
            Kind::Longest(Longest {
                steps,
                limit: (limit + miss).max(0),
                rest,
            })
        }
        3 => Kind::Fits(Fits {
            total: (timeline.finish + miss).max(0),
        }),
        4 => {
            let mut d = Fatigue {
                region: "a region".into(),
                loads: (steps.iter())
                    .map(|&s| (s, pick(die, &[0.0, 0.2, 0.5, 1.0])))
                    .collect(),
                build: 0.015,
                recover: pick(die, &[0.0, 0.0015, 0.03]),
                rest: pick(die, &[0.0, 1.0, 15.0]),
                start: pick(die, &[0.0, 0.1]),
                ceiling: 0.0,
            };
            let shares = d.shares(timeline);
            let highest = shares.iter().map(|s| s.1).fold(0.0, f64::max);
            d.ceiling = (highest + pick(die, &[0.0, 0.0, -1e-6, 1e-6])).clamp(0.0, 1.0);
            Kind::Fatigue(d)
        }
        _ => {
            let finish = timeline.finish.max(1);
            let from = (start * 1000 / finish + miss).max(0);
            let to = (end * 1000 + finish - 1) / finish;
            Kind::Peak(Peak {
                step,
                from: pick(die, &[0, from]),
                to: pick(die, &[to, 1000]).max(from),
            })
        }
    })
}
