//! The walk of one change-over through the posture graph: which moves, and where along them each facet can be changed.
//!
//! The referee and the search work with finished distances; a teacher needs the moves themselves. So the walk is found again here,
//! on the moves of the apparatus, each multiplied by the room and rounded half up as the compiled problem has them.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::model::posture::PostureGraph;

/// A walk: the postures that it passes, and the moves between them.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Way {
    /// Nodes of the posture graph, one more than `moves`.
    pub nodes: Vec<usize>,
    /// Indices of `PostureGraph::moves`.
    pub moves: Vec<usize>,
    /// Hundredths for each move, with the room in.
    pub costs: Vec<i64>,
}

impl Way {
    /// Hundredths of the whole walk.
    pub fn total(&self) -> i64 {
        self.costs.iter().sum()
    }
}

/// The cheapest walk from `from` (`None`: anywhere) to `to` (`None`: anywhere) that passes one node of each list in `reach`.
/// Among equal walks the one with fewer moves. `None` if there is none.
pub fn cheapest(
    graph: &PostureGraph,
    room_factor: f64,
    from: Option<usize>,
    to: Option<usize>,
    reach: &[Vec<usize>],
) -> Option<Way> {
    let n = graph.postures.len();
    let full = (1usize << reach.len()) - 1;
    let costs: Vec<i64> = graph
        .moves
        .iter()
        .map(|m| hundredths(m.seconds * room_factor))
        .collect();
    let met = |node: usize| {
        reach
            .iter()
            .enumerate()
            .filter(|(_, nodes)| nodes.contains(&node))
            .fold(0, |mask, (k, _)| mask | 1usize << k)
    };
    let state = |node: usize, mask: usize| mask * n + node;
    let mut best = vec![(i64::MAX, usize::MAX); n * (full + 1)];
    let mut came_by: Vec<Option<(usize, usize)>> = vec![None; best.len()];
    let mut queue = BinaryHeap::new();
    for node in 0..n {
        if from.is_none_or(|f| f == node) {
            let s = state(node, met(node));
            best[s] = (0, 0);
            queue.push(Reverse(((0, 0), s)));
        }
    }
    while let Some(Reverse((cost, s))) = queue.pop() {
        if cost > best[s] {
            continue;
        }
        let (node, mask) = (s % n, s / n);
        if mask == full && to.is_none_or(|t| t == node) {
            return Some(trace(s, n, &came_by, &costs));
        }
        for (k, step) in graph.moves.iter().enumerate() {
            if step.from != node {
                continue;
            }
            let next = state(step.to, mask | met(step.to));
            let reached = (cost.0 + costs[k], cost.1 + 1);
            if reached < best[next] {
                best[next] = reached;
                came_by[next] = Some((s, k));
                queue.push(Reverse((reached, next)));
            }
        }
    }
    None
}

fn trace(last: usize, n: usize, came_by: &[Option<(usize, usize)>], costs: &[i64]) -> Way {
    let mut way = Way {
        nodes: vec![last % n],
        ..Way::default()
    };
    let mut at = last;
    while let Some((before, step)) = came_by[at] {
        way.nodes.push(before % n);
        way.moves.push(step);
        way.costs.push(costs[step]);
        at = before;
    }
    way.nodes.reverse();
    way.moves.reverse();
    way.costs.reverse();
    way
}

/// Seconds to hundredths, rounded half up.
fn hundredths(seconds: f64) -> i64 {
    (seconds * 100.0 + 0.5).floor() as i64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::posture::{Move, Posture};

    fn graph() -> PostureGraph {
        let posture = |name: &str| Posture {
            name: name.into(),
            base: name.into(),
            left: None,
            rolling: true,
        };
        let step = |from, to, seconds| Move {
            from,
            to,
            seconds,
            cue: format!("{from} to {to}"),
        };
        PostureGraph {
            postures: ["lying", "seated", "kneeling"].map(posture).to_vec(),
            moves: vec![
                step(0, 1, 4.0),
                step(1, 0, 5.0),
                step(1, 2, 3.0),
                step(2, 1, 3.0),
            ],
        }
    }

    #[test]
    fn the_walk_makes_a_detour_to_where_the_springs_can_be_reached() {
        let way = cheapest(&graph(), 1.0, Some(0), Some(0), &[vec![1]]).expect("there is a way");
        assert_eq!(way.nodes, [0, 1, 0]);
        assert_eq!(way.total(), 900);
    }

    #[test]
    fn without_a_reach_nobody_moves() {
        let way = cheapest(&graph(), 1.0, Some(0), Some(0), &[]).expect("there is a way");
        assert!(way.moves.is_empty());
    }

    #[test]
    fn each_move_is_rounded_with_the_room_before_the_walk_is_chosen() {
        let way = cheapest(&graph(), 1.333, Some(0), Some(2), &[]).expect("there is a way");
        assert_eq!(way.costs, [533, 400]);
    }
}
