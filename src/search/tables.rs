//! The problem as dense tables, made once: what the search reads in its inner loop.

use std::collections::HashMap;

use super::done_set::Bits;
use super::precedence::Precedence;
use super::twins::twins;
use crate::problem::Problem;
use crate::problem::demand::{Demand, Kind};
use crate::problem::facet::Facet;

/// More facets than this are refused: a set of facets is kept in 32 bits.
pub const MAX_FACETS: usize = 32;
/// More facets with a reach than this are refused: the ways are tabled for every set of them.
pub const MAX_REACHED: usize = 12;

/// A set of facets, one bit each.
pub type FacetSet = u32;

/// A soft `precede` as the search charges it: when the step is placed and the other one is, or is not, done.
#[derive(Debug, Clone, Copy)]
pub struct LateCharge {
    /// The other step.
    pub other: usize,
    /// Charged if the other is done (`true`) or not yet done (`false`).
    pub when_done: bool,
    /// Weight of the demand.
    pub weight: i64,
}

/// The tables.
#[derive(Debug)]
pub struct Tables<'a, const N: usize> {
    /// The problem itself.
    pub problem: &'a Problem,
    /// Number of steps.
    pub n: usize,
    /// Number of facets.
    pub n_facets: usize,
    /// Steps that must be done.
    pub must: Bits<N>,
    /// `need[s]`: steps that are done before s may be placed.
    pub need: Vec<Bits<N>>,
    /// `bar[s]`: if one of them is done, s can no longer be placed.
    pub bar: Vec<Bits<N>>,
    /// Blocks in one piece: members, and the members that must be done.
    pub blocks: Vec<(Bits<N>, Bits<N>)>,
    /// Soft `precede` demands, by the step whose placing settles them.
    pub late: Vec<Vec<LateCharge>>,
    /// For each facet the steps that care about it.
    pub cares: Vec<Bits<N>>,
    /// For each facet its bit in the mask of `ways`; 0 if it is changed from everywhere or never. Facets that are reached from the same
    /// postures share a bit.
    pub reach_bit: Vec<u32>,
    /// Facets that halt the class.
    pub halts: FacetSet,
    /// Facets with a reach, or whose value counts at a step that does not care about it (a `same` demand): they may change early
    /// anywhere.
    pub loose: FacetSet,
    /// All facets that can change at all.
    pub all: FacetSet,
    /// For each step the penalties of facets that cannot change.
    pub idle_penalty: Vec<i64>,
    /// Class of each step as the last one: steps of a class are alike for all that may follow. A class is the row of `ways` that it
    /// starts from, then so many bits ([`Self::kind_bits`]) for its kind among those of the row.
    pub class_of: Vec<usize>,
    /// The class before the first step.
    pub start_class: usize,
    /// Bits of a class that tell its kind.
    pub kind_bits: u32,
    /// For each class a step of it; `None` where there is none.
    pub class_step: Vec<Option<usize>>,
    /// For each step the greatest time that a change-over into it can take.
    pub longest_entry: Vec<i64>,
    /// Greatest time of the final change-over.
    pub longest_final: i64,
    /// No class takes longer than this.
    pub longest_class: i64,
    /// Durations of all steps, optional ones too.
    pub all_durations: i64,
    /// By how much early changes outside the canonical ones may bring change-over time forward, at most.
    pub ahead: i64,
    /// `[class * n + step]`: what `recovery` demands certainly cost if the step comes directly after the class; `None`: it cannot.
    pub short_rest: Vec<Option<i64>>,
    ways: Vec<Vec<i64>>,
    width: usize,
}

/// Why a problem is refused by this search, in words.
pub fn refusal(problem: &Problem) -> Option<String> {
    let reached = problem.facets.iter().filter(|f| f.reach.is_some()).count();
    if problem.facets.len() > MAX_FACETS {
        Some(format!(
            "the search takes at most {MAX_FACETS} facets; this problem has {}",
            problem.facets.len()
        ))
    } else if reached > MAX_REACHED {
        Some(format!(
            "the search takes at most {MAX_REACHED} facets with a reach; this problem has {reached}"
        ))
    } else {
        None
    }
}

impl<'a, const N: usize> Tables<'a, N> {
    /// The tables of a problem that [`refusal`] does not refuse.
    pub fn new(problem: &'a Problem) -> Self {
        let n = problem.steps.len();
        let n_facets = problem.facets.len();
        let width = problem.postures.names.len() + 1;
        let precedence = Precedence::of(problem);
        let optional = |s: usize| problem.steps[s].optional.is_some();
        let must = Bits::of(&(0..n).filter(|&s| !optional(s)).collect::<Vec<_>>());
        let mut need = vec![Bits::default(); n];
        let mut bar = vec![Bits::default(); n];
        for (a, barred) in bar.iter_mut().enumerate() {
            for (b, needed) in need.iter_mut().enumerate() {
                if precedence.is_before(a, b) {
                    if !optional(a) {
                        needed.insert(a);
                    }
                    barred.insert(b);
                }
            }
        }
        for (a, b) in twins(problem, &precedence) {
            need[b].insert(a);
        }
        let mut late = vec![Vec::new(); n];
        let mut blocks = Vec::new();
        for demand in &problem.demands {
            match (&demand.kind, demand.weight) {
                (Kind::Precede(d), Some(weight)) => {
                    if optional(d.a) {
                        late[d.a].push(LateCharge {
                            other: d.b,
                            when_done: true,
                            weight,
                        });
                    } else {
                        late[d.b].push(LateCharge {
                            other: d.a,
                            when_done: false,
                            weight,
                        });
                    }
                }
                (Kind::Contiguous(d), None) if d.within == 0 && d.steps.len() > 1 => {
                    let members = Bits::of(&d.steps);
                    blocks.push((members, members.and(&must)));
                }
                _ => {}
            }
        }
        let cares: Vec<Bits<N>> = (0..n_facets)
            .map(|f| {
                Bits::of(
                    &(0..n)
                        .filter(|&s| problem.steps[s].setup[f].is_some())
                        .collect::<Vec<_>>(),
                )
            })
            .collect();
        let active: Vec<usize> = (0..n_facets).filter(|&f| !is_idle(problem, f)).collect();
        let (reach_bit, bits) = reach_bits(problem, &active);
        let (mut halts, mut loose) = (0, 0);
        for (f, facet) in problem.facets.iter().enumerate() {
            if facet.reach.is_some() {
                loose |= 1 << f;
            }
            if facet.stop {
                halts |= 1 << f;
            }
        }
        for demand in &problem.demands {
            if let Kind::Same(d) = &demand.kind
                && d.steps
                    .iter()
                    .any(|&s| problem.steps[s].setup[d.facet].is_none())
            {
                loose |= 1 << d.facet;
            }
        }
        let idle_penalty = (0..n)
            .map(|s| {
                let idle = (0..n_facets).filter(|f| !active.contains(f));
                idle.filter_map(|f| problem.steps[s].setup[f].as_ref().map(|c| c[0].penalty))
                    .sum()
            })
            .collect();
        let mut tables = Self {
            problem,
            n,
            n_facets,
            must,
            need,
            bar,
            blocks,
            late,
            cares,
            ways: ways(problem, &reach_bit, bits, width),
            reach_bit,
            halts,
            loose,
            all: active.iter().map(|&f| 1 << f).sum(),
            idle_penalty,
            class_of: Vec::new(),
            start_class: 0,
            kind_bits: 0,
            class_step: Vec::new(),
            longest_entry: Vec::new(),
            longest_final: 0,
            longest_class: 0,
            all_durations: problem.steps.iter().map(|s| s.duration).sum(),
            ahead: 0,
            short_rest: Vec::new(),
            width,
        };
        tables.longest_entry = (0..n)
            .map(|b| tables.longest_changeover(None, Some(b)))
            .collect();
        tables.longest_final = tables.longest_changeover(None, None);
        tables.longest_class =
            tables.longest_final + tables.all_durations + tables.longest_entry.iter().sum::<i64>();
        tables.ahead = active
            .iter()
            .filter(|&f| tables.loose >> f & 1 == 0)
            .map(|&f| {
                problem.facets[f]
                    .change
                    .iter()
                    .flatten()
                    .copied()
                    .max()
                    .unwrap_or(0)
            })
            .sum();
        tables.classify();
        tables
    }

    /// Time of the cheapest way from row `from` to row `to` that serves the facets in `mask` (bits of `reach_bit`).
    #[inline]
    pub fn way(&self, mask: u32, from: usize, to: usize) -> i64 {
        self.ways[mask as usize][from * self.width + to]
    }

    /// How many rows `ways` has.
    pub fn rows(&self) -> usize {
        self.width
    }

    /// The row of `ways` for a posture; `None`: anywhere.
    pub fn row(&self, posture: Option<usize>) -> usize {
        posture.unwrap_or(self.width - 1)
    }

    /// The allowed values of a step for a facet, or `None` if it does not care.
    #[inline]
    pub fn choices(&self, step: usize, facet: usize) -> Option<&[crate::problem::step::Choice]> {
        self.problem.steps[step].setup[facet].as_deref()
    }

    /// No change-over directly from step `from` (`None`: from whatever comes before) to step `to` (`None`: the end) takes longer,
    /// with whatever set-ups.
    pub fn longest_changeover(&self, from: Option<usize>, to: Option<usize>) -> i64 {
        let full = u32::try_from(self.ways.len() - 1).expect("ways are few");
        let rows: Vec<usize> = match from {
            Some(a) => vec![self.problem.steps[a].end],
            None => (0..self.width)
                .filter(|&r| self.way(full, r, 0) < i64::MAX)
                .collect(),
        };
        let target = match to {
            Some(b) => self.problem.steps[b].start,
            None => self.row(self.problem.end.as_ref().and_then(|e| e.posture)),
        };
        if to.is_none() && self.problem.end.is_none() {
            return 0;
        }
        let way = rows
            .iter()
            .map(|&r| self.way(full, r, target))
            .max()
            .unwrap_or(0);
        let changes: i64 = (0..self.n_facets)
            .map(|f| {
                let change = &self.problem.facets[f].change;
                let all: Vec<usize> = (0..change.len()).collect();
                let list = |step: Option<usize>| -> Vec<usize> {
                    step.and_then(|s| self.choices(s, f))
                        .map_or(all.clone(), |c| c.iter().map(|c| c.value).collect())
                };
                let (us, vs) = (list(from), list(to));
                us.iter()
                    .flat_map(|&u| vs.iter().map(move |&v| change[u][v]))
                    .max()
                    .unwrap_or(0)
            })
            .sum();
        way + changes
    }

    /// The row of `ways` that a class starts from.
    #[inline]
    pub fn row_of(&self, class: usize) -> usize {
        class >> self.kind_bits
    }

    /// Groups the steps by what they mean as the last step: the posture they end in, the `neighbours` pairs that they open, and the
    /// steps that cannot rest long enough directly after them.
    fn classify(&mut self) {
        let start = self.row(self.problem.start_posture);
        let mut kinds: Vec<Vec<Option<usize>>> = vec![Vec::new(); self.width];
        kinds[start].push(None);
        let mut seen: HashMap<(usize, Vec<bool>), usize> = HashMap::new();
        let mut of = Vec::new();
        for s in 0..self.n {
            let mut opens = Vec::new();
            for demand in &self.problem.demands {
                match &demand.kind {
                    Kind::Neighbours(d) => {
                        opens.extend((0..self.n).map(|t| d.pairs.contains(&(s, t))))
                    }
                    Kind::Recovery(_) => {
                        opens.extend((0..self.n).map(|t| self.rests_too_little(demand, s, t)))
                    }
                    _ => {}
                }
            }
            let row = self.problem.steps[s].end;
            let next = kinds[row].len();
            let kind = *seen.entry((row, opens)).or_insert(next);
            if kind == next {
                kinds[row].push(Some(s));
            }
            of.push((row, kind));
        }
        let most = kinds.iter().map(Vec::len).max().unwrap_or(1);
        self.kind_bits = usize::BITS - (most - 1).leading_zeros();
        let bits = self.kind_bits;
        self.start_class = start << bits;
        self.class_of = of.iter().map(|(row, kind)| row << bits | kind).collect();
        let step = |class: usize| {
            let of_row = &kinds[class >> bits];
            of_row.get(class & ((1 << bits) - 1)).copied().flatten()
        };
        self.class_step = (0..self.width << bits).map(step).collect();
        for last in self.class_step.clone() {
            for t in 0..self.n {
                let short = |d: &&Demand| last.is_some_and(|s| self.rests_too_little(d, s, t));
                let weights = self.problem.demands.iter().filter(short).map(|d| d.weight);
                let total = weights.sum::<Option<i64>>();
                self.short_rest.push(total);
            }
        }
    }

    /// Whether the rest that a `recovery` demand asks for is certainly too short if t comes directly after s.
    pub fn rests_too_little(&self, demand: &Demand, s: usize, t: usize) -> bool {
        let Kind::Recovery(d) = &demand.kind else {
            return false;
        };
        let (x, y) = (&self.problem.steps[s], &self.problem.steps[t]);
        s != t
            && d.steps.contains(&s)
            && d.steps.contains(&t)
            && !(x.group.is_some() && x.group == y.group)
            && self.longest_changeover(Some(s), Some(t)) < d.seconds
    }
}

/// The values of a facet that a plan may need: those that a step or the end asks for, and the one at the start; ascending.
pub fn values_in_use(problem: &Problem, f: usize) -> Vec<usize> {
    let asked = (problem.steps.iter()).flat_map(|s| s.setup[f].iter().flatten());
    let mut values: Vec<usize> = asked.map(|choice| choice.value).collect();
    values.push(problem.start_setup[f]);
    values.extend(problem.end.as_ref().and_then(|end| end.setup[f]));
    values.sort_unstable();
    values.dedup();
    values
}

/// Whether a facet keeps its first value in every plan: each step that cares allows that value alone, and the end asks for no other.
fn is_idle(problem: &Problem, f: usize) -> bool {
    let start = problem.start_setup[f];
    let kept = |list: &Option<Vec<crate::problem::step::Choice>>| {
        list.as_ref()
            .is_none_or(|c| c.len() == 1 && c[0].value == start)
    };
    let end = problem.end.as_ref().and_then(|e| e.setup[f]);
    problem.steps.iter().all(|s| kept(&s.setup[f])) && end.is_none_or(|v| v == start)
}

/// For each facet that can change its bit in a mask of what a walk has to serve, the same for those with the same reach; and how many
/// bits there are.
fn reach_bits(problem: &Problem, active: &[usize]) -> (Vec<u32>, u32) {
    let mut bit = vec![0; problem.facets.len()];
    let mut lists: Vec<&[usize]> = Vec::new();
    for &f in active {
        let Some(reach) = &problem.facets[f].reach else {
            continue;
        };
        let at = lists.iter().position(|list| list == reach);
        let at = at.unwrap_or_else(|| {
            lists.push(reach);
            lists.len() - 1
        });
        bit[f] = 1 << at;
    }
    let bits = u32::try_from(lists.len()).expect("facets with a reach are few");
    (bit, bits)
}

/// `[mask][from * width + to]`; the last row and column stand for *anywhere*. Where no step ends and no class begins nothing is worked out:
/// such a row says *never*, the greatest time.
fn ways(problem: &Problem, reach_bit: &[u32], bits: u32, width: usize) -> Vec<Vec<i64>> {
    let k = width - 1;
    let path = &problem.postures.path;
    let begins = problem.start_posture.unwrap_or(k);
    let mut rows: Vec<usize> = problem.steps.iter().map(|s| s.end).collect();
    rows.push(begins);
    rows.sort_unstable();
    rows.dedup();
    let serves = |v: usize| -> u32 {
        let here = |f: &Facet| f.reach.as_ref().is_some_and(|r| r.contains(&v));
        let bits = problem.facets.iter().zip(reach_bit);
        bits.filter(|(f, _)| here(f)).fold(0, |all, (_, b)| all | b)
    };
    let serves: Vec<u32> = (0..k).map(serves).collect();
    let mut tables: Vec<Vec<i64>> = Vec::with_capacity(1 << bits);
    for mask in 0..1u32 << bits {
        let mut table = vec![i64::MAX; width * width];
        for &p in &rows {
            let row = &mut table[p * width..(p + 1) * width];
            if mask == 0 && p == k {
                row.fill(0);
            } else if mask == 0 {
                row[..k].copy_from_slice(&path[p]);
            }
            // v is the posture where the walk has served all of the mask: what v itself does not serve was served on the way to v.
            for v in (0..k).filter(|&v| serves[v] & mask != 0) {
                let there = tables[(mask & !serves[v]) as usize][p * width + v];
                for (cost, on) in row.iter_mut().zip(&path[v]) {
                    *cost = (*cost).min(there + on);
                }
            }
            row[k] = row[..k].iter().copied().min().unwrap_or(0);
        }
        tables.push(table);
    }
    tables
}
