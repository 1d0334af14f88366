//! Change-overs read by the spotter: every ordered pair of movements and sides on each machine, start and end of the class among them, and
//! faults put in on purpose. Its rules are common practice, no source.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::collections::BTreeSet;

use crate::change_overs::{after, between, compiled, heard, listed, states, whole_catalogue};
use crate::reading::known;
use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use segue::compile::Compiled;
use segue::lesson::changeover::{Changeover, Spotted};
use segue::model::act::Act;
use segue::model::apparatus::Apparatus;
use segue::model::springs::SpringSet;
use segue::search::best_setups;
use segue::search::budget::Limits;
use segue::spotter::{Goal, Rule, Scene, read};

/// What is wrong with a change-over: refused, or its words mean something else.
fn wrong(
    compiled: &Compiled,
    made: &Changeover,
    from: (&[usize], Option<usize>),
    to: Option<usize>,
) -> Option<String> {
    let machine = &compiled.apparatus;
    let graph = &machine.postures;
    let name = |n: Option<usize>| n.map_or("anywhere", |n| graph.postures[n].name.as_str());
    let told = || {
        let said: Vec<String> = made.cues.iter().map(|c| c.said()).collect();
        format!("{} to {}: {}", name(from.1), name(to), said.join("; "))
    };
    if made.spotted != Spotted::Fine {
        return Some(format!("{:?}: {}", made.spotted, told()));
    }
    let springs = &compiled.spring_values[from.0[0]];
    let acts = heard(machine, from.1?, springs, &from.0[1..], &made.cues);
    match acts {
        Ok(acts) if acts == made.acts => None,
        Ok(_) => Some(format!("heard otherwise: {}", told())),
        Err(words) => Some(format!("{words}: {}", told())),
    }
}

/// Reads the change-over of every ordered pair of movements and sides, the start and the end of the class among them. Steps that start, end
/// and ask alike are read once.
fn every_pair(machine: &str, every_choice: bool) {
    let known = known();
    let machine = (known.apparatus.iter()).find(|m| m.id == machine).unwrap();
    let compiled = whole_catalogue(&known, machine);
    let start = compiled.problem.start_setup.clone();
    let begin = compiled.problem.start_posture;
    let all = states(&compiled, every_choice);
    assert!(all.len() > 80, "{}", all.len());
    let mut faults = BTreeSet::new();
    for a in &all {
        let first = after(&a.asks, &start);
        let opened = between(&compiled, (&start, begin), (&first, Some(a.start)));
        faults.extend(wrong(&compiled, &opened, (&start, begin), Some(a.start)));
        let ended = (first.as_slice(), Some(a.end));
        let put_back = between(&compiled, ended, (&start, begin));
        faults.extend(wrong(&compiled, &put_back, ended, begin));
        for b in &all {
            let second = after(&b.asks, &first);
            let made = between(&compiled, ended, (&second, Some(b.start)));
            faults.extend(wrong(&compiled, &made, ended, Some(b.start)));
        }
    }
    let shown: Vec<&String> = faults.iter().take(12).collect();
    println!(
        "{}: {} steps, {} that differ",
        machine.id,
        compiled.problem.steps.len(),
        all.len()
    );
    assert!(faults.is_empty(), "{} are wrong: {shown:#?}", faults.len());
}

#[test]
fn every_pair_of_movements_is_changed_over_safely_and_its_words_mean_what_is_done() {
    for machine in ["harbour", "lantern", "orchard"] {
        every_pair(machine, false);
    }
}

#[test]
fn every_pair_with_all_springs_that_fit_is_changed_over_safely_on_five_springs_of_three_classes() {
    every_pair("harbour", true);
}

#[test]
fn every_pair_with_all_springs_that_fit_is_changed_over_safely_on_the_other_machines() {
    every_pair("lantern", true);
    every_pair("orchard", true);
}

/// Lists drawn in each run.
const LISTS: usize = 1_000;

/// Steps in an order drawn at random, with the set-ups that suit it: what a search that cared for nothing would hand over.
#[test]
fn change_overs_of_random_lists_in_random_orders_are_safe() {
    let seed: u64 = rand::random();
    println!("seed {seed}");
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let known = known();
    let mut rows = 0;
    for _ in 0..LISTS {
        let machine = &known.apparatus[rng.random_range(0..known.apparatus.len())];
        let served: Vec<&str> = (known.catalogue.movements.iter())
            .filter(|m| machine.cannot_serve(m).is_empty())
            .map(|m| m.name.as_str())
            .collect();
        let mut names: Vec<&str> = (0..rng.random_range(2..9))
            .map(|_| served[rng.random_range(0..served.len())])
            .collect();
        names.dedup();
        let compiled = listed(&known, machine, &names);
        let problem = &compiled.problem;
        let mut order: Vec<usize> = (0..problem.steps.len()).collect();
        order.shuffle(&mut rng);
        let limits = Limits {
            nodes: Some(2_000),
            ..Limits::default()
        };
        let Some((setups, _)) = best_setups(problem, &order, &limits) else {
            panic!("{names:?}: no set-ups");
        };
        let mut setup = problem.start_setup.clone();
        let mut at = problem.start_posture;
        for (&step, now) in order.iter().zip(&setups) {
            let next = &problem.steps[step];
            let made = between(&compiled, (&setup, at), (now, Some(next.start)));
            let fault = wrong(&compiled, &made, (&setup, at), Some(next.start));
            assert_eq!(fault, None, "{}: {names:?}", machine.id);
            setup.clone_from(now);
            at = Some(next.end);
            rows += 1;
        }
        let back = (problem.start_setup.as_slice(), problem.start_posture);
        let made = between(&compiled, (&setup, at), back);
        assert_eq!(wrong(&compiled, &made, (&setup, at), back.1), None);
    }
    assert!(rows > 3 * LISTS, "{rows}");
}

#[test]
fn what_a_file_of_her_own_allows_is_done_and_marked() {
    let known = known();
    let mut machine = known.apparatus[0].clone();
    machine.springs.reach.push(STANDING.to_owned());
    let compiled = listed(&known, &machine, &["Elephant", "Elephant, flat back"]);
    let at = compiled.problem.steps[0].start;
    let setup = |springs| {
        let mut setup = compiled.problem.start_setup.clone();
        setup[0] = springs;
        setup
    };
    let made = between(&compiled, (&setup(0), Some(at)), (&setup(1), Some(at)));
    let Spotted::AllowedByTheFile(refused) = &made.spotted else {
        panic!("{:?}", made.spotted);
    };
    assert_eq!(*refused, [Rule::SpringsFrom, Rule::HandsFree]);
    assert!(
        made.spotted
            .mark()
            .unwrap()
            .starts_with("the machine's own file allows this")
    );
}

/// A move that no careful file has, short enough to be taken: what comes in its place goes over the floor and is marked.
#[test]
fn where_a_change_over_is_refused_the_long_safe_way_stands_in_its_place() {
    let known = known();
    let mut machine = known.apparatus[0].clone();
    let postures = &machine.postures;
    let node = |name: &str| {
        postures
            .postures
            .iter()
            .position(|p| p.name == name)
            .unwrap()
    };
    let ends = (
        node("astride the long box facing the strap end"),
        node("astride the long box facing the bar"),
    );
    let mut turn = postures.moves[0].clone();
    (turn.from, turn.to, turn.seconds) = (ends.0, ends.1, 1.0);
    machine.postures.moves.insert(0, turn);
    let compiled = listed(&known, &machine, &["Astride row", "Backstroke"]);
    let long = machine.facets[machine.facet("box").unwrap()].values.iter();
    let long = long.clone().position(|v| v == "long").unwrap();
    let mut setup = compiled.problem.start_setup.clone();
    setup[machine.facet("box").unwrap() + 1] = long;
    let made = between(&compiled, (&setup, Some(ends.0)), (&setup, Some(ends.1)));
    assert_eq!(made.spotted, Spotted::LongWay(vec![Rule::NoTurnOnTheBox]));
    assert!(
        made.spotted
            .mark()
            .unwrap()
            .starts_with("the long safe way")
    );
    let floor = machine
        .postures
        .postures
        .iter()
        .position(|p| p.name == BESIDE)
        .unwrap();
    let passes = made.acts.iter().any(|act| match act {
        Act::Go(m) => machine.postures.moves[*m].to == floor,
        _ => false,
    });
    assert!(passes, "{:?}", made.cues);
}

/// What ends a class goes together: nothing at the foot end below a raised bar, a box for somebody who ends on it.
#[test]
fn an_end_asks_for_what_goes_with_it() {
    let known = known();
    let machine = &known.apparatus[0];
    let (bar, foot_end, box_) = (
        machine.facet("bar").unwrap() + 1,
        machine.facet("foot_end").unwrap() + 1,
        machine.facet("box").unwrap() + 1,
    );
    let ends = |end: &str| {
        let text = format!("list = [\"Jumps, parallel\"]\n[end]\n{end}\n");
        compiled(&known, machine, &text).map(|c| c.problem.end.unwrap().setup)
    };
    let raised = ends("facets = { bar = \"high\" }").unwrap();
    assert_eq!(raised[foot_end], Some(0));
    let boarded = ends("facets = { foot_end = \"board\" }").unwrap();
    let low = machine.facets[bar - 1]
        .values
        .iter()
        .position(|v| v == "low");
    assert_eq!(boarded[bar], low);
    let seated = ends("posture = \"astride the long box facing the bar\"").unwrap();
    let long = machine.facets[box_ - 1]
        .values
        .iter()
        .position(|v| v == "long");
    assert_eq!(seated[box_], long);
    let both = ends("facets = { bar = \"high\", foot_end = \"board\" }");
    assert!(both.unwrap_err()[0].message.contains("does not go with"));
}

/// What cannot be had with where the body is, is refused before anything is planned.
#[test]
fn a_set_up_that_does_not_go_with_its_position_is_a_mistake() {
    let known = known();
    let machine = &known.apparatus[0];
    for line in [
        "{ movement = \"Pulling straps\", facets = { box = \"none\" } }",
        "{ movement = \"Jumps, parallel\", facets = { bar = \"high\" } }",
        "{ movement = \"Elephant\", facets = { bar = \"low\" } }",
    ] {
        let found = compiled(&known, machine, &format!("list = [{line}]\n"));
        let told = found.map(|_| ()).unwrap_err();
        assert!(
            told[0].message.contains("cannot be done"),
            "{line}: {told:?}"
        );
    }
}

/// Springs that she writes herself, none at all: nobody is told to sit down on a carriage that rolls freely.
#[test]
fn where_no_way_is_safe_nothing_is_said_but_that() {
    let known = known();
    let machine = &known.apparatus[0];
    let text = "breathers = 0\nlist = [{ movement = \"Hundred\", springs = \"none\" }]\n";
    let class = compiled(&known, machine, text).unwrap();
    let none = class
        .spring_values
        .iter()
        .position(|s| s.0.iter().all(|&n| n == 0));
    let mut setup = class.problem.start_setup.clone();
    setup[0] = none.unwrap();
    let made = between(
        &class,
        (&class.problem.start_setup, class.problem.start_posture),
        (&setup, Some(class.problem.steps[0].start)),
    );
    assert!(matches!(&made.spotted, Spotted::NoWay(rules) if rules.contains(&Rule::HeldBySprings)));
    assert!(made.cues.is_empty());
    assert!(
        made.spotted
            .mark()
            .unwrap()
            .starts_with("no safe way is known")
    );
}

/// The harbour machine with names for what the faults below need.
struct Floor {
    machine: Apparatus,
}

impl Floor {
    fn new() -> Self {
        let machine = known().apparatus.into_iter().find(|m| m.id == "harbour");
        Self {
            machine: machine.unwrap(),
        }
    }

    fn at(&self, name: &str) -> usize {
        let postures = &self.machine.postures.postures;
        postures.iter().position(|p| p.name == name).unwrap()
    }

    fn go(&self, from: &str, to: &str) -> Act {
        let (from, to) = (self.at(from), self.at(to));
        let moves = &self.machine.postures.moves;
        Act::Go((moves.iter().position(|m| m.from == from && m.to == to)).unwrap())
    }

    fn facet(&self, key: &str) -> usize {
        self.machine.facet(key).unwrap()
    }

    fn value(&self, key: &str, value: &str) -> usize {
        let values = &self.machine.facets[self.facet(key)].values;
        values.iter().position(|v| v == value).unwrap()
    }

    fn set(&self, key: &str, from: &str, to: &str) -> Act {
        Act::Set {
            facet: self.facet(key),
            from: self.value(key, from),
            to: self.value(key, to),
        }
    }

    fn on(&self, key: &str, value: &str) -> Act {
        Act::PutOn {
            facet: self.facet(key),
            value: self.value(key, value),
        }
    }

    fn off(&self, key: &str, value: &str) -> Act {
        Act::TakeOff {
            facet: self.facet(key),
            value: self.value(key, value),
        }
    }

    /// The machine as it starts, somebody at `name`, with these values.
    fn scene(&self, name: &str, values: &[(&str, &str)], closed: bool) -> Scene {
        let mut all: Vec<usize> = self.machine.facets.iter().map(|f| f.start).collect();
        for (key, value) in values {
            all[self.facet(key)] = self.value(key, value);
        }
        Scene {
            at: self.at(name),
            springs: self.machine.springs.start.clone(),
            values: all,
            closed,
        }
    }

    /// The rules that these acts break, whatever is wanted at the end.
    fn broken(&self, scene: &Scene, acts: &[Act]) -> Vec<Rule> {
        let mut end = scene.clone();
        for act in acts {
            match act {
                Act::Close => {}
                Act::Go(m) => end.at = self.machine.postures.moves[*m].to,
                Act::Springs { to, .. } => end.springs = to.clone(),
                Act::Set { facet, to, .. } | Act::Turn { facet, to, .. } => {
                    end.values[*facet] = *to
                }
                Act::TakeOff { facet, .. } => end.values[*facet] = 0,
                Act::PutOn { facet, value } => end.values[*facet] = *value,
            }
        }
        let goal = Goal {
            at: Some(end.at),
            springs: end.springs,
            values: end.values,
        };
        let refused = read(&self.machine, scene, acts, &goal);
        refused.into_iter().map(|r| r.rule).collect()
    }
}

fn springs(from: [u32; 3], to: [u32; 3]) -> Act {
    Act::Springs {
        from: SpringSet(from.to_vec()),
        to: SpringSet(to.to_vec()),
    }
}

const BESIDE: &str = "standing beside the machine";
const KNEELING: &str = "kneeling facing the bar";
const SEATED: &str = "seated facing the bar";
const STANDING: &str = "standing on the carriage, hands on the bar";
const LIGHT: [u32; 3] = [0, 0, 1];
const START: [u32; 3] = [1, 1, 0];

#[test]
fn each_fault_put_in_is_refused_by_its_rule() {
    let f = Floor::new();
    let change = || springs(START, LIGHT);
    let plain = |name: &str| f.scene(name, &[], false);
    let long = |name: &str| f.scene(name, &[("box", "long")], false);
    let lying = "on your back";
    let astride = "astride the long box facing the bar";
    // A move that no shipped file has: turning round on top of the box, and on the knees.
    let mut own = Floor::new();
    for (from, to) in [
        (astride, "astride the long box facing the strap end"),
        (KNEELING, "kneeling facing the strap end"),
        (
            BESIDE,
            "seated on the short box, feet under the safety strap",
        ),
        ("on your back, feet in straps", SEATED),
        (SEATED, "on your back, feet in straps"),
        (
            "face down on the long box, head to the strap end",
            "on your side on the long box, hand on the bar, left",
        ),
        (lying, "seated facing the bar, straps in hands"),
    ] {
        let mut step = own.machine.postures.moves[0].clone();
        (step.from, step.to) = (own.at(from), own.at(to));
        step.fixes_strap = false;
        own.machine.postures.moves.insert(0, step);
    }
    let faults: Vec<(&str, Rule, Vec<Rule>)> = vec![
        (
            "springs under people who stand",
            Rule::SpringsFrom,
            f.broken(&plain(STANDING), &[Act::Close, change()]),
        ),
        (
            "springs lying on the back",
            Rule::SpringsFrom,
            f.broken(&plain(lying), &[Act::Close, change()]),
        ),
        (
            "springs sitting sideways",
            Rule::SpringsFrom,
            f.broken(&plain("kneeling sideways, left"), &[Act::Close, change()]),
        ),
        (
            "springs astride the box",
            Rule::SpringsFrom,
            f.broken(&long(astride), &[Act::Close, change()]),
        ),
        (
            "springs with one foot on the carriage",
            Rule::SpringsFrom,
            f.broken(
                &plain("lunge, one foot on the floor, left"),
                &[Act::Close, change()],
            ),
        ),
        (
            "springs with both hands in the straps",
            Rule::StrapsFirst,
            f.broken(
                &plain("kneeling facing the bar, straps in hands"),
                &[Act::Close, change()],
            ),
        ),
        (
            "springs with the hands on the bar",
            Rule::HandsFree,
            f.broken(
                &plain("hands and knees facing the bar"),
                &[Act::Close, change()],
            ),
        ),
        (
            "springs with the feet in the straps",
            Rule::FeetFree,
            f.broken(
                &plain("on your back, feet in straps"),
                &[Act::Close, change()],
            ),
        ),
        (
            "springs on an open carriage",
            Rule::ClosedFirst,
            f.broken(&plain(SEATED), &[change()]),
        ),
        (
            "the last spring off with somebody on the carriage",
            Rule::LastSpring,
            f.broken(&plain(SEATED), &[Act::Close, springs(START, [0, 0, 0])]),
        ),
        (
            "springs off that are not on",
            Rule::AsItStands,
            f.broken(&plain(SEATED), &[Act::Close, springs(LIGHT, START)]),
        ),
        (
            "the bar lowered under people who lean on it",
            Rule::HandsFree,
            f.broken(&plain("plank"), &[Act::Close, f.set("bar", "high", "low")]),
        ),
        (
            "the bar lowered from a stand on the carriage",
            Rule::BarFrom,
            f.broken(&plain(STANDING), &[Act::Close, f.set("bar", "high", "low")]),
        ),
        (
            "the bar raised with the board still on",
            Rule::Fits,
            f.broken(
                &f.scene(BESIDE, &[("bar", "low"), ("foot_end", "board")], true),
                &[f.set("bar", "low", "high")],
            ),
        ),
        (
            "the board fitted under a raised bar",
            Rule::Fits,
            f.broken(&f.scene(BESIDE, &[], true), &[f.on("foot_end", "board")]),
        ),
        (
            "the board fitted with the platform on",
            Rule::OneAtATime,
            f.broken(
                &f.scene(BESIDE, &[("bar", "low"), ("foot_end", "platform")], true),
                &[f.on("foot_end", "board")],
            ),
        ),
        (
            "a box on a box",
            Rule::OneAtATime,
            f.broken(
                &f.scene(BESIDE, &[("box", "long")], true),
                &[f.on("box", "short")],
            ),
        ),
        (
            "the box off under people who sit on it",
            Rule::ThingsFrom,
            f.broken(&long(astride), &[Act::Close, f.off("box", "long")]),
        ),
        (
            "on to a box that is not there",
            Rule::CarriedByWhatIsThere,
            f.broken(&plain(BESIDE), &[Act::Close, f.go(BESIDE, astride)]),
        ),
        (
            "on to the platform before it is there",
            Rule::CarriedByWhatIsThere,
            f.broken(
                &plain(BESIDE),
                &[
                    Act::Close,
                    f.go(BESIDE, "lunge, front foot on the platform, left"),
                ],
            ),
        ),
        (
            "on to an open carriage",
            Rule::MovesClosed,
            f.broken(&plain(BESIDE), &[f.go(BESIDE, SEATED)]),
        ),
        (
            "on to a carriage without a spring",
            Rule::HeldBySprings,
            f.broken(
                &plain(BESIDE),
                &[Act::Close, springs(START, [0, 0, 0]), f.go(BESIDE, SEATED)],
            ),
        ),
        (
            "feet into the straps of an open carriage",
            Rule::MovesClosed,
            f.broken(
                &plain(lying),
                &[f.go(lying, "on your back, feet in straps")],
            ),
        ),
        (
            "from one strap into the other on an open carriage",
            Rule::MovesClosed,
            f.broken(
                &plain("on your back, one foot in a strap, left"),
                &[f.go(
                    "on your back, one foot in a strap, left",
                    "on your back, one foot in a strap, right",
                )],
            ),
        ),
        (
            "feet into the straps sitting",
            Rule::FeetLying,
            own.broken(
                &own.scene(SEATED, &[], true),
                &[own.go(SEATED, "on your back, feet in straps")],
            ),
        ),
        (
            "hands on a bar that lies flat",
            Rule::BarThere,
            f.broken(
                &f.scene(KNEELING, &[("bar", "low")], true),
                &[f.go(KNEELING, "hands and knees facing the bar")],
            ),
        ),
        (
            "a foot down from the bar on an open carriage",
            Rule::MovesClosed,
            f.broken(
                &plain("standing on the carriage, one foot on the bar, left"),
                &[f.go(
                    "standing on the carriage, one foot on the bar, left",
                    BESIDE,
                )],
            ),
        ),
        (
            "springs with the feet on the bar",
            Rule::FeetFree,
            f.broken(
                &plain("seated close to the bar, feet on the bar"),
                &[Act::Close, change()],
            ),
        ),
        (
            "sitting up with the feet still in the straps",
            Rule::StrapsFirst,
            own.broken(
                &own.scene("on your back, feet in straps", &[], true),
                &[own.go("on your back, feet in straps", SEATED)],
            ),
        ),
        (
            "straps taken on the way",
            Rule::StrapsTaken,
            own.broken(
                &own.scene(lying, &[], true),
                &[own.go(lying, "seated facing the bar, straps in hands")],
            ),
        ),
        (
            "turning round on top of the box",
            Rule::NoTurnOnTheBox,
            own.broken(
                &own.scene(astride, &[("box", "long")], true),
                &[own.go(astride, "astride the long box facing the strap end")],
            ),
        ),
        (
            "rolling with no hand on the bar",
            Rule::RollHeld,
            own.broken(
                &own.scene(
                    "face down on the long box, head to the strap end",
                    &[("box", "long")],
                    true,
                ),
                &[own.go(
                    "face down on the long box, head to the strap end",
                    "on your side on the long box, hand on the bar, left",
                )],
            ),
        ),
        (
            "a safety strap that nobody fixes",
            Rule::SafetyStrap,
            own.broken(
                &own.scene(BESIDE, &[("box", "short")], true),
                &[own.go(
                    BESIDE,
                    "seated on the short box, feet under the safety strap",
                )],
            ),
        ),
        (
            "turning on the knees on one light spring",
            Rule::KneesOnALightSpring,
            own.broken(
                &Scene {
                    springs: SpringSet(LIGHT.to_vec()),
                    ..own.scene(KNEELING, &[], true)
                },
                &[own.go(KNEELING, "kneeling facing the strap end")],
            ),
        ),
        ("a head rest that nobody lowers", Rule::Ready, {
            let scene = f.scene(SEATED, &[], true);
            let mut values = scene.values.clone();
            values[f.facet("head")] = f.value("head", "down");
            let goal = Goal {
                at: Some(f.at(lying)),
                springs: scene.springs.clone(),
                values,
            };
            let acts = [f.go(SEATED, lying)];
            let refused = read(&f.machine, &scene, &acts, &goal);
            refused.into_iter().map(|r| r.rule).collect()
        }),
    ];
    for (what, rule, refused) in &faults {
        assert!(refused.contains(rule), "{what}: {refused:?}");
    }
    let caught: BTreeSet<Rule> = faults.iter().map(|(_, rule, _)| *rule).collect();
    let all: BTreeSet<Rule> = Rule::ALL.into_iter().collect();
    assert_eq!(caught, all, "a rule that no fault breaks");
}

#[test]
fn what_is_usual_is_not_refused() {
    let f = Floor::new();
    let astride = "astride the long box facing the bar, straps in hands";
    let back = "on your back on the long box, straps in hands";
    let acts = [
        Act::Close,
        f.go("on your back, feet in straps", "on your back"),
        f.go("on your back", SEATED),
        springs(START, LIGHT),
        f.go(SEATED, BESIDE),
        f.set("bar", "high", "low"),
        f.on("box", "long"),
        f.go(BESIDE, astride),
        f.go(astride, back),
    ];
    let scene = f.scene("on your back, feet in straps", &[], false);
    assert_eq!(f.broken(&scene, &acts), []);
}
