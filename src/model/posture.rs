//! The posture graph: how the body is placed, and the moves from one way to another.
//!
//! Costs of ways are integers here, one for each move and given by the caller: whoever compiles a class multiplies the seconds of each
//! move by the factor of the room and rounds **before** any path is added up, so that the cost of a way is the sum of what is cued.

use petgraph::algo::{dijkstra, tarjan_scc};
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;

use super::placed::Placed;

/// A posture. One with sides stands for two nodes, `NAME, left` and `NAME, right`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Posture {
    /// Full name of the node, with its side if it has one: "side-lying, left".
    pub name: String,
    /// Name without the side; movements name this one.
    pub base: String,
    /// `None` for a posture without sides; else `Some(true)` for left, `Some(false)` for right.
    pub left: Option<bool>,
    /// Where the body is and what hands and feet hold.
    pub placed: Placed,
}

impl Posture {
    /// Whether the left side is at the bar, of a form of a position across the machine; of another form its own side; `None` without sides.
    pub fn left_at_bar(&self) -> Option<bool> {
        self.left.map(|left| left != self.placed.side_at_strap_end)
    }
}

/// A move that a person makes in one go.
#[derive(Debug, Clone, PartialEq)]
pub struct Move {
    /// Node it starts from.
    pub from: usize,
    /// Node it ends in.
    pub to: usize,
    /// Seconds for one person.
    pub seconds: f64,
    /// What the teacher says: "sit up".
    pub cue: String,
    /// Whether the safety strap of the short box is fixed by it.
    pub fixes_strap: bool,
    /// Body motions of the predetermined-times data card that it needs at the least, by their short names (see [`least_seconds`]).
    pub motions: Vec<String>,
}

/// Times of body motions, MTM-1, in seconds: Maynard HB, Stegemerten GJ, Schwab JL (1948), Methods-Time Measurement, 1 TMU = 0.036 s.
/// Turns, steps, foot and leg motions as read on a data card; bend, arise, sit, stand and kneel from memory.
pub const MOTIONS: &[(&str, f64)] = &[
    ("turn", 0.67),
    ("turn both feet", 1.34),
    ("side step", 0.61),
    ("foot", 0.31),
    ("leg", 0.26),
    ("pace", 0.54),
    ("bend", 1.04),
    ("arise", 1.15),
    ("sit", 1.25),
    ("stand", 1.56),
    ("kneel", 2.50),
    ("rise from knees", 2.76),
];

/// The least seconds of a move: the sum of its body motions; `None` if one of them is not in [`MOTIONS`].
pub fn least_seconds(motions: &[String]) -> Option<f64> {
    motions
        .iter()
        .map(|m| MOTIONS.iter().find(|(name, _)| name == m).map(|(_, s)| *s))
        .sum()
}

/// All postures of a machine and the moves between them (each direction its own move).
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PostureGraph {
    /// The nodes.
    pub postures: Vec<Posture>,
    /// The moves.
    pub moves: Vec<Move>,
}

/// A walk from one posture to another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Walk {
    /// What it costs, in the unit of the costs given.
    pub cost: i64,
    /// Indices of the moves, in order; empty if nothing moves.
    pub moves: Vec<usize>,
}

impl PostureGraph {
    /// The node for a base name and a side (`left`: `Some(true)` left, `Some(false)` right, `None` neither). A posture without sides
    /// serves every side.
    pub fn node(&self, base: &str, left: Option<bool>) -> Option<usize> {
        self.postures
            .iter()
            .position(|p| p.base == base && (p.left.is_none() || p.left == left))
    }

    /// Whether there is a posture of this base name, with sides or without.
    pub fn has(&self, base: &str) -> bool {
        self.postures.iter().any(|p| p.base == base)
    }

    /// All nodes of a base name: one, or its left and right form.
    pub fn nodes_of(&self, base: &str) -> Vec<usize> {
        (0..self.postures.len())
            .filter(|&n| self.postures[n].base == base)
            .collect()
    }

    /// The moves as a graph whose edges carry the index of the move.
    fn graph(&self) -> DiGraph<(), usize> {
        let mut graph = DiGraph::new();
        for _ in &self.postures {
            graph.add_node(());
        }
        for (index, m) in self.moves.iter().enumerate() {
            graph.add_edge(NodeIndex::new(m.from), NodeIndex::new(m.to), index);
        }
        graph
    }

    /// `[from][to]`: the least cost from each posture to each, zero on the diagonal, `None` where there is no way.
    /// `costs`: one for each move, at least 0.
    pub fn least_costs(&self, costs: &[i64]) -> Vec<Vec<Option<i64>>> {
        let graph = self.graph();
        (0..self.postures.len())
            .map(|from| {
                let found = dijkstra(&graph, NodeIndex::new(from), None, |e| costs[*e.weight()]);
                (0..self.postures.len())
                    .map(|to| found.get(&NodeIndex::new(to)).copied())
                    .collect()
            })
            .collect()
    }

    /// Postures grouped so that within a group each can be reached from each. One group: everything can be reached.
    /// More: the names of the groups tell what cannot be reached both ways. Sorted by first node.
    pub fn connected_groups(&self) -> Vec<Vec<usize>> {
        let mut groups: Vec<Vec<usize>> = tarjan_scc(&self.graph())
            .into_iter()
            .map(|group| {
                let mut group: Vec<usize> = group.into_iter().map(NodeIndex::index).collect();
                group.sort_unstable();
                group
            })
            .collect();
        groups.sort();
        groups
    }

    /// The cheapest walk from `from` to `to` that visits, in any order, a posture of each set in `reach` (start and end count).
    /// An empty set can never be visited, so there is then no walk. `None`: no such walk. Among equals the one found does not depend
    /// on anything but the order of postures and moves.
    ///
    /// `costs`: one for each move, at least 0. At most 16 sets.
    ///
    /// # Panics
    /// With more than 16 sets: no machine has so many facets, and the walk is a shortest path over (posture, sets visited).
    pub fn walk(
        &self,
        from: usize,
        to: usize,
        reach: &[Vec<usize>],
        costs: &[i64],
    ) -> Option<Walk> {
        assert!(reach.len() <= 16, "a machine has at most 16 facets");
        let layers = 1_usize << reach.len();
        let n = self.postures.len();
        let visited_at = |node: usize| {
            reach
                .iter()
                .enumerate()
                .filter(|(_, set)| set.contains(&node))
                .fold(0_usize, |mask, (i, _)| mask | 1 << i)
        };
        // One copy of the postures for each set of sets visited; entering a posture visits what it belongs to.
        let mut graph: DiGraph<(), usize> =
            DiGraph::with_capacity(n * layers, self.moves.len() * layers);
        for _ in 0..n * layers {
            graph.add_node(());
        }
        for mask in 0..layers {
            for (index, m) in self.moves.iter().enumerate() {
                let entered = mask | visited_at(m.to);
                graph.add_edge(
                    NodeIndex::new(mask * n + m.from),
                    NodeIndex::new(entered * n + m.to),
                    index,
                );
            }
        }
        let start = NodeIndex::new(visited_at(from) * n + from);
        let goal = NodeIndex::new((layers - 1) * n + to);
        let found = dijkstra(&graph, start, Some(goal), |e| costs[*e.weight()]);
        let cost: Vec<Option<i64>> = (0..n * layers)
            .map(|node| found.get(&NodeIndex::new(node)).copied())
            .collect();
        let total = cost[goal.index()]?;
        // Walk back along edges that explain the cost; free moves could form a circle, so nodes are not entered twice.
        let mut moves = Vec::new();
        let mut seen = vec![false; n * layers];
        if !self.trace_back(&graph, &cost, costs, start, goal, &mut seen, &mut moves) {
            return None;
        }
        moves.reverse();
        Some(Walk { cost: total, moves })
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "one recursive step of `walk`, split off for its early returns"
    )]
    fn trace_back(
        &self,
        graph: &DiGraph<(), usize>,
        cost: &[Option<i64>],
        costs: &[i64],
        start: NodeIndex,
        at: NodeIndex,
        seen: &mut [bool],
        moves: &mut Vec<usize>,
    ) -> bool {
        if at == start {
            return true;
        }
        seen[at.index()] = true;
        let mut incoming: Vec<(usize, NodeIndex)> = graph
            .edges_directed(at, petgraph::Direction::Incoming)
            .map(|e| (*e.weight(), e.source()))
            .collect();
        incoming.sort_unstable();
        for (index, source) in incoming {
            let explains = cost[source.index()].map(|c| c + costs[index]) == cost[at.index()];
            if explains && !seen[source.index()] {
                moves.push(index);
                if self.trace_back(graph, cost, costs, start, source, seen, moves) {
                    return true;
                }
                moves.pop();
            }
        }
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A line 0 - 1 - 2 - 3 with a shed 4 off node 1.
    fn line() -> PostureGraph {
        let posture = |name: &str| Posture {
            name: name.into(),
            base: name.into(),
            left: None,
            placed: Placed::BESIDE,
        };
        let mut moves = Vec::new();
        for (a, b) in [(0, 1), (1, 2), (2, 3), (1, 4)] {
            for (from, to) in [(a, b), (b, a)] {
                moves.push(Move {
                    from,
                    to,
                    seconds: 3.0,
                    cue: format!("{from} to {to}"),
                    fixes_strap: false,
                    motions: Vec::new(),
                });
            }
        }
        PostureGraph {
            postures: ["a", "b", "c", "d", "e"].map(posture).into(),
            moves,
        }
    }

    #[test]
    fn a_walk_goes_out_of_its_way_to_where_a_facet_can_be_reached() {
        let g = line();
        let costs = vec![300; g.moves.len()];
        assert_eq!(g.least_costs(&costs)[0][3], Some(900));
        let plain = g.walk(0, 3, &[], &costs).expect("a way");
        assert_eq!(plain.cost, 900);
        let round = g.walk(0, 3, &[vec![4], vec![2, 4]], &costs).expect("a way");
        assert_eq!(round.cost, 1500);
        let nodes: Vec<usize> = round.moves.iter().map(|&m| g.moves[m].to).collect();
        assert_eq!(nodes, [1, 4, 1, 2, 3]);
    }

    #[test]
    fn staying_costs_nothing_if_all_is_in_reach_and_a_trip_if_not() {
        let g = line();
        let costs = vec![300; g.moves.len()];
        assert_eq!(
            g.walk(2, 2, &[vec![2]], &costs).expect("a way").moves,
            Vec::<usize>::new()
        );
        assert_eq!(g.walk(2, 2, &[vec![3]], &costs).expect("a way").cost, 600);
        assert_eq!(g.walk(2, 2, &[vec![]], &costs), None);
    }

    #[test]
    fn a_posture_that_cannot_be_left_makes_a_group_of_its_own() {
        let mut g = line();
        assert_eq!(g.connected_groups().len(), 1);
        g.moves.retain(|m| m.from != 4);
        assert_eq!(g.connected_groups(), [vec![0, 1, 2, 3], vec![4]]);
        let costs = vec![1; g.moves.len()];
        assert_eq!(g.least_costs(&costs)[4][0], None);
    }
}
