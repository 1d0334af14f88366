//! Cautions about the machine, where they apply in this class. Common practice, no source.

use crate::compile::Compiled;
use crate::model::apparatus::{BOARD, BOX, FOOT_END};
use crate::model::caution::Caution;
use crate::problem::timeline::Timeline;

/// What to say about the machine in this class, most general first.
pub fn machine_cautions(compiled: &Compiled, timeline: &Timeline) -> Vec<String> {
    let apparatus = &compiled.apparatus;
    let movements = || {
        timeline
            .order
            .iter()
            .map(|&s| &compiled.class.movements[compiled.class.steps[s].movement])
    };
    let classes = &apparatus.springs.classes;
    let mut said = vec![
        "Fingers, hair and clothes clear of rails and springs.".to_owned(),
        "Carriage closed before anyone touches a spring, steps on or steps off.".to_owned(),
    ];
    let box_facet = apparatus.facet(BOX).map(|k| k + 1);
    let box_used = box_facet.is_some_and(|f| {
        (0..timeline.order.len()).any(|i| {
            timeline.setups[i][f] != 0
                && compiled.problem.steps[timeline.order[i]].setup[f].is_some()
        })
    });
    if box_used {
        said.push("Box seated firmly before anyone gets on it.".into());
    }
    let raised = (timeline.order.iter()).any(|&s| {
        let start = compiled.problem.steps[s].start;
        apparatus.postures.postures[start].placed.high()
    });
    if raised {
        said.push(
            "Kneeling or standing on the box is a height to fall from, and the springs pull backward: carriage closed, teacher near."
                .into(),
        );
    }
    if !apparatus.bar_locks {
        let free = timeline
            .setups
            .iter()
            .any(|x| compiled.spring_values[x[0]].load(classes) < apparatus.springs.least_safe);
        said.push(if free {
            "The foot bar has no lock: with no spring on, press it down, never pull it, or leave a light spring on.".into()
        } else {
            "The foot bar has no lock: press it down, never pull it.".into()
        });
    }
    let jumps = || movements().filter(|m| m.cautions.contains(&Caution::Impact));
    if jumps().next().is_some() {
        let board = (apparatus.facet(FOOT_END))
            .is_some_and(|k| apparatus.facets[k].values.iter().any(|v| v == BOARD));
        if board {
            said.push(
                "Before the jumps: board fixed, head and seat clear, one practice landing.".into(),
            );
        }
        if jumps().any(|m| m.cautions.contains(&Caution::WristLoad)) {
            said.push("Jumps that land on the hands load the wrists.".into());
        }
    }
    said
}

/// What to lay out before the class: the box and the board if they are used, and what the machine itself notes.
pub fn lay_out(compiled: &Compiled, timeline: &Timeline) -> Vec<String> {
    let mut things = Vec::new();
    for (k, facet) in compiled.apparatus.facets.iter().enumerate() {
        if !facet.holds_things() {
            continue;
        }
        let mut values: Vec<usize> = (0..timeline.order.len())
            .filter(|&i| compiled.problem.steps[timeline.order[i]].setup[k + 1].is_some())
            .map(|i| timeline.setups[i][k + 1])
            .filter(|&v| v != 0 && v != facet.start)
            .collect();
        values.sort_unstable();
        values.dedup();
        things.extend(
            values
                .into_iter()
                .map(|v| format!("{} (for later, within reach)", facet.labels[v])),
        );
    }
    things
}
