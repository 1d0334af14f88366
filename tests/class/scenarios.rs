//! Every scenario reads without a mistake and compiles to a problem that is well formed.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::fs;
use std::path::Path;

use crate::reading::{known, scenario, source};
use segue::brief::{Length, Priority};
use segue::compile::{Compiled, compile};
use segue::problem::check::check;
use segue::problem::step::Side;
use segue::read::brief::brief;
use segue::rules::ledger::RuleName;

fn compiled(name: &str) -> Compiled {
    let known = known();
    let class = scenario(name, &known);
    let machine = known
        .apparatus
        .iter()
        .find(|m| m.id == class.apparatus)
        .unwrap();
    let found = compile(&class, machine).unwrap_or_else(|mistakes| {
        let told: Vec<&String> = mistakes.iter().map(|d| &d.message).collect();
        panic!("{name}: {told:#?}")
    });
    assert_eq!(check(&found.problem), [], "{name}");
    assert_eq!(found.problem.demands.len(), found.ledger.entries.len());
    found
}

#[test]
fn every_scenario_compiles_to_a_well_formed_problem() {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let mut count = 0;
    for file in fs::read_dir(dir).unwrap() {
        let name = file.unwrap().file_name().into_string().unwrap();
        let found = compiled(&name);
        assert!(!found.problem.steps.is_empty());
        count += 1;
    }
    assert!(count >= 9);
}

#[test]
fn packed_noon_uses_every_kind_of_rule() {
    let class = scenario("packed-noon.toml", &known());
    assert_eq!((class.room, class.minutes), (10, Some(50.0)));
    assert_eq!(class.first_side, Some(Side::Right));
    let found = compiled("packed-noon.toml");
    let asked = found.class.steps.iter().filter(|s| s.entry.is_some());
    assert!(asked.count() >= 24);
    let used = |rule: RuleName| found.ledger.entries.iter().any(|e| e.rule == rule);
    for rule in [
        RuleName::WarmUp,
        RuleName::CoolDown,
        RuleName::SidesPaired,
        RuleName::SidesEqual,
        RuleName::FirstSide,
        RuleName::Counterpose,
        RuleName::Recovery,
        RuleName::LongestLoad,
        RuleName::LoadCeiling,
        RuleName::Preparation,
        RuleName::Before,
        RuleName::Together,
        RuleName::InOrder,
        RuleName::FlowsInto,
        RuleName::Near,
        RuleName::Apart,
        RuleName::Pinned,
        RuleName::AtMost,
        RuleName::EffortArc,
        RuleName::Fits,
        RuleName::Rounds,
    ] {
        assert!(used(rule), "{rule:?}");
    }
    let must = found.problem.demands.iter().filter(|d| d.weight.is_none());
    assert!(must.count() >= 3);
    let work: f64 = found
        .class
        .steps
        .iter()
        .filter(|s| s.entry.is_some())
        .map(segue::model::class::ClassStep::seconds)
        .sum();
    assert!(work < 45.0 * 60.0, "{work} s leave no time for changes");
}

#[test]
fn a_condition_leaves_movements_out_and_names_them() {
    let class = scenario("calm-evening.toml", &known());
    assert_eq!(
        (class.length, class.priority),
        (Length::Full, Priority::Changes)
    );
    let found = compiled("calm-evening.toml");
    assert_eq!(found.class.left_out.len(), 1, "{:?}", found.class.left_out);
    assert!(found.class.left_out[0].starts_with("Down stretch"));
    assert!(found.class.steps.iter().all(|s| s.entry.is_some()));
}

#[test]
fn two_series_run_on_one_side_and_then_the_other() {
    let found = compiled("two-series.toml");
    let sides = |block: usize| -> Vec<Side> {
        let steps = found.class.steps.iter();
        steps
            .filter(|s| s.block == Some(block))
            .map(|s| s.side)
            .collect()
    };
    let runs = [Side::Left, Side::Left, Side::Right, Side::Right];
    assert_eq!((sides(0), sides(1)), (runs.to_vec(), runs.to_vec()));
    let bends = found.ledger.entries.iter();
    assert!(bends.filter(|e| e.rule == RuleName::Counterpose).count() >= 1);
}

#[test]
fn a_movement_of_her_own_takes_over_what_she_does_not_say() {
    let class = scenario("box-block.toml", &known());
    assert_eq!(class.assumed.len(), 1);
    assert!(class.assumed[0].starts_with("Slow swan with a pause is like Swan: taken over"));
    let own = class.catalogue.get("slow-swan-with-a-pause").unwrap();
    assert_eq!(own.prepared_by, ["prone-press"]);
    assert_eq!(own.layers[0].repetitions.usual, 3);
    let found = compiled("box-block.toml");
    assert!(
        found
            .ledger
            .entries
            .iter()
            .all(|e| e.rule != RuleName::WarmUp)
    );
}

#[test]
fn the_second_machine_serves_its_class() {
    assert_eq!(compiled("second-machine.toml").apparatus.id, "orchard");
}

#[test]
fn a_kept_block_is_used_by_its_name_and_one_in_the_brief_stands_before_it() {
    let mut known = known();
    known.kept_blocks.push(vec![source(
        "blocks.toml",
        "[[series]]\nname = \"Standing line\"\nlist = [\"Scooter\"]\n\n[[block]]\nname = \"Arms\"\nlist = [\"Hug, seated\", \"Shave\"]\n",
    )]);
    let class = source(
        "class.toml",
        "list = [\"Elephant\", \"standing lines, 2 rounds\", \"Arms\"]\n\n[[block]]\nname = \"Arms\"\nordered = true\nlist = [\"Shave\"]\n",
    );
    let found = brief(&class, &known, None);
    assert_eq!(found.diagnostics, []);
    let found = found.value.unwrap();
    let listed: Vec<(&str, Option<usize>)> = found
        .entries
        .iter()
        .map(|e| (e.movement.as_str(), e.block))
        .collect();
    assert_eq!(
        listed,
        [("elephant", None), ("scooter", Some(0)), ("shave", Some(1))]
    );
    assert!(found.blocks[0].series && found.blocks[0].rounds == 2);
    assert!(found.blocks[1].ordered);
}
