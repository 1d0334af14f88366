//! The cheapest walks from everywhere, by dynamic programming over places, steps, memories and set-ups, from the end to the start.

use super::grid::{FAR, FAR_ENOUGH, Grid, Room, least};
use super::memory::{Memory, NONE};
use crate::search::tables::Tables;

/// The cheapest walks.
#[derive(Debug)]
pub struct Walks {
    /// `togo[at[place][step]..]`: for each memory of the step and each of its set-ups what a walk still pays; `None`: the step cannot stand there.
    at: Vec<Vec<Option<usize>>>,
    togo: Vec<f32>,
    /// For each step the row in which it ends.
    row: Vec<usize>,
    /// The row before the first step.
    start: usize,
}

impl Walks {
    /// Makes ready.
    pub fn new<const N: usize>(t: &Tables<'_, N>, memory: &Memory<N>, grid: &Grid) -> Self {
        let mut walks = Self {
            at: Vec::new(),
            togo: Vec::new(),
            row: t.problem.steps.iter().map(|s| s.end).collect(),
            start: t.row(t.problem.start_posture),
        };
        walks.lay_out(memory, grid);
        walks
    }

    /// Cells of the table for a memory.
    pub fn cells<const N: usize>(memory: &Memory<N>, grid: &Grid) -> usize {
        let of = |&s: &usize| {
            let (first, last) = memory.places[s];
            (last + 1).saturating_sub(first) * memory.known[s].len() * grid.of[s].len()
        };
        memory.steps.iter().map(of).sum()
    }

    /// Bytes that all this takes for a memory.
    pub fn bytes<const N: usize>(&self, memory: &Memory<N>, grid: &Grid) -> usize {
        let memories: usize = memory.steps.iter().map(|&s| memory.known[s].len()).sum();
        let ahead = memories * grid.size * self.rows(memory, grid).len();
        4 * (Self::cells(memory, grid) + ahead) + 2 * memories * self.row.len()
    }

    /// Additions that one pricing takes, about.
    pub fn work<const N: usize>(&self, memory: &Memory<N>, grid: &Grid) -> usize {
        let of = |&s: &usize| {
            let (first, last) = memory.places[s];
            (last + 1).saturating_sub(first) * memory.known[s].len()
        };
        let lines: usize = memory.steps.iter().map(of).sum();
        let ahead = grid.size * grid.masks() * (self.rows(memory, grid).len() + 2);
        Self::cells(memory, grid) * memory.steps.len() + lines * ahead
    }

    /// Rows that are told apart.
    fn rows<const N: usize>(&self, memory: &Memory<N>, grid: &Grid) -> Vec<usize> {
        if grid.is_apart() {
            return vec![self.start];
        }
        let mut rows: Vec<usize> = memory.steps.iter().map(|&s| self.row[s]).collect();
        rows.push(self.start);
        rows.sort_unstable();
        rows.dedup();
        rows
    }

    /// Makes room for a memory; values are lost.
    pub fn lay_out<const N: usize>(&mut self, memory: &Memory<N>, grid: &Grid) {
        let mut next = 0;
        self.at = (0..memory.steps.len())
            .map(|place| {
                let mut at = vec![None; self.row.len()];
                for &s in memory.steps.iter().filter(|&&s| memory.stands(s, place)) {
                    at[s] = Some(next);
                    next += memory.known[s].len() * grid.of[s].len();
                }
                at
            })
            .collect();
        self.togo.clear();
        self.togo.resize(next, FAR);
    }

    /// Finds the cheapest walks: what the cheapest of all costs, all tolls taken off; `None` if there is no walk.
    pub fn price<const N: usize>(
        &mut self,
        memory: &Memory<N>,
        grid: &Grid,
        tolls: &[f32],
    ) -> Option<i64> {
        // A step that can never be done.
        if memory.steps.iter().any(|&s| memory.known[s].is_empty()) {
            return None;
        }
        let rows = self.rows(memory, grid);
        let row_at: Vec<usize> = (self.row.iter())
            .map(|r| rows.iter().position(|x| x == r).unwrap_or(0))
            .collect();
        let planes = rows.len() * grid.size;
        let mut base = vec![0; self.row.len() + 1];
        for s in 0..self.row.len() {
            base[s + 1] = base[s] + memory.known[s].len();
        }
        // What it takes to come to each step of the next place with each memory, and on from there.
        let mut ahead = vec![FAR; base[self.row.len()] * planes];
        let mut room = Room::default();
        self.togo.fill(FAR);
        for place in (0..memory.steps.len()).rev() {
            let last = place + 1 == memory.steps.len();
            for &i in &memory.steps {
                let Some(at) = self.at[place][i] else {
                    continue;
                };
                let of = &grid.of[i];
                let lines =
                    self.togo[at..at + memory.known[i].len() * of.len()].chunks_exact_mut(of.len());
                for (m, line) in lines.enumerate().filter(|&(m, _)| memory.fits(i, m, place)) {
                    if last {
                        for (cell, &(x, _)) in line.iter_mut().zip(of) {
                            *cell = grid.end(self.row[i], x);
                        }
                        continue;
                    }
                    for &j in &memory.steps {
                        let to = memory.lead(i, m, j);
                        if to == NONE || !memory.fits(j, usize::from(to), place + 1) {
                            continue;
                        }
                        let plane = (base[j] + usize::from(to)) * planes;
                        let (plane, cost) = if grid.is_apart() {
                            (plane, tolls[j] + grid.way(self.row[i], j))
                        } else {
                            (plane + row_at[i] * grid.size, tolls[j])
                        };
                        let ahead = &ahead[plane..plane + grid.size];
                        let mut cells = &mut *line;
                        for &(from, to) in &grid.runs[i] {
                            let (here, more) = cells.split_at_mut(to - from);
                            least(here, &ahead[from..to], cost);
                            cells = more;
                        }
                    }
                    for cell in line {
                        if *cell > FAR_ENOUGH {
                            *cell = FAR;
                        }
                    }
                }
            }
            for &j in &memory.steps {
                let Some(at) = self.at[place][j] else {
                    continue;
                };
                let many = memory.known[j].len();
                let togo = &self.togo[at..at + many * grid.of[j].len()];
                let out = &mut ahead[base[j] * planes..base[j + 1] * planes];
                grid.before(j, many, togo, &rows, &mut room, out);
            }
        }
        let first = |&j: &usize| {
            let to = memory.begin(j);
            if to == NONE || !memory.fits(j, usize::from(to), 0) {
                return FAR;
            }
            let plane = (base[j] + usize::from(to)) * planes + grid.start;
            if grid.is_apart() {
                ahead[plane] + tolls[j] + grid.way(self.start, j)
            } else {
                let row = rows.iter().position(|&r| r == self.start).unwrap_or(0);
                ahead[plane + row * grid.size] + tolls[j]
            }
        };
        let best = memory.steps.iter().map(first).fold(FAR, f32::min);
        let all: f64 = tolls.iter().map(|&toll| f64::from(toll)).sum();
        // Whole numbers, both of them.
        (best <= FAR_ENOUGH).then_some((f64::from(best) - all) as i64)
    }

    /// The steps of a cheapest walk. [`Walks::price`] must have found one with the same tolls.
    pub fn cheapest<const N: usize>(
        &self,
        memory: &Memory<N>,
        grid: &Grid,
        tolls: &[f32],
    ) -> Vec<usize> {
        let mut walk: Vec<usize> = Vec::new();
        let (mut row, mut setup) = (self.start, grid.start);
        let mut last: Option<(usize, usize)> = None;
        for at in &self.at {
            let mut best = (FAR, 0, 0, 0);
            for &j in &memory.steps {
                let to = last.map_or_else(|| memory.begin(j), |(i, m)| memory.lead(i, m, j));
                let (Some(at), true) = (at[j], to != NONE) else {
                    continue;
                };
                let of = &grid.of[j];
                let line = &self.togo[at + usize::from(to) * of.len()..][..of.len()];
                for (&cell, &(x, pays)) in line.iter().zip(of) {
                    let least = cell + pays + tolls[j];
                    if least < best.0 {
                        let cost = least + grid.takes(row, setup, j, x);
                        if cost < best.0 {
                            best = (cost, j, usize::from(to), x);
                        }
                    }
                }
            }
            let (_, step, to, x) = best;
            walk.push(step);
            last = Some((step, to));
            (row, setup) = (self.row[step], x);
        }
        walk
    }
}
