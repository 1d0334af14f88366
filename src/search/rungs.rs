//! The hierarchy of tables: which facets one takes up after another, and when the demands on the order; and how far a climb has got.

use super::bound::table::Table;
use super::successor::Scope;
use super::tables::Tables;
use crate::problem::step::Step;

/// The facets as tables take them up: first those on which most is to be paid. Facets that cannot change are left out.
pub fn hierarchy<const N: usize>(tables: &Tables<'_, N>) -> Vec<usize> {
    let problem = tables.problem;
    let mean =
        |sum: i64, count: usize| sum / i64::try_from(count.max(1)).expect("facets are small");
    // What a change of it takes on the way, for a stop, and for the way to where it can be reached.
    let worth = |f: usize| {
        let facet = &problem.facets[f];
        let values = facet.values.len();
        let change = mean(facet.change.iter().flatten().sum(), values * values);
        let stop = if facet.stop {
            problem.stop_weight / 2
        } else {
            0
        };
        let steps = &problem.steps;
        let detours = steps.iter().flat_map(|a| steps.iter().map(move |b| (a, b)));
        let detour = |(a, b): (&Step, &Step)| {
            tables.way(tables.reach_bit[f], a.end, b.start) - tables.way(0, a.end, b.start)
        };
        let detour = mean(detours.map(detour).sum(), steps.len() * steps.len());
        let caring = i64::try_from(tables.cares[f].len()).expect("steps are few");
        caring * ((change + detour) * problem.time_weight + stop + 1)
    };
    let mut order: Vec<usize> = (0..tables.n_facets)
        .filter(|&f| tables.all >> f & 1 == 1)
        .collect();
    order.sort_by_key(|&f| std::cmp::Reverse(worth(f)));
    order
}

/// How far a hierarchy of tables has got: so many facets, and whether the demands on the order are in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rung {
    /// How many.
    pub facets: usize,
    /// Whether they are.
    pub order: bool,
}

impl Rung {
    /// What its table keeps, with the facets taken up in this order.
    pub fn scope(self, order: &[usize]) -> Scope {
        Scope {
            facets: order[..self.facets].iter().map(|f| 1 << f).sum(),
            order: self.order,
        }
    }
}

/// What may come after a rung, the better one first: with the demands on the order a table is larger and prunes more.
pub fn rungs_after(at: Option<Rung>, facets: usize) -> Vec<Rung> {
    let rung = |facets: usize, order: bool| Rung { facets, order };
    match at {
        None => vec![rung(facets.min(1), true), rung(facets.min(1), false)],
        Some(Rung { facets: k, order }) => {
            let same = (!order).then_some(rung(k, true));
            let more = (k < facets).then_some(rung(k + 1, order));
            same.into_iter().chain(more).collect()
        }
    }
}

/// Why there is no further table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// Nothing is below.
    Nothing,
    /// The next is too large.
    Full,
    /// The search has to stop.
    Stopped,
}

/// Tables made one after the other.
#[derive(Debug, Default)]
pub struct Climb<const N: usize> {
    /// The last one.
    pub table: Option<Table<N>>,
    /// Its rung.
    pub rung: Option<Rung>,
    /// `None`: all are made, or the proof came before.
    pub end: Option<End>,
}
