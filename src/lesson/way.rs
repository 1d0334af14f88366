//! The walk of one change-over: which moves, with what each costs in the room, and the postures that it passes.
//!
//! The referee and the search work with finished distances; a teacher needs the moves themselves.

use crate::compile::costs::in_the_room;
use crate::model::posture::PostureGraph;

/// A walk: the postures that it passes, and the moves between them.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Way {
    /// Nodes of the posture graph, one more than `moves`; empty only where there is no walk at all.
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

/// The cheapest walk from `from` to `to` (`None`: wherever it costs least) that passes one node of each list in `reach`.
/// Among equal walks the one with fewer moves, then the one that starts and ends first in the order of the nodes.
pub fn cheapest(
    graph: &PostureGraph,
    room_factor: f64,
    from: Option<usize>,
    to: Option<usize>,
    reach: &[Vec<usize>],
) -> Option<Way> {
    let costs: Vec<i64> = graph
        .moves
        .iter()
        .map(|m| in_the_room(m.seconds, room_factor))
        .collect();
    let ends = |fixed: Option<usize>| fixed.map_or(0..graph.postures.len(), |n| n..n + 1);
    let mut best: Option<(i64, usize, usize, Vec<usize>)> = None;
    for start in ends(from) {
        for end in ends(to) {
            let Some(walk) = graph.walk(start, end, reach, &costs) else {
                continue;
            };
            let better = best
                .as_ref()
                .is_none_or(|b| (walk.cost, walk.moves.len()) < (b.0, b.1));
            if better {
                best = Some((walk.cost, walk.moves.len(), start, walk.moves));
            }
        }
    }
    best.map(|(_, _, start, moves)| Way {
        nodes: std::iter::once(start)
            .chain(moves.iter().map(|&m| graph.moves[m].to))
            .collect(),
        costs: moves.iter().map(|&m| costs[m]).collect(),
        moves,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compile::sample::machine;

    #[test]
    fn the_walk_makes_a_detour_to_where_the_springs_can_be_reached() {
        let graph = machine().postures;
        let way = cheapest(&graph, 1.0, Some(0), Some(0), &[vec![1]]).expect("there is a way");
        assert_eq!(way.nodes, [0, 1, 0]);
        assert_eq!(way.total(), 700);
    }

    #[test]
    fn without_a_reach_nobody_moves() {
        let graph = machine().postures;
        let way = cheapest(&graph, 1.0, Some(0), Some(0), &[]).expect("there is a way");
        assert!(way.moves.is_empty());
    }

    #[test]
    fn each_move_is_rounded_with_the_room_before_they_are_added() {
        let graph = machine().postures;
        let way = cheapest(&graph, 1.3333, Some(0), Some(2), &[]).expect("there is a way");
        assert_eq!(way.costs, [467, 533]);
    }

    #[test]
    fn a_walk_that_may_start_anywhere_starts_where_it_ends() {
        let graph = machine().postures;
        let way = cheapest(&graph, 1.0, None, Some(2), &[]).expect("there is a way");
        assert_eq!(way.nodes, [2]);
    }
}
