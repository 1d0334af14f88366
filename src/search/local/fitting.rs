//! Set-ups for an order, at once: facet by facet the cheapest way through the values that its steps allow, each facet told which stops the
//! ones before it have made. Not the best ones, as facets share stops and ways, but the ones that are charged are the ones that are told.

use rand::RngExt as _;
use rand_chacha::ChaCha8Rng;

use crate::problem::demand::Kind;
use crate::problem::timeline::Timeline;
use crate::search::rungs::hierarchy;
use crate::search::tables::Tables;

/// A facet that may change only so often costs this much more for a change, where the cheapest way changes it too often.
const SCARCE: i64 = 1 << 40;

/// Chooses set-ups.
pub struct Fitting<'a, const N: usize> {
    tables: &'a Tables<'a, N>,
    facets: Vec<usize>,
    /// For each facet how often it may change.
    most: Vec<Option<i64>>,
    /// For each `same` demand its facet, its steps and the values that all of them allow.
    same: Vec<(usize, Vec<usize>, Vec<usize>)>,
    /// The value that each of these has now; `None`: left to each step.
    value: Vec<Option<usize>>,
    /// `[f * n + s]`: the value that the step must take.
    forced: Vec<Option<usize>>,
    /// For each place, and the end: what the changes take, the facets' bits of what must be reached, whether it halts.
    places: Vec<Place>,
    cells: Vec<Cell>,
    starts: Vec<usize>,
    carers: Vec<usize>,
    gaps: Vec<(i64, usize)>,
    chosen: Vec<usize>,
}

#[derive(Debug, Clone, Copy, Default)]
struct Place {
    time: i64,
    mask: u32,
    stop: bool,
    from: usize,
    to: usize,
}

#[derive(Debug, Clone, Copy)]
struct Cell {
    value: usize,
    cost: i64,
    back: usize,
}

impl<'a, const N: usize> Fitting<'a, N> {
    /// Of a problem; nothing is forced yet.
    pub fn new(tables: &'a Tables<'a, N>) -> Self {
        let problem = tables.problem;
        let mut most = vec![None; tables.n_facets];
        let mut same = Vec::new();
        for demand in &problem.demands {
            match &demand.kind {
                Kind::AtMost(d) => {
                    let least: Option<i64> = most[d.facet];
                    most[d.facet] = Some(least.map_or(d.changes, |m| m.min(d.changes)));
                }
                Kind::Same(d) => {
                    let allows = |s: usize, v: usize| {
                        (tables.choices(s, d.facet)).is_none_or(|c| c.iter().any(|c| c.value == v))
                    };
                    let values = 0..problem.facets[d.facet].values.len();
                    let values = values.filter(|&v| d.steps.iter().all(|&s| allows(s, v)));
                    let values: Vec<usize> = values.collect();
                    if values.len() > 1 {
                        same.push((d.facet, d.steps.clone(), values));
                    }
                }
                _ => {}
            }
        }
        let mut fitting = Self {
            tables,
            facets: hierarchy(tables),
            most,
            value: vec![None; same.len()],
            same,
            forced: vec![None; tables.n_facets * tables.n],
            places: Vec::new(),
            cells: Vec::new(),
            starts: Vec::new(),
            carers: Vec::new(),
            gaps: Vec::new(),
            chosen: Vec::new(),
        };
        for demand in 0..fitting.same.len() {
            let cheapest = fitting.cheapest(demand);
            fitting.force(demand, Some(cheapest));
        }
        fitting
    }

    /// Whether a `same` demand leaves a choice.
    pub fn shares(&self) -> bool {
        !self.same.is_empty()
    }

    /// Gives one `same` demand another value, or all that have a step in a stretch of the order the same one. What to undo is added to `undo`.
    pub fn change(
        &mut self,
        order: &[usize],
        rng: &mut ChaCha8Rng,
        undo: &mut Vec<(usize, Option<usize>)>,
    ) {
        let chosen = rng.random_range(0..self.same.len());
        let (facet, _, values) = &self.same[chosen];
        let (facet, value) = (*facet, values[rng.random_range(0..values.len())]);
        if rng.random_bool(0.5) || order.is_empty() {
            undo.push((chosen, self.force(chosen, Some(value))));
            return;
        }
        let from = rng.random_range(0..order.len());
        let to = rng.random_range(from..order.len());
        for other in 0..self.same.len() {
            let (its, steps, values) = &self.same[other];
            let here = steps.iter().any(|s| order[from..=to].contains(s));
            if *its == facet && here && values.contains(&value) {
                undo.push((other, self.force(other, Some(value))));
            }
        }
    }

    /// Gives values back.
    pub fn undo(&mut self, undo: &[(usize, Option<usize>)]) {
        for &(demand, value) in undo.iter().rev() {
            self.force(demand, value);
        }
    }

    /// Gives all members of a `same` demand this value. The value that they had.
    fn force(&mut self, demand: usize, value: Option<usize>) -> Option<usize> {
        let (facet, steps, _) = &self.same[demand];
        for &s in steps {
            self.forced[facet * self.tables.n + s] = value;
        }
        std::mem::replace(&mut self.value[demand], value)
    }

    /// The value with the least penalties.
    fn cheapest(&self, demand: usize) -> usize {
        let (facet, steps, values) = &self.same[demand];
        let penalty = |v: usize| -> i64 {
            let of = |&s: &usize| {
                let choices = self.tables.choices(s, *facet)?;
                choices.iter().find(|c| c.value == v).map(|c| c.penalty)
            };
            steps.iter().filter_map(of).sum()
        };
        let cheapest = values.iter().copied().min_by_key(|&v| penalty(v));
        cheapest.expect("only demands with a choice are kept")
    }

    /// Set-ups for `order` and its clock, in `timeline`; its score without demands.
    pub fn fit(&mut self, order: &[usize], timeline: &mut Timeline) -> i64 {
        let t = self.tables;
        let problem = t.problem;
        let m = order.len();
        self.places.clear();
        let mut row = t.row(problem.start_posture);
        for &s in order {
            let step = &problem.steps[s];
            self.places.push(Place {
                from: row,
                to: step.start,
                ..Place::default()
            });
            row = step.end;
        }
        if let Some(end) = &problem.end {
            self.places.push(Place {
                from: row,
                to: t.row(end.posture),
                ..Place::default()
            });
        }
        timeline.order.clear();
        timeline.order.extend_from_slice(order);
        timeline.setups.resize_with(m, Vec::new);
        for setup in &mut timeline.setups {
            setup.clear();
            setup.extend_from_slice(&problem.start_setup);
        }
        timeline.facet_changes.clear();
        timeline.facet_changes.resize(t.n_facets, 0);
        let mut penalties = order.iter().map(|&s| t.idle_penalty[s]).sum::<i64>();
        for at in 0..self.facets.len() {
            let f = self.facets[at];
            let changes = self.facet(f, order, 0);
            if self.most[f].is_some_and(|most| changes > most) {
                self.facet(f, order, SCARCE);
            }
            penalties += self.lay(f, order, timeline);
        }
        penalties += (order.iter())
            .map(|&s| problem.steps[s].optional.unwrap_or(0))
            .sum::<i64>();
        let (changeover, stops) = self.clock(order, timeline);
        problem.time_weight * changeover + problem.stop_weight * stops + penalties
    }

    /// The cheapest way of one facet, a change `extra` dearer. How often it changes.
    fn facet(&mut self, f: usize, order: &[usize], extra: i64) -> i64 {
        let t = self.tables;
        let problem = t.problem;
        let facet = &problem.facets[f];
        let weight = problem.time_weight;
        self.carers.clear();
        self.gaps.clear();
        self.cells.clear();
        self.starts.clear();
        self.starts.push(0);
        self.cells.push(Cell {
            value: problem.start_setup[f],
            cost: 0,
            back: 0,
        });
        let wanted = problem.end.as_ref().and_then(|end| end.setup[f]);
        let bit = t.reach_bit[f];
        let halts = t.halts >> f & 1 == 1;
        let (mut least, mut least_at) = (i64::MAX, 0);
        for (x, place) in self.places.iter().enumerate() {
            // What a change here costs beside itself.
            let mut aside = extra;
            if bit != 0 && place.mask & bit == 0 {
                let more = t.way(place.mask | bit, place.from, place.to)
                    - t.way(place.mask, place.from, place.to);
                aside += weight * more;
            }
            if halts && !place.stop {
                aside += problem.stop_weight;
            }
            if aside <= least {
                (least, least_at) = (aside, x);
            }
            let own: &[crate::problem::step::Choice];
            let last;
            if x == order.len() {
                let Some(value) = wanted else { continue };
                last = [crate::problem::step::Choice { value, penalty: 0 }];
                own = &last;
            } else {
                let Some(choices) = t.choices(order[x], f) else {
                    continue;
                };
                own = choices;
            }
            let forced = (order.get(x)).and_then(|&s| self.forced[f * t.n + s]);
            let (from, to) = (self.starts[self.starts.len() - 1], self.cells.len());
            for choice in own {
                if forced.is_some_and(|v| v != choice.value) {
                    continue;
                }
                let (mut cost, mut back) = (i64::MAX, from);
                for (i, cell) in self.cells[from..to].iter().enumerate() {
                    let change = if cell.value == choice.value {
                        0
                    } else {
                        weight * facet.change[cell.value][choice.value] + least
                    };
                    if cell.cost + change < cost {
                        (cost, back) = (cell.cost + change, from + i);
                    }
                }
                self.cells.push(Cell {
                    value: choice.value,
                    cost: cost + choice.penalty,
                    back,
                });
            }
            self.starts.push(to);
            self.carers.push(x);
            self.gaps.push((least, least_at));
            least = i64::MAX;
        }
        self.chosen.clear();
        let from = self.starts[self.starts.len() - 1];
        let best = (from..self.cells.len()).min_by_key(|&i| self.cells[i].cost);
        let mut at = best.expect("a step allows a value");
        let mut changes = 0;
        for _ in 0..self.carers.len() {
            self.chosen.push(self.cells[at].value);
            let back = self.cells[at].back;
            changes += i64::from(self.cells[back].value != self.cells[at].value);
            at = back;
        }
        self.chosen.reverse();
        changes
    }

    /// Puts the values chosen last into the set-ups, and the changes into their places. The penalties of the values.
    fn lay(&mut self, f: usize, order: &[usize], timeline: &mut Timeline) -> i64 {
        let t = self.tables;
        let change = &t.problem.facets[f].change;
        let mut value = t.problem.start_setup[f];
        let mut penalties = 0;
        let mut laid = 0;
        for ((&x, &(_, at)), &chosen) in self.carers.iter().zip(&self.gaps).zip(&self.chosen) {
            let until = if chosen == value { x } else { at };
            let end = (x + 1).min(order.len());
            for setup in &mut timeline.setups[laid.min(end)..until.min(end)] {
                setup[f] = value;
            }
            if chosen != value {
                let place = &mut self.places[at];
                place.time += change[value][chosen];
                place.mask |= t.reach_bit[f];
                place.stop |= t.halts >> f & 1 == 1;
                timeline.facet_changes[f] += 1;
                value = chosen;
            }
            for setup in &mut timeline.setups[until.min(end)..end] {
                setup[f] = value;
            }
            laid = end;
            if let Some(&s) = order.get(x) {
                let choices = t.choices(s, f).unwrap_or_default();
                let own = choices.iter().find(|c| c.value == chosen);
                penalties += own.map_or(0, |c| c.penalty);
            }
        }
        for setup in &mut timeline.setups[laid..] {
            setup[f] = value;
        }
        penalties
    }

    /// Puts the clock into the timeline. All change-overs, and the stops.
    fn clock(&self, order: &[usize], timeline: &mut Timeline) -> (i64, i64) {
        let t = self.tables;
        timeline.changeover_start.clear();
        timeline.start.clear();
        timeline.end.clear();
        timeline.stops.clear();
        let (mut now, mut changeover, mut stops) = (0, 0, 0);
        for (place, &s) in self.places.iter().zip(order) {
            let time = place.time + t.way(place.mask, place.from, place.to);
            changeover += time;
            stops += i64::from(place.stop);
            timeline.changeover_start.push(now);
            timeline.start.push(now + time);
            now += time + t.problem.steps[s].duration;
            timeline.end.push(now);
            timeline.stops.push(place.stop);
        }
        (timeline.final_changeover, timeline.final_stop) = (0, false);
        if let Some(place) = self.places.get(order.len()) {
            let time = place.time + t.way(place.mask, place.from, place.to);
            changeover += time;
            stops += i64::from(place.stop);
            now += time;
            (timeline.final_changeover, timeline.final_stop) = (time, place.stop);
        }
        timeline.finish = now;
        (changeover, stops)
    }
}
