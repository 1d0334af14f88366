//! The machines and movements that are built in: each file reads without a mistake, and every entry can be used.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use segue::model::apparatus::{Apparatus, ChangeCost};
use segue::model::posture::least_seconds;
use segue::read::built_in::models;

fn machines() -> Vec<Apparatus> {
    models(&[], &[]).apparatus
}

#[test]
fn the_built_in_files_hold_no_mistake() {
    let found = models(&[], &[]).diagnostics;
    let told: Vec<String> = found
        .iter()
        .map(|d| {
            let place = d
                .labels
                .first()
                .map(|l| (l.span.source.name.clone(), l.span.line()));
            format!("{place:?} {} ({})", d.message, d.mend)
        })
        .collect();
    assert!(told.is_empty(), "{told:#?}");
}

#[test]
fn there_are_three_machines_that_differ() {
    let all = machines();
    assert_eq!(all.len(), 3);
    for (i, a) in all.iter().enumerate() {
        for b in &all[i + 1..] {
            assert_ne!(a.id, b.id);
            assert_ne!(a.springs.classes, b.springs.classes);
            assert_ne!(
                a.facets.iter().find(|f| f.key == "bar").unwrap().values,
                b.facets.iter().find(|f| f.key == "bar").unwrap().values
            );
        }
    }
    assert!(
        all.iter().any(|m| m.facet("board").is_none())
            && all.iter().any(|m| m.facet("board").is_some())
    );
    assert!(all.iter().any(|m| m.bar_locks) && all.iter().any(|m| !m.bar_locks));
}

#[test]
fn every_position_can_be_reached_from_every_other() {
    for m in machines() {
        let groups = m.postures.connected_groups();
        let names: Vec<Vec<&str>> = groups
            .iter()
            .map(|g| {
                g.iter()
                    .map(|&n| m.postures.postures[n].name.as_str())
                    .collect()
            })
            .collect();
        assert_eq!(groups.len(), 1, "{}: {names:#?}", m.name);
    }
}

#[test]
fn no_move_is_quicker_than_the_body_motions_that_it_needs() {
    for m in machines() {
        for step in &m.postures.moves {
            let at = format!("{}: {}", m.name, step.cue);
            assert!(!step.motions.is_empty(), "{at} names no motion");
            assert!(!step.cue.is_empty());
            assert!(
                step.seconds >= least_seconds(&step.motions).unwrap(),
                "{at}"
            );
        }
    }
}

#[test]
fn from_upright_kneeling_to_standing_takes_at_least_the_arising_from_both_knees() {
    for m in machines() {
        for step in &m.postures.moves {
            let name = |n: usize| m.postures.postures[n].base.as_str();
            if name(step.from).starts_with("kneeling") && name(step.to).starts_with("standing") {
                assert!(step.seconds >= 2.76, "{}: {}", m.name, step.cue);
            }
            if name(step.to).starts_with("kneeling") && name(step.from).starts_with("standing") {
                assert!(step.seconds >= 2.50, "{}: {}", m.name, step.cue);
            }
        }
    }
}

#[test]
fn nobody_moves_the_box_while_on_it() {
    for m in machines() {
        let the_box = &m.facets[m.facet("box").unwrap()];
        assert!(the_box.stop && !the_box.reach.is_empty());
        assert!(the_box.reach.iter().all(|p| !p.contains("box")));
    }
}

#[test]
fn springs_are_not_changed_lying_on_the_back() {
    for m in machines() {
        assert!(m.springs.stop);
        assert!(m.springs.reach.iter().all(|p| !p.starts_with("supine")));
    }
}

#[test]
fn a_change_is_never_dearer_than_the_same_change_made_in_two() {
    for m in machines() {
        for facet in &m.facets {
            let ChangeCost::Matrix(c) = &facet.change else {
                continue;
            };
            for a in 0..c.len() {
                for b in 0..c.len() {
                    for via in 0..c.len() {
                        assert!(
                            c[a][b] <= c[a][via] + c[via][b],
                            "{}: {}",
                            m.name,
                            facet.key
                        );
                    }
                }
            }
        }
    }
}
