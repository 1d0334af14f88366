//! Problems too large for trying everything whose optimum is known all the same: a small *core* behind, or before, steps that are easy by
//! themselves but too many for narrow beams to see through. What a search says of the core is then owed to its tables and bounds.
//!
//! The truth of the whole is the optimum of the core with one step in the place of all fillers, which takes as long as they do, and what the
//! fillers cost by themselves: behind the fillers every plan of the core is open at the same time of the class, with the same set-up.

use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use segue::problem::Problem;
use segue::problem::check::check;
use segue::problem::demand::place::Place;
use segue::problem::demand::precede::Precede;
use segue::problem::demand::window::Window;
use segue::problem::demand::{Demand, Kind};
use segue::problem::step::{Choice, Side, Step};

/// How long a filler takes, and the gate behind them.
const WORK: i64 = 1000;
/// From the postures of the fillers to those of the core and back.
const FAR: i64 = 10_000;

/// A larger problem, and what tells its optimum.
#[derive(Debug, Clone)]
pub struct Embedded {
    /// The larger problem.
    pub whole: Problem,
    /// The core with one step instead of the fillers: small enough to try everything.
    pub small: Problem,
    /// By so much the optimum of `whole` is above that of `small`.
    pub more: i64,
}

impl Embedded {
    /// The optimum of the larger problem, by trying everything with the small one; `None`: there is no order.
    pub fn truth(&self) -> Option<i64> {
        super::best(&self.small).map(|best| best.0 + self.more)
    }
}

/// Fillers before the core: each in a posture of its own, in an order that a window on the gate behind them pins to the hundredth of a second.
pub fn before(core: &Problem, fillers: usize, seed: u64) -> Embedded {
    let mut die = ChaCha8Rng::seed_from_u64(seed ^ 0x6265_666f_7265);
    let at: Vec<[i64; 2]> = (0..=fillers)
        .map(|_| [die.random_range(0..1500), die.random_range(0..1500)])
        .collect();
    let among = |i: usize, j: usize| {
        let [a, b] = [at[i], at[j]];
        (a[0] - b[0]).abs() + (a[1] - b[1]).abs()
    };
    let first = core.postures.names.len();
    let entry = (core.start_posture).unwrap_or_else(|| die.random_range(0..first));
    let mut order: Vec<usize> = (0..fillers).collect();
    order.shuffle(&mut die);
    // From the last of the postures, and back to it through the gate.
    let (mut here, mut ways) = (fillers, 0);
    for &next in order.iter().chain([&fillers]) {
        ways += among(here, next);
        here = next;
    }
    let set: Vec<Option<Vec<Choice>>> = (core.start_setup.iter())
        .map(|&value| Some(vec![Choice { value, penalty: 0 }]))
        .collect();
    let begun = ways + WORK * fillers_i64(fillers);

    let mut whole = core.clone();
    spread_out(&mut whole, fillers + 1, among);
    whole.start_posture = Some(first + fillers);
    let n = core.steps.len();
    for i in 0..fillers {
        whole
            .steps
            .push(filler(i, WORK, &set, [first + i, first + i]));
    }
    whole
        .steps
        .push(filler(fillers, WORK, &set, [first + fillers, entry]));
    shift(&mut whole, fillers + 1);
    let gate = n + fillers;
    let precede = |a, b| must(Kind::Precede(Precede { a, b }));
    whole.demands.extend((n..gate).map(|i| precede(i, gate)));
    whole.demands.extend((0..n).map(|s| precede(gate, s)));
    whole.demands.push(must(Kind::Window(Window {
        step: gate,
        from: begun,
        to: begun,
    })));

    let mut small = core.clone();
    small.start_posture = Some(entry);
    small
        .steps
        .push(filler(0, begun + WORK, &set, [entry, entry]));
    shift(&mut small, 1);
    small.demands.extend((0..n).map(|s| precede(n, s)));
    // The clock of the core starts where the fillers end.
    let late = begun + WORK;
    for problem in [&mut whole, &mut small] {
        for demand in problem.demands.iter_mut().take(core.demands.len()) {
            match &mut demand.kind {
                Kind::Window(d) => (d.from, d.to) = (d.from + late, d.to + late),
                Kind::Fits(d) => d.total += late,
                _ => {}
            }
        }
    }
    assert_eq!(check(&whole), [], "seed {seed} makes no sound problem");
    Embedded {
        more: whole.time_weight * ways,
        whole,
        small,
    }
}

/// Fillers after the core, in whichever order is the cheapest. `None` where a core asks for how the class ends, or may be empty, or time costs
/// nothing: then more than the ways among the fillers decides.
pub fn after(core: &Problem, fillers: usize, seed: u64) -> Option<Embedded> {
    let looks_at_the_end = |d: &Demand| matches!(d.kind, Kind::Fits(_) | Kind::Peak(_));
    let may_be_empty = core.steps.iter().all(|s| s.optional.is_some());
    let decides = core.demands.iter().any(looks_at_the_end) || core.time_weight == 0;
    if core.end.is_some() || may_be_empty || decides {
        return None;
    }
    let mut die = ChaCha8Rng::seed_from_u64(seed ^ 0x6166_7465_7200);
    let mut rows: Vec<Vec<i64>> = (0..fillers)
        .map(|_| (0..fillers).map(|_| die.random_range(100..1500)).collect())
        .collect();
    (0..fillers).for_each(|i| rows[i][i] = 0);
    close(&mut rows);
    let first = core.postures.names.len();
    let n = core.steps.len();
    let free: Vec<Option<Vec<Choice>>> = core.facets.iter().map(|_| None).collect();

    let mut whole = core.clone();
    spread_out(&mut whole, fillers, |i, j| rows[i][j]);
    for i in 0..fillers {
        whole
            .steps
            .push(filler(i, WORK, &free, [first + i, first + i]));
    }
    let mut small = core.clone();
    spread_out(&mut small, 1, |_, _| 0);
    small.steps.push(filler(0, WORK, &free, [first, first]));
    for (problem, many) in [(&mut whole, fillers), (&mut small, 1)] {
        for s in 0..n {
            let behind = (n..n + many).map(|b| must(Kind::Precede(Precede { a: s, b })));
            problem.demands.extend(behind);
        }
        let back = fillers_i64(many);
        for demand in problem.demands.iter_mut().take(core.demands.len()) {
            if let Kind::Place(d) = &mut demand.kind {
                let from_the_end = |place: i64| if place < 0 { place - back } else { place };
                (d.min, d.max) = (from_the_end(d.min), from_the_end(d.max));
            }
        }
    }
    assert_eq!(check(&whole), [], "seed {seed} makes no sound problem");
    Some(Embedded {
        more: whole.time_weight * shortest(&rows),
        whole,
        small,
    })
}

fn fillers_i64(fillers: usize) -> i64 {
    i64::try_from(fillers).expect("fillers are few")
}

fn must(kind: Kind) -> Demand {
    Demand { kind, weight: None }
}

fn filler(
    i: usize,
    duration: i64,
    setup: &[Option<Vec<Choice>>],
    [start, end]: [usize; 2],
) -> Step {
    Step {
        id: format!("filler {i}"),
        side: Side::Both,
        duration,
        setup: setup.to_vec(),
        start,
        end,
        stage: None,
        group: None,
        optional: None,
    }
}

/// Postures for fillers, far from those of the core.
fn spread_out(problem: &mut Problem, many: usize, among: impl Fn(usize, usize) -> i64) {
    let first = problem.postures.names.len();
    let core = problem.postures.path.clone();
    let path = |a: usize, b: usize| match (a.checked_sub(first), b.checked_sub(first)) {
        (None, None) => core[a][b],
        (Some(i), Some(j)) => among(i, j),
        _ => FAR,
    };
    let size = first + many;
    problem.postures.path = (0..size)
        .map(|a| (0..size).map(|b| path(a, b)).collect())
        .collect();
    problem
        .postures
        .names
        .extend((0..many).map(|i| format!("far {i}")));
    close(&mut problem.postures.path);
}

/// Makes every way the shortest.
fn close(rows: &mut [Vec<i64>]) {
    for via in 0..rows.len() {
        for a in 0..rows.len() {
            for b in 0..rows.len() {
                rows[a][b] = rows[a][b].min(rows[a][via] + rows[via][b]);
            }
        }
    }
}

/// Places from the front, behind so many steps.
fn shift(problem: &mut Problem, steps: usize) {
    let by = fillers_i64(steps);
    for demand in &mut problem.demands {
        if let Kind::Place(Place { min, max, .. }) = &mut demand.kind {
            for place in [min, max] {
                *place += if *place > 0 { by } else { 0 };
            }
        }
    }
}

/// The shortest way over all of them, by trying every one (Held and Karp 1962).
fn shortest(rows: &[Vec<i64>]) -> i64 {
    let n = rows.len();
    let mut least = vec![vec![i64::MAX / 4; n]; 1 << n];
    for set in 1..1usize << n {
        for last in (0..n).filter(|last| set >> last & 1 == 1) {
            let before = set & !(1 << last);
            least[set][last] = (0..n)
                .filter(|from| before >> from & 1 == 1)
                .map(|from| least[before][from] + rows[from][last])
                .min()
                .unwrap_or(0);
        }
    }
    least[(1 << n) - 1].iter().copied().min().unwrap_or(0)
}
