//! Seconds of the machine and the room to integers: every direct change and every move is multiplied by the factor of the room and
//! rounded half up first, shortest paths are taken afterwards. The other way round, rounding could make a detour shorter.

use crate::model::apparatus::{Apparatus, ChangeCost, FacetSpec};
use crate::model::springs::SpringSet;
use crate::problem::facet::Facet;
use crate::problem::posture::Postures;
use crate::rules::posting::hundredths;

/// Hundredths that the slowest of the room takes for what one person does in `seconds`.
pub fn in_the_room(seconds: f64, factor: f64) -> i64 {
    hundredths(seconds * factor)
}

/// Key of the facet that holds the springs, the first of the problem.
pub const SPRINGS: &str = "springs";

/// The springs as facet 0.
pub fn spring_facet(apparatus: &Apparatus, values: &[SpringSet], factor: f64) -> Facet {
    let spec = &apparatus.springs;
    let change = matrix(values.len(), |u, v| {
        let moved = f64::from(values[u].symmetric_difference(&values[v]));
        in_the_room(spec.base + spec.per_spring * moved, factor)
    });
    Facet {
        name: SPRINGS.to_string(),
        values: values.iter().map(|s| spring_name(s, apparatus)).collect(),
        change,
        reach: reach(apparatus, &spec.reach),
        stop: spec.stop,
    }
}

/// A choice of springs by its classes: "2 heavy + 1 light", "none".
fn spring_name(set: &SpringSet, apparatus: &Apparatus) -> String {
    let parts: Vec<String> = set
        .0
        .iter()
        .zip(&apparatus.springs.classes)
        .filter(|&(&n, _)| n > 0)
        .map(|(n, c)| format!("{n} {}", c.name))
        .collect();
    if parts.is_empty() {
        "none".to_string()
    } else {
        parts.join(" + ")
    }
}

/// Another facet.
pub fn other_facet(apparatus: &Apparatus, spec: &FacetSpec, factor: f64) -> Facet {
    let change = matrix(spec.values.len(), |u, v| {
        in_the_room(
            match &spec.change {
                ChangeCost::Flat(seconds) => *seconds,
                ChangeCost::Matrix(seconds) => seconds[u][v],
            },
            factor,
        )
    });
    Facet {
        name: spec.key.clone(),
        values: spec.values.clone(),
        change,
        reach: reach(apparatus, &spec.reach),
        stop: spec.stop,
    }
}

/// The postures of the base names, both forms of one with sides; `None` for an empty list: from everywhere.
fn reach(apparatus: &Apparatus, bases: &[String]) -> Option<Vec<usize>> {
    if bases.is_empty() {
        return None;
    }
    Some(
        (0..apparatus.postures.postures.len())
            .filter(|&p| bases.contains(&apparatus.postures.postures[p].base))
            .collect(),
    )
}

/// `direct[u][v]` with a zero diagonal, closed by shortest paths.
fn matrix(size: usize, direct: impl Fn(usize, usize) -> i64) -> Vec<Vec<i64>> {
    let mut cost: Vec<Vec<i64>> = (0..size)
        .map(|u| {
            (0..size)
                .map(|v| if u == v { 0 } else { direct(u, v) })
                .collect()
        })
        .collect();
    close(&mut cost);
    cost
}

/// Floyd and Warshall: afterwards no detour is shorter.
fn close(cost: &mut [Vec<i64>]) {
    for via in 0..cost.len() {
        for from in 0..cost.len() {
            for to in 0..cost.len() {
                let detour = cost[from][via] + cost[via][to];
                if detour < cost[from][to] {
                    cost[from][to] = detour;
                }
            }
        }
    }
}

/// All postures of the machine with the shortest way from each to each, or the first pair between which there is none.
///
/// # Errors
/// The names of two postures without a way from the one to the other.
pub fn postures(apparatus: &Apparatus, factor: f64) -> Result<Postures, (String, String)> {
    let graph = &apparatus.postures;
    let costs: Vec<i64> = graph
        .moves
        .iter()
        .map(|m| in_the_room(m.seconds, factor))
        .collect();
    let names: Vec<String> = graph.postures.iter().map(|p| p.name.clone()).collect();
    let mut path = Vec::new();
    for (from, row) in graph.least_costs(&costs).into_iter().enumerate() {
        let mut out = Vec::new();
        for (to, cost) in row.into_iter().enumerate() {
            out.push(cost.ok_or_else(|| (names[from].clone(), names[to].clone()))?);
        }
        path.push(out);
    }
    Ok(Postures { names, path })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compile::sample::machine;

    #[test]
    fn each_change_is_rounded_before_paths_are_taken() {
        let machine = machine();
        // 4 s x 1.2573 = 5.0292 s: 503 hundredths; two of them beat 10 s x 1.2573 = 1257.
        let bar = other_facet(&machine, &machine.facets[0], 1.2573);
        assert_eq!(bar.change[0], [0, 503, 1006]);
        assert_eq!(bar.reach, None);
    }

    #[test]
    fn springs_pay_once_and_for_each_that_moves_and_are_reached_from_both_forms_of_a_posture() {
        let machine = machine();
        let values = [
            SpringSet(vec![0, 1]),
            SpringSet(vec![1, 0]),
            SpringSet(vec![2, 0]),
        ];
        let springs = spring_facet(&machine, &values, 1.0);
        assert_eq!(springs.values, ["1 light", "1 heavy", "2 heavy"]);
        assert_eq!(springs.change[0], [0, 800, 1100]);
        assert_eq!(springs.change[1], [800, 0, 500]);
        assert_eq!(springs.reach, Some(vec![1, 2, 3]));
    }

    #[test]
    fn ways_between_postures_are_sums_of_rounded_moves() {
        let postures = postures(&machine(), 1.0).expect("all are connected");
        assert_eq!(postures.path[0], [0, 350, 750, 750]);
        assert_eq!(postures.path[2][3], 800);
    }

    #[test]
    fn a_posture_that_cannot_be_left_is_named() {
        let mut machine = machine();
        machine.postures.moves.retain(|m| m.from != 0);
        assert_eq!(
            postures(&machine, 1.0),
            Err(("supine".into(), "seated".into()))
        );
    }
}
