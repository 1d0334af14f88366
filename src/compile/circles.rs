//! Circles among the orders that must hold, named movement by movement.

use petgraph::algo::{astar, tarjan_scc};
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;

use crate::diagnostic::{Code, Diagnostic, Label, Severity};
use crate::problem::demand::Kind;
use crate::rules::posting::Posting;
use crate::rules::subject::Subject;
use crate::source::Span;

/// One mistake for each knot of orders that must hold: its shortest circle, with the line of each order that has one.
pub fn circles(subject: &Subject, posting: &Posting, brief: &Span) -> Vec<Diagnostic> {
    let mut graph: DiGraph<(), usize> = DiGraph::new();
    for _ in &subject.class.steps {
        graph.add_node(());
    }
    for (k, demand) in posting.demands.iter().enumerate() {
        if demand.weight.is_some() {
            continue;
        }
        match &demand.kind {
            Kind::Precede(p) => {
                graph.add_edge(NodeIndex::new(p.a), NodeIndex::new(p.b), k);
            }
            Kind::Contiguous(c) if c.ordered => {
                for two in c.steps.windows(2) {
                    graph.add_edge(NodeIndex::new(two[0]), NodeIndex::new(two[1]), k);
                }
            }
            Kind::Contiguous(_)
            | Kind::Place(_)
            | Kind::Window(_)
            | Kind::Follow(_)
            | Kind::Recovery(_)
            | Kind::Longest(_)
            | Kind::AtMost(_)
            | Kind::Same(_)
            | Kind::Neighbours(_)
            | Kind::Fits(_)
            | Kind::Fatigue(_)
            | Kind::Peak(_) => {}
        }
    }
    let mut knots: Vec<Vec<NodeIndex>> = tarjan_scc(&graph)
        .into_iter()
        .filter(|knot| knot.len() > 1)
        .collect();
    for knot in &mut knots {
        knot.sort();
    }
    knots.sort();
    knots
        .iter()
        .filter_map(|knot| shortest(&graph, knot))
        .map(|circle| diagnostic(&circle, &graph, subject, posting, brief))
        .collect()
}

/// The shortest circle of a knot, as its nodes in order.
fn shortest(graph: &DiGraph<(), usize>, knot: &[NodeIndex]) -> Option<Vec<NodeIndex>> {
    let mut best: Option<Vec<NodeIndex>> = None;
    for &from in knot {
        for edge in graph.edges(from) {
            let back = astar(graph, edge.target(), |n| n == from, |_| 1_usize, |_| 0);
            if let Some((_, mut nodes)) = back {
                nodes.pop();
                nodes.insert(0, from);
                if best.as_ref().is_none_or(|b| nodes.len() < b.len()) {
                    best = Some(nodes);
                }
            }
        }
    }
    best
}

fn diagnostic(
    circle: &[NodeIndex],
    graph: &DiGraph<(), usize>,
    subject: &Subject,
    posting: &Posting,
    brief: &Span,
) -> Diagnostic {
    let mut names: Vec<String> = circle.iter().map(|n| subject.name(n.index())).collect();
    names.push(subject.name(circle[0].index()));
    let mut labels: Vec<Label> = Vec::new();
    for (k, &from) in circle.iter().enumerate() {
        let to = circle[(k + 1) % circle.len()];
        let Some(edge) = graph.edges_connecting(from, to).next() else {
            continue;
        };
        let entry = &posting.ledger.entries[*edge.weight()];
        // The order of a block has no line of its own as a rule: it is seen where the block is written out.
        let step = subject.class.steps[from.index()].span.clone();
        let span = entry.span.clone().or(step);
        let span = span.unwrap_or_else(|| brief.clone());
        labels.push(Label {
            span,
            text: entry.sentence.clone(),
        });
    }
    Diagnostic {
        severity: Severity::Mistake,
        code: Code::Circle,
        message: format!(
            "orders that have to hold run in a circle: {}",
            names.join(" before ")
        ),
        labels,
        mend: "remove one of these orders, or make it `prefer`".to_string(),
    }
}
