//! The machines and movements that are built in: each file reads without a mistake, and every entry can be used.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::collections::BTreeMap;

use petgraph::algo::toposort;
use petgraph::graphmap::DiGraphMap;
use segue::model::apparatus::{Apparatus, BOX, ChangeCost, FOOT_END};
use segue::model::caution::Caution;
use segue::model::movement::{Movement, Sides, Spine};
use segue::model::placed::{Body, Hands, On, Placed};
use segue::model::posture::least_seconds;
use segue::model::region::region;
use segue::read::built_in::models;
use segue::read::index::Names;
use segue::read::names::fold;

fn machines() -> Vec<Apparatus> {
    models(&[]).apparatus
}

#[test]
fn the_built_in_files_hold_no_mistake() {
    let found = models(&[]).diagnostics;
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
        all.iter().any(|m| m.facet(FOOT_END).is_none())
            && all.iter().any(|m| m.facet(FOOT_END).is_some())
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
            let body = |n: usize| m.postures.postures[n].placed.body;
            let knees = |n| matches!(body(n), Body::Kneeling | Body::HandsAndKnees);
            if knees(step.from) && body(step.to) == Body::Standing {
                assert!(step.seconds >= 2.76, "{}: {}", m.name, step.cue);
            }
            if body(step.from) == Body::Standing && knees(step.to) {
                assert!(step.seconds >= 2.50, "{}: {}", m.name, step.cue);
            }
        }
    }
}

/// The facts of the positions of these base names.
fn facts(m: &Apparatus, bases: &[String]) -> Vec<Placed> {
    (bases.iter())
        .flat_map(|base| m.postures.nodes_of(base))
        .map(|node| m.postures.postures[node].placed)
        .collect()
}

#[test]
fn nobody_moves_the_box_while_on_it() {
    for m in machines() {
        let the_box = &m.facets[m.facet("box").unwrap()];
        assert!(the_box.stop && !the_box.reach.is_empty());
        assert!((facts(&m, &the_box.reach).iter()).all(|p| p.on == On::Floor));
    }
}

#[test]
fn springs_are_not_changed_lying_on_the_back() {
    for m in machines() {
        assert!(m.springs.stop);
        let from = facts(&m, &m.springs.reach);
        assert!(!from.is_empty());
        for p in from {
            assert!(matches!(p.on, On::Floor | On::Carriage));
            assert_ne!(p.body, Body::OnTheBack);
        }
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

/// Movements that a machine cannot serve, by id, with the machine; everything else must be possible there.
const NOT_SERVED: &[(&str, &[&str])] = &[(
    "orchard",
    &[
        "board-press",
        "forearm-knee-tucks",
        "forearm-plank",
        "forearm-rocks",
        "jumps-apart-together",
        "jumps-bent",
        "jumps-parallel",
        "jumps-running",
        "jumps-scissors",
        "jumps-side-lying",
        "jumps-side-lying-single-leg",
        "jumps-single-leg",
        "jumps-turned-out",
        "jumps-wide",
        "kneeling-side-splits",
        "platform-lunge",
        "platform-side-lunge",
        "side-skating",
        "side-splits",
        "side-splits-arms",
        "side-squat",
        "side-squat-turned-out",
    ],
)];

#[test]
fn every_movement_can_be_done_on_every_machine_or_is_named_as_not() {
    let known = models(&[]);
    for machine in &known.apparatus {
        let named: &[&str] = NOT_SERVED
            .iter()
            .find(|(id, _)| *id == machine.id)
            .map_or(&[], |(_, list)| list);
        for m in &known.catalogue.movements {
            let reasons = machine.cannot_serve(m);
            assert_eq!(
                named.contains(&m.id.as_str()),
                !reasons.is_empty(),
                "{} on {}: {reasons:?}",
                m.id,
                machine.id
            );
            assert!(!machine.springs_for(&m.springs).is_empty(), "{}", m.id);
            if named.contains(&m.id.as_str()) {
                continue;
            }
            for base in [&m.start, &m.end] {
                for left in [None, Some(true), Some(false)] {
                    let sided = m.sides == Sides::Each;
                    if sided == left.is_some() {
                        assert!(
                            machine.postures.node(base, left).is_some(),
                            "{}: {base}",
                            m.id
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn there_are_at_least_two_hundred_movements_and_box_work_is_a_good_part() {
    let all = models(&[]).catalogue.movements;
    assert!(all.len() >= 200, "{}", all.len());
    let on_the_box = all
        .iter()
        .filter(|m| {
            m.facets
                .iter()
                .any(|f| f.facet == BOX && f.allowed != ["none"])
        })
        .count();
    assert!(on_the_box * 4 >= all.len(), "{on_the_box} of {}", all.len());
    assert!(all.iter().filter(|m| m.rest).count() >= 2);
}

#[test]
fn ids_and_all_names_mean_one_movement_each() {
    let all = models(&[]).catalogue;
    let names = Names::of(&all);
    let mut owner: BTreeMap<String, String> = BTreeMap::new();
    for m in &all.movements {
        let mut own: Vec<String> = [&m.id, &m.name]
            .into_iter()
            .chain(&m.other_names)
            .map(|n| fold(n))
            .collect();
        own.sort();
        own.dedup();
        for name in own {
            if let Some(other) = owner.insert(name.clone(), m.id.clone()) {
                panic!("`{name}` is both {other} and {}", m.id);
            }
        }
        assert_eq!(names.find(&m.name).unwrap().id, m.id);
    }
}

#[test]
fn every_movement_says_how_and_gives_two_or_three_cues_and_what_presses() {
    for m in &models(&[]).catalogue.movements {
        assert!(m.how.ends_with('.') && m.how.len() > 20, "{}", m.id);
        assert!((2..=3).contains(&m.cues.len()), "{}", m.id);
        assert!(!m.notes.contact.is_empty(), "{}", m.id);
        assert!(!m.more_springs_note.is_empty(), "{}", m.id);
        assert!(!m.layers.is_empty() && !m.phases.is_empty(), "{}", m.id);
        assert!(m.teach >= m.teach_again, "{}", m.id);
        assert!((1.0..=6.0).contains(&m.effort), "{}", m.id);
        for load in &m.loads {
            assert!(region(&load.region).is_some(), "{}", m.id);
        }
    }
}

#[test]
fn preparations_and_options_form_no_circle_and_a_harder_form_is_not_of_a_lower_level() {
    let all = models(&[]).catalogue;
    let index = |id: &str| all.movements.iter().position(|m| m.id == id).unwrap();
    let edges_of = |links: fn(&Movement) -> &Vec<String>| -> DiGraphMap<usize, ()> {
        let mut graph = DiGraphMap::new();
        for (to, m) in all.movements.iter().enumerate() {
            for from in links(m) {
                graph.add_edge(index(from), to, ());
            }
        }
        graph
    };
    assert!(toposort(&edges_of(|m| &m.prepared_by), None).is_ok());
    assert!(toposort(&edges_of(|m| &m.easier), None).is_ok());
    assert!(toposort(&edges_of(|m| &m.harder), None).is_ok());
    for m in &all.movements {
        for id in &m.easier {
            assert!(
                all.movements[index(id)].level <= m.level,
                "{id} for {}",
                m.id
            );
        }
        for id in &m.harder {
            assert!(
                all.movements[index(id)].level >= m.level,
                "{id} for {}",
                m.id
            );
        }
        // No chain may say both: easier one way and easier the other.
        for easier in &m.easier {
            assert!(!m.harder.contains(easier), "{}", m.id);
        }
    }
}

#[test]
fn weight_on_bent_wrists_backbends_and_deep_rounding_carry_their_cautions() {
    let known = machines();
    for m in &models(&[]).catalogue.movements {
        let load = |region: &str| {
            m.loads
                .iter()
                .filter(|l| l.region == region)
                .map(|l| l.fraction)
                .fold(0.0, f64::max)
        };
        if load("wrists") >= 0.4 {
            assert!(m.cautions.contains(&Caution::WristLoad), "{}", m.id);
        }
        if m.degree(Spine::Extension) >= 2 {
            assert!(m.cautions.contains(&Caution::BackBend), "{}", m.id);
        }
        if m.degree(Spine::Flexion) >= 2 {
            assert!(m.cautions.contains(&Caution::DeepFlexion), "{}", m.id);
        }
        let placed = placed(&known, m);
        if placed.body == Body::Kneeling {
            assert!(m.cautions.contains(&Caution::KneeLoad), "{}", m.id);
            // Who sits back on the heels with the hands down does not fall.
            let steady = placed.hands == Hands::Carriage;
            assert!(steady || m.cautions.contains(&Caution::Balance), "{}", m.id);
        }
        if placed.body == Body::FaceDown {
            assert!(m.cautions.contains(&Caution::LyingFaceDown), "{}", m.id);
        }
    }
}

/// The facts of the position that a movement starts in, on the first machine that has it.
fn placed(machines: &[Apparatus], m: &Movement) -> Placed {
    let graphs = machines.iter().map(|m| &m.postures);
    let found = graphs.filter_map(|g| Some(g.postures[*g.nodes_of(&m.start).first()?].placed));
    found.take(1).next().unwrap()
}

#[test]
fn each_movement_has_notes_for_tall_and_short_people_and_with_ropes_for_long_and_short_ones() {
    let known = machines();
    for m in &models(&[]).catalogue.movements {
        let holds_ropes = placed(&known, m).in_straps();
        let n = &m.notes;
        for (what, note, asked) in [
            ("tall", &n.tall, true),
            ("short", &n.short, true),
            ("long ropes", &n.long_ropes, holds_ropes),
            ("short ropes", &n.short_ropes, holds_ropes),
            ("contact", &n.contact, true),
        ] {
            assert!(!asked || !note.is_empty(), "{}: {what}", m.id);
        }
    }
}
