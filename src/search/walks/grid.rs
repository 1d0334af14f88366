//! The set-ups of some facets as a dense grid, and what it takes to come into a step from each of them.
//!
//! Costs are 32-bit floats that hold whole numbers: below 2^24 these are exact, and the processor takes the lesser of two of them at once. Where
//! plans cost more than that, costs are counted in a larger unit and each is rounded down: a walk then costs no more than in full, so the
//! bound stays one, and loses one unit at most for each change, way and penalty of a walk.

use crate::search::tables::{Tables, values_in_use};

/// No way leads there.
pub const FAR: f32 = f32::INFINITY;
/// Plans that cost more units are not told of; nor do tolls come to more than this in all, so that what a plan still pays lies below twice as much.
pub const MOST_COST: i64 = 1 << 22;
/// Walks dearer than this, tolls on, are as good as none.
pub const FAR_ENOUGH: f32 = (2 * MOST_COST) as f32;

/// The grid.
#[derive(Debug)]
pub struct Grid {
    /// For each facet the values that a plan may need.
    values: Vec<Vec<usize>>,
    /// For each how far apart neighbouring values stand in the grid.
    stride: Vec<usize>,
    /// How many set-ups there are.
    pub size: usize,
    /// The one at the start.
    pub start: usize,
    /// For each step the set-ups that it may be done with, ascending, and what it pays for them.
    pub of: Vec<Vec<(usize, f32)>>,
    /// The same as stretches of the grid: first, and one past the last.
    pub runs: Vec<Vec<(usize, usize)>>,
    /// For each step and each facet where the values that it may have stand; `None`: it does not care.
    choices: Vec<Vec<Option<Vec<usize>>>>,
    /// For each step and each facet whether it may change before it.
    moves: Vec<Vec<bool>>,
    /// For each facet the cost of a change, `from * values + to`.
    change: Vec<Vec<f32>>,
    /// For each facet what a change of it adds to a mask: that the class halts, and what has to be reached.
    mark: Vec<usize>,
    masks: usize,
    /// For each step and, last, for the end: what a change-over costs besides the changes, `mask * rows + row`.
    way: Vec<Vec<f32>>,
    rows: usize,
    /// What is paid after the last step, `row * size + set-up`.
    end: Vec<f32>,
}

/// Room to work in.
#[derive(Debug, Default)]
pub struct Room {
    now: Vec<f32>,
    next: Vec<f32>,
    sum: Vec<f32>,
}

impl Grid {
    /// The grid of the facets of `order`, those left out that would make it larger than `most` set-ups. Steps that are `twice` pay their penalties twice.
    /// Costs are counted in `unit`s of the score, at least 1.
    pub fn new<const N: usize>(
        t: &Tables<'_, N>,
        order: &[usize],
        most: usize,
        twice: &[bool],
        unit: i64,
    ) -> Self {
        let problem = t.problem;
        let small = |cost: i64| small(cost, unit);
        let (mut facets, mut values, mut size) = (Vec::new(), Vec::new(), 1);
        for &f in order {
            let list = values_in_use(problem, f);
            if size * list.len() <= most {
                size *= list.len();
                facets.push(f);
                values.push(list);
            }
        }
        let mut stride = vec![1; values.len()];
        for k in (1..values.len()).rev() {
            stride[k - 1] = stride[k] * values[k].len();
        }
        let start = (facets.iter().enumerate())
            .map(|(k, &f)| number(&values[k], problem.start_setup[f]) * stride[k])
            .sum();
        let of: Vec<Vec<(usize, f32)>> = (0..t.n)
            .map(|s| {
                let times = 1 + i64::from(twice[s]);
                // What the facets pay that are not in the grid.
                let least = |f: usize| t.choices(s, f)?.iter().map(|c| c.penalty).min();
                let others = (0..t.n_facets).filter(|f| !facets.contains(f));
                let pays: i64 = others.filter_map(least).sum();
                let mut list = vec![(0, pays * times)];
                for (k, &f) in facets.iter().enumerate() {
                    let choices: Vec<(usize, i64)> = match t.choices(s, f) {
                        Some(c) => c
                            .iter()
                            .map(|c| (number(&values[k], c.value), c.penalty * times))
                            .collect(),
                        None => (0..values[k].len()).map(|v| (v, 0)).collect(),
                    };
                    let each = |&(v, pays): &(usize, i64)| {
                        let so_far = list.iter();
                        let more = so_far.map(|&(x, p)| (x + v * stride[k], p + pays));
                        more.collect::<Vec<_>>()
                    };
                    list = choices.iter().flat_map(each).collect();
                }
                list.sort_unstable();
                list.into_iter().map(|(x, p)| (x, small(p))).collect()
            })
            .collect();
        // Only what some facet of the grid has to reach.
        let mut reached: Vec<u32> = facets.iter().map(|&f| t.reach_bit[f]).collect();
        reached.retain(|&bit| bit != 0);
        reached.sort_unstable();
        reached.dedup();
        let mark = |&f: &usize| {
            let reach = reached.iter().position(|&bit| bit == t.reach_bit[f]);
            usize::from(t.halts >> f & 1 == 1) | reach.map_or(0, |b| 2 << b)
        };
        let moves = |s: usize| {
            let may = |&f: &usize| t.choices(s, f).is_some() || (t.halts | t.loose) >> f & 1 == 1;
            facets.iter().map(may).collect()
        };
        let choices = |s: usize| -> Vec<Option<Vec<usize>>> {
            let of = |(k, &f): (usize, &usize)| {
                let mut list: Vec<usize> = t
                    .choices(s, f)?
                    .iter()
                    .map(|c| number(&values[k], c.value))
                    .collect();
                list.sort_unstable();
                Some(list)
            };
            facets.iter().enumerate().map(of).collect()
        };
        let change = |(&f, list): (&usize, &Vec<usize>)| {
            let row = |&u: &usize| {
                let cost = move |&v: &usize| problem.facets[f].change[u][v] * problem.time_weight;
                list.iter().map(cost).map(small).collect::<Vec<_>>()
            };
            list.iter().flat_map(row).collect()
        };
        let mut grid = Self {
            size,
            start,
            runs: of.iter().map(|list| runs(list)).collect(),
            of,
            choices: (0..t.n).map(choices).collect(),
            moves: (0..t.n).map(moves).collect(),
            change: facets.iter().zip(&values).map(change).collect(),
            mark: facets.iter().map(mark).collect(),
            masks: 2 << reached.len(),
            way: Vec::new(),
            rows: t.rows(),
            end: Vec::new(),
            values,
            stride,
        };
        let end = t.row(problem.end.as_ref().and_then(|e| e.posture));
        let starts = problem.steps.iter().map(|s| s.start).chain([end]);
        grid.way = (starts.map(|to| grid.ways(t, &reached, to, unit))).collect();
        let ends: Vec<Option<usize>> = (facets.iter().enumerate())
            .map(|(k, &f)| problem.end.as_ref()?.setup[f].map(|v| number(&grid.values[k], v)))
            .collect();
        if problem.end.is_some() {
            grid.end = (0..grid.rows * size)
                .map(|cell| grid.ending(t.n, &ends, cell / size, cell % size))
                .collect();
        }
        grid
    }

    /// What a change-over to a row of `ways` costs besides the changes.
    fn ways<const N: usize>(
        &self,
        t: &Tables<'_, N>,
        reached: &[u32],
        to: usize,
        unit: i64,
    ) -> Vec<f32> {
        let mut way = Vec::with_capacity(self.masks * self.rows);
        for mask in 0..self.masks {
            let bits = reached.iter().enumerate();
            let bits = bits.filter(|(b, _)| mask >> (b + 1) & 1 == 1);
            let reach = bits.fold(0, |all, (_, bit)| all | bit);
            let stop = if mask & 1 == 1 {
                t.problem.stop_weight
            } else {
                0
            };
            for row in 0..self.rows {
                way.push(match t.way(reach, row, to) {
                    i64::MAX => FAR,
                    time => small(time * t.problem.time_weight + stop, unit),
                });
            }
        }
        way
    }

    /// The value of a facet in a set-up, by its number among those in use.
    fn value(&self, k: usize, setup: usize) -> usize {
        setup / self.stride[k] % self.values[k].len()
    }

    fn ending(&self, n: usize, ends: &[Option<usize>], row: usize, setup: usize) -> f32 {
        let (mut sum, mut mask) = (0.0, 0);
        for (k, end) in ends.iter().enumerate() {
            let now = self.value(k, setup);
            if let Some(to) = end.filter(|&to| to != now) {
                sum += self.change[k][now * self.values[k].len() + to];
                mask |= self.mark[k];
            }
        }
        sum + self.way[n][mask * self.rows + row]
    }

    /// What is paid after the last step, if it ends in this row with this set-up.
    pub fn end(&self, row: usize, setup: usize) -> f32 {
        self.end
            .get(row * self.size + setup)
            .map_or(0.0, |&cost| cost)
    }

    /// What the change-over costs from a set-up in a row to a step done with another, without penalties; [`FAR`] if there is none.
    pub fn takes(&self, row: usize, from: usize, step: usize, to: usize) -> f32 {
        let (mut sum, mut mask) = (0.0, 0);
        for k in 0..self.values.len() {
            let (u, v) = (self.value(k, from), self.value(k, to));
            if u != v {
                if !self.moves[step][k] {
                    return FAR;
                }
                sum += self.change[k][u * self.values[k].len() + v];
                mask |= self.mark[k];
            }
        }
        sum + self.way[step][mask * self.rows + row]
    }

    /// Whether nothing has to be reached: rows then differ by [the way](Self::way) alone.
    pub fn is_apart(&self) -> bool {
        self.masks == 2
    }

    /// Kinds of change-over that are told apart: whether the class halts, what is reached.
    pub fn masks(&self) -> usize {
        self.masks
    }

    /// The way from a row to a step, if nothing has to be reached.
    pub fn way(&self, row: usize, step: usize) -> f32 {
        self.way[step][row]
    }

    /// What it takes at least to come into `step` and on from there.
    ///
    /// `togo[m * of.len() + i]` is what is still to pay after the step with its i-th set-up, for each of `many` memories m.
    /// `out[(m * rows.len() + r) * size + x]` becomes the least for a plan that stands in row `rows[r]` with set-up x; without the way if
    /// [that is apart](Self::is_apart).
    pub fn before(
        &self,
        step: usize,
        many: usize,
        togo: &[f32],
        rows: &[usize],
        room: &mut Room,
        out: &mut [f32],
    ) {
        let Room { now, next, sum } = room;
        // All memories side by side: the innermost loop is as long as there are memories, or longer.
        let mut cells = self.of[step].len() * many;
        now.clear();
        for (i, &(_, pays)) in self.of[step].iter().enumerate() {
            let ahead = togo.chunks_exact(self.of[step].len());
            now.extend(ahead.map(|line| line[i] + pays));
        }
        let mut masks = vec![0];
        // Facets that the step does not care about first: the others have fewer values until it is their turn.
        for careless in [true, false] {
            for k in 0..self.values.len() {
                let choices = self.choices[step][k].as_deref();
                if choices.is_none() == careless && self.moves[step][k] {
                    let after = (k + 1..self.values.len()).map(|l| self.wide(step, l));
                    let inner = many * after.product::<usize>();
                    cells = self.spread(k, choices, inner, cells, &mut masks, now, next);
                    std::mem::swap(now, next);
                }
            }
        }
        let apart = self.is_apart();
        for (r, &row) in rows.iter().enumerate() {
            sum.clear();
            sum.resize(cells, FAR);
            for (now, &mask) in now.chunks_exact(cells).zip(&masks) {
                let way = self.way[step][mask * self.rows + row];
                let way = if apart {
                    way - self.way[step][row]
                } else {
                    way
                };
                least(sum, now, way);
            }
            for m in 0..many {
                let line = &mut out[(m * rows.len() + r) * self.size..][..self.size];
                for (out, sums) in line.iter_mut().zip(sum.chunks_exact(many)) {
                    *out = sums[m];
                }
            }
        }
    }

    /// How many values of a facet a step has.
    fn wide(&self, step: usize, k: usize) -> usize {
        let full = self.values[k].len();
        self.choices[step][k].as_ref().map_or(full, Vec::len)
    }

    /// From costs by the value of a facet after a change to costs by its value before: one plane for each of the `masks`, each of so many `cells`, in which the
    /// values of the facet stand `inner` apart. Gives the cells of a plane of `next`.
    #[expect(clippy::too_many_arguments, reason = "planes and their sizes")]
    fn spread(
        &self,
        k: usize,
        choices: Option<&[usize]>,
        inner: usize,
        cells: usize,
        masks: &mut Vec<usize>,
        now: &[f32],
        next: &mut Vec<f32>,
    ) -> usize {
        let n = self.values[k].len();
        let few = choices.map_or(n, <[_]>::len);
        let wider = cells / few * n;
        let old = masks.clone();
        let changed: Vec<usize> = (old.iter())
            .map(|mask| {
                let mask = mask | self.mark[k];
                let known = masks.iter().position(|&m| m == mask);
                known.unwrap_or_else(|| {
                    masks.push(mask);
                    masks.len() - 1
                })
            })
            .collect();
        next.clear();
        next.resize(masks.len() * wider, FAR);
        for (stays, (now, &changed)) in now.chunks_exact(cells).zip(&changed).enumerate() {
            for (o, block) in now.chunks_exact(few * inner).enumerate() {
                for (i, from) in block.chunks_exact(inner).enumerate() {
                    let v = choices.map_or(i, |list| list[i]);
                    for u in 0..n {
                        let plane = if u == v { stays } else { changed };
                        let at = plane * wider + (o * n + u) * inner;
                        least(&mut next[at..at + inner], from, self.change[k][u * n + v]);
                    }
                }
            }
        }
        wider
    }
}

/// Which of the values in use it is.
fn number(list: &[usize], value: usize) -> usize {
    let found = list.iter().position(|&v| v == value);
    found.expect("a value that is allowed is in use")
}

fn runs(list: &[(usize, f32)]) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for &(x, _) in list {
        match runs.last_mut() {
            Some(run) if run.1 == x => run.1 += 1,
            _ => runs.push((x, x + 1)),
        }
    }
    runs
}

/// A cost in units, rounded down, as a float; what is far too much stays far too much.
fn small(cost: i64, unit: i64) -> f32 {
    (cost / unit).min(2 * MOST_COST + 1) as f32
}

/// Each cell becomes no more than its `ahead` and `cost`.
#[inline]
pub fn least(cells: &mut [f32], ahead: &[f32], cost: f32) {
    for (cell, &ahead) in cells.iter_mut().zip(ahead) {
        let through = ahead + cost;
        // Written out: `f32::min` would mind what is not a number.
        *cell = if through < *cell { through } else { *cell };
    }
}
