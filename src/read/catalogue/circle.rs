//! Circles among the orders of a brief that must hold, found by name before anything is compiled, so that they are reported with all
//! other mistakes of the file. Circles through blocks or the rules of the trade show only step by step: `compile::circles`.

use petgraph::algo::{astar, tarjan_scc};
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;

use crate::diagnostic::{Code, Diagnostic, Label, Severity};
use crate::rules::target::Target;
use crate::source::Span;

/// An order of two that must hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// What comes first.
    pub first: Target,
    /// Its name as written.
    pub first_name: String,
    /// What comes later.
    pub later: Target,
    /// Its name as written.
    pub later_name: String,
    /// The rule that says so.
    pub span: Span,
}

/// `what` names the orders ("orders that must hold"), `mend` says how to break a circle. One mistake for each knot of orders: a shortest circle through what was named first in it.
pub fn circles(orders: &[Held], what: &str, mend: &str) -> Vec<Diagnostic> {
    let mut targets: Vec<&Target> = Vec::new();
    let mut graph: DiGraph<(), usize> = DiGraph::new();
    for (k, held) in orders.iter().enumerate() {
        let [a, b] = [&held.first, &held.later].map(|target| {
            match targets.iter().position(|t| *t == target) {
                Some(known) => NodeIndex::new(known),
                None => {
                    targets.push(target);
                    graph.add_node(())
                }
            }
        });
        graph.add_edge(a, b, k);
    }
    let mut knots: Vec<NodeIndex> = tarjan_scc(&graph)
        .into_iter()
        .filter(|knot| knot.len() > 1)
        .filter_map(|knot| knot.into_iter().min())
        .collect();
    knots.sort();
    knots
        .into_iter()
        .filter_map(|from| shortest(&graph, from))
        .map(|edges| mistake(&edges, orders, what, mend))
        .collect()
}

/// The orders of a shortest circle through `from`, in turn.
fn shortest(graph: &DiGraph<(), usize>, from: NodeIndex) -> Option<Vec<usize>> {
    graph
        .edges(from)
        .filter_map(|first| {
            let (_, back) = astar(graph, first.target(), |n| n == from, |_| 1_u32, |_| 0)?;
            let mut edges = vec![*first.weight()];
            for pair in back.windows(2) {
                edges.push(*graph.edges_connecting(pair[0], pair[1]).next()?.weight());
            }
            Some(edges)
        })
        .min_by_key(|edges| (edges.len(), edges.clone()))
}

fn mistake(circle: &[usize], orders: &[Held], what: &str, mend: &str) -> Diagnostic {
    let mut names: Vec<&str> = circle
        .iter()
        .map(|&k| orders[k].first_name.as_str())
        .collect();
    names.extend(names.first().copied());
    Diagnostic {
        severity: Severity::Mistake,
        code: Code::Circle,
        message: format!("{what} run in a circle: {}", names.join(" before ")),
        labels: circle
            .iter()
            .map(|&k| Label {
                span: orders[k].span.clone(),
                text: format!("{} before {}", orders[k].first_name, orders[k].later_name),
            })
            .collect(),
        mend: mend.into(),
    }
}
