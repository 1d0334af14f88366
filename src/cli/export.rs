//! `segue export`: a class as a problem file, or as the graph of its change-overs.

use petgraph::dot::{Config, Dot};
use petgraph::graph::DiGraph;

use super::args::{Export, Format};
use super::ending::Refusal;
use super::own;
use super::voice::Voice;
use crate::answer::ending::Ending;
use crate::compile::Compiled;
use crate::exchange::problem_file;
use crate::harmless;
use crate::lesson::breach::name_of;
use crate::problem::Problem;
use crate::report::drawn::Drawn;
use crate::score::way;

/// Reads, compiles, prints.
///
/// # Errors
/// Mistakes in the files.
pub fn run(args: &Export, voice: Voice) -> Result<Ending, Refusal> {
    let class = own::session(&args.brief, args.own.models.as_deref())?.class;
    voice.diagnostics(&class.notes);
    let text = match args.format {
        Format::Json => Drawn::json(&problem_file::write(&class.compiled.problem)),
        Format::Dot => Drawn::text(&dot(&class.compiled)),
    };
    voice.answer(&text.alone())?;
    Ok(Ending::Done)
}

/// The graph of change-overs: a node for each step, an edge from each step to each other with the seconds of the cheapest change-over
/// between a set-up of the one and a set-up of the other, what neither cares about left as it is.
fn dot(compiled: &Compiled) -> String {
    let problem = &compiled.problem;
    let mut graph = DiGraph::new();
    let nodes: Vec<_> = (0..problem.steps.len())
        .map(|s| graph.add_node(name_of(compiled, s)))
        .collect();
    for a in 0..problem.steps.len() {
        for b in 0..problem.steps.len() {
            if a != b {
                graph.add_edge(nodes[a], nodes[b], cheapest(problem, a, b));
            }
        }
    }
    // What is handed to `Dot` is written as it stands, so names are quoted here.
    let drawn = Dot::with_attr_getters(
        &graph,
        &[Config::NodeNoLabel, Config::EdgeNoLabel],
        &|_, edge| format!("label=\"{}\"", *edge.weight() as f64 / 100.0),
        &|_, (_, name)| {
            let name = harmless::line(name);
            let name = name.replace('\\', "\\\\").replace('"', "\\\"");
            format!("label=\"{name}\"")
        },
    );
    format!("{drawn:?}")
}

/// Hundredths of the cheapest change-over from step `a` to step `b`.
fn cheapest(problem: &Problem, a: usize, b: usize) -> i64 {
    let n = problem.facets.len();
    // For each facet the least cost of keeping what both allow (0), or else of changing.
    let mut changed = Vec::new();
    let mut cost = 0;
    for f in 0..n {
        let (Some(from), Some(to)) = (&problem.steps[a].setup[f], &problem.steps[b].setup[f])
        else {
            continue;
        };
        let least = from
            .iter()
            .flat_map(|u| to.iter().map(move |v| (u.value, v.value)))
            .map(|(u, v)| (u != v, problem.facets[f].change[u][v]))
            .min()
            .expect("a step that cares about a facet allows a value of it");
        if least.0 {
            changed.push(f);
        }
        cost += least.1;
    }
    cost + way(
        problem,
        Some(problem.steps[a].end),
        Some(problem.steps[b].start),
        &changed,
    )
}
