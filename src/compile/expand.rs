//! The list expanded into steps: sides, series run by run, rounds, repetitions, teaching, breathers, and what a condition leaves out.
//!
//! The steps stand in the order as written, first side before second: this order is also "as given". A block is written out where its
//! first entry stands. A series is done once on the first side, then in the same order on the other; a both-sided movement in it
//! stands in each run. Within a block that is done in rounds, a step's round is the block's; else it is its entry's.

use std::collections::HashSet;

use super::replaced::{instead, sentence, taken_out};
use crate::brief::{Brief, Entry, Length, Pace};
use crate::model::apparatus::Apparatus;
use crate::model::caution::Caution;
use crate::model::class::{Class, ClassStep, Dose};
use crate::model::movement::{FacetNeed, Movement, Phase, Repetitions, Sides, Spine};
use crate::problem::step::Side;

/// Expands the list of a brief for a machine. The machine only decides which breather is put in where the brief names none, and what could stand in
/// the place of what is left out.
pub fn expand(brief: &Brief, apparatus: &Apparatus) -> Class {
    let mut out = Expansion {
        brief,
        class: Class {
            assumed: brief.assumed.clone(),
            ..Class::default()
        },
        taught: Vec::new(),
        left_out: HashSet::new(),
    };
    let kept: Vec<usize> = (0..brief.entries.len())
        .filter(|&e| !out.leave_out(&brief.entries[e], apparatus))
        .collect();
    let mut done = vec![false; brief.blocks.len()];
    for &e in &kept {
        match brief.entries[e].block {
            None => out.entry(e),
            Some(b) if !done[b] => {
                done[b] = true;
                let members: Vec<usize> = kept
                    .iter()
                    .copied()
                    .filter(|&m| brief.entries[m].block == Some(b))
                    .collect();
                out.block(b, &members);
            }
            Some(_) => {}
        }
    }
    out.breathers(apparatus);
    out.class
}

struct Expansion<'a> {
    brief: &'a Brief,
    class: Class,
    /// Ids of movements that were taught already.
    taught: Vec<String>,
    /// Ids of movements that are left out, each named already.
    left_out: HashSet<String>,
}

impl Expansion<'_> {
    /// Whether a condition in the room leaves an entry out; it is named with the reason and with what could replace it.
    fn leave_out(&mut self, entry: &Entry, apparatus: &Apparatus) -> bool {
        let Some(movement) = self.brief.catalogue.get(&entry.movement) else {
            return false;
        };
        let Some((condition, caution)) = taken_out(self.brief, movement) else {
            return false;
        };
        if !self.left_out.insert(movement.id.clone()) {
            return true;
        }
        let why = sentence(movement, condition, caution);
        let said = match instead(self.brief, apparatus, movement, &[]) {
            Some(other) => format!("{why}; {} could replace it", other.name),
            None => format!("{why}; no known movement could replace it"),
        };
        self.class.left_out.push(said);
        true
    }

    /// The side that leads.
    fn first(&self) -> Side {
        match self.brief.first_side {
            Some(Side::Right) => Side::Right,
            Some(Side::Left | Side::Both) | None => Side::Left,
        }
    }

    /// An entry that stands alone: round by round, first side before second.
    fn entry(&mut self, e: usize) {
        for round in 1..=self.brief.entries[e].rounds {
            self.both_sides(e, round);
        }
    }

    fn both_sides(&mut self, e: usize, round: u32) {
        for side in self.sides_of(e) {
            self.step(e, side, round);
        }
    }

    /// The sides on which an entry is done, in the order of this class.
    fn sides_of(&self, e: usize) -> Vec<Side> {
        let entry = &self.brief.entries[e];
        let each = self
            .brief
            .catalogue
            .get(&entry.movement)
            .is_some_and(|m| m.sides == Sides::Each);
        match entry.side {
            _ if !each => vec![Side::Both],
            Some(side @ (Side::Left | Side::Right)) => vec![side],
            Some(Side::Both) | None => vec![self.first(), other(self.first())],
        }
    }

    fn block(&mut self, b: usize, members: &[usize]) {
        let block = &self.brief.blocks[b];
        for round in 1..=block.rounds {
            let in_round = |own: u32| if block.rounds > 1 { round } else { own };
            if block.series {
                for side in [self.first(), other(self.first())] {
                    for &e in members {
                        let sides = self.sides_of(e);
                        for own in 1..=self.brief.entries[e].rounds {
                            if sides.contains(&side) {
                                self.step(e, side, in_round(own));
                            } else if sides == [Side::Both] {
                                self.step(e, Side::Both, in_round(own));
                            }
                        }
                    }
                }
            } else {
                for &e in members {
                    for own in 1..=self.brief.entries[e].rounds {
                        self.both_sides(e, in_round(own));
                    }
                }
            }
        }
    }

    fn step(&mut self, e: usize, side: Side, round: u32) {
        let entry = &self.brief.entries[e];
        let Some(known) = self.brief.catalogue.get(&entry.movement) else {
            return;
        };
        let movement = overridden(known, entry);
        let again = self.taught.contains(&movement.id);
        let teach = match (entry.teach, again) {
            (Some(asked), false) => asked,
            (Some(asked), true) => movement.teach_again.min(asked),
            (None, false) if self.brief.pace == Pace::Regulars => movement.teach_again,
            (None, false) => movement.teach,
            (None, true) => movement.teach_again,
        };
        if !again {
            self.taught.push(movement.id.clone());
        }
        let doses = doses(&movement, self.brief.length, entry.repetitions);
        let movement = self.movement(movement);
        self.class.steps.push(ClassStep {
            movement,
            side,
            round,
            entry: Some(e),
            block: entry.block,
            doses,
            teach,
            span: Some(entry.span.clone()),
        });
    }

    /// The index of a movement as it is done here; each form of it stands in the class once.
    fn movement(&mut self, movement: Movement) -> usize {
        match self.class.movements.iter().position(|m| *m == movement) {
            Some(known) => known,
            None => {
                self.class.movements.push(movement);
                self.class.movements.len() - 1
            }
        }
    }

    /// Breathers last: the copies of each movement that the brief allows as a rest; none for regulars unless it says so. Where it names
    /// none, the first resting movement that fits the machine, may stand in the main part and nobody in the room is to be spared: one that
    /// rounds the back if there is one, and one that does not where rounding itself is to be spared.
    fn breathers(&mut self, apparatus: &Apparatus) {
        let asked = &self.brief.rules.breathers;
        let catalogue = &self.brief.catalogue;
        let unasked = self.brief.pace == Pace::Regulars && asked.span.is_none();
        if asked.copies == 0 || unasked {
            return;
        }
        let rounding = [Caution::DeepFlexion, Caution::DiscLoad];
        let spared = (self.brief.cautions().iter()).any(|c| rounding.contains(c));
        let movements: Vec<&Movement> = if asked.movements.is_empty() {
            let rests = || {
                catalogue.iter().filter(|m| {
                    m.rest
                        && m.sides != Sides::Each
                        && m.phases.contains(&Phase::Main)
                        && apparatus.cannot_serve(m).is_empty()
                })
            };
            let found = rests()
                .filter(|m| !self.brief.is_met(m))
                .min_by_key(|m| (m.degree(Spine::Flexion) == 0) != spared);
            if found.is_none() && rests().next().is_some() {
                self.class.assumed.push(
                    "no rest is added: every known one meets a condition in the room".to_owned(),
                );
            }
            found.into_iter().collect()
        } else {
            // Those that the teacher names stay, unless a condition takes out what meets it.
            let named: Vec<&Movement> = (asked.movements.iter())
                .filter_map(|id| catalogue.get(id))
                .collect();
            for &rest in &named {
                if let Some((condition, caution)) = taken_out(self.brief, rest) {
                    (self.class.left_out).push(sentence(rest, condition, caution));
                }
            }
            let stays = |m: &&Movement| taken_out(self.brief, m).is_none();
            named.into_iter().filter(stays).collect()
        };
        for movement in movements {
            let doses = doses(movement, self.brief.length, None);
            let teach = movement.teach;
            let movement = self.movement(movement.clone());
            for _ in 0..asked.copies {
                self.class.steps.push(ClassStep {
                    movement,
                    side: Side::Both,
                    round: 1,
                    entry: None,
                    block: None,
                    doses: doses.clone(),
                    teach,
                    span: asked.span.clone(),
                });
            }
        }
    }
}

fn other(side: Side) -> Side {
    match side {
        Side::Left => Side::Right,
        Side::Right => Side::Left,
        Side::Both => Side::Both,
    }
}

/// The movement as the entry has it: the springs and values of facets given there are kept.
fn overridden(movement: &Movement, entry: &Entry) -> Movement {
    let mut done = movement.clone();
    if let Some(springs) = &entry.springs {
        done.springs = springs.clone();
    }
    for asked in &entry.facets {
        let asked: &FacetNeed = asked;
        match done.facets.iter_mut().find(|f| f.facet == asked.facet) {
            Some(need) => *need = asked.clone(),
            None => done.facets.push(asked.clone()),
        }
    }
    done
}

/// What is done of each layer. Repetitions of the list are for the main layer.
fn doses(movement: &Movement, length: Length, asked: Option<u32>) -> Vec<Dose> {
    let layers = &movement.layers;
    let main = movement.main_layer();
    layers
        .iter()
        .enumerate()
        .map(|(layer, l)| {
            let count = match asked {
                Some(count) if layer == main => count,
                Some(_) | None => usual(&l.repetitions, length),
            };
            let ways = if l.repetitions.each_way { 2.0 } else { 1.0 };
            Dose {
                layer,
                count,
                seconds: f64::from(count) * ways * l.repetitions.seconds,
            }
        })
        .collect()
}

fn usual(repetitions: &Repetitions, length: Length) -> u32 {
    match length {
        Length::Short => repetitions.fewest,
        Length::Usual => repetitions.usual,
        Length::Full => repetitions.most,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::{Block, Condition, Treatment};
    use crate::compile::sample::{brief, machine};
    use crate::model::caution::Caution;
    use crate::rules::sample::{Sample, movement, nowhere, with_spine};

    fn each(id: &str) -> Movement {
        Movement {
            sides: Sides::Each,
            ..movement(id)
        }
    }

    /// A brief whose list holds these movements once each, without breathers.
    fn listed(movements: Vec<Movement>) -> Brief {
        let mut sample = Sample::new();
        for m in movements {
            sample = sample.both(m);
        }
        let mut brief = brief(&sample);
        brief.rules.breathers.copies = 0;
        brief
    }

    fn block(series: bool, rounds: u32) -> Block {
        Block {
            name: "b".into(),
            ordered: true,
            series,
            rounds,
            span: nowhere(),
        }
    }

    /// Each step written short: id, side, round, seconds to teach.
    fn steps(brief: &Brief) -> Vec<String> {
        let class = expand(brief, &machine());
        class
            .steps
            .iter()
            .map(|s| {
                let side = match s.side {
                    Side::Both => "both",
                    Side::Left => "left",
                    Side::Right => "right",
                };
                format!(
                    "{} {side} {} {}",
                    class.movements[s.movement].id, s.round, s.teach
                )
            })
            .collect()
    }

    #[test]
    fn a_one_sided_movement_makes_two_steps_and_the_first_side_leads() {
        let mut brief = listed(vec![movement("a"), each("b")]);
        assert_eq!(
            steps(&brief),
            ["a both 1 30", "b left 1 30", "b right 1 10"]
        );
        brief.first_side = Some(Side::Right);
        brief.entries[1].rounds = 2;
        assert_eq!(
            steps(&brief)[1..],
            ["b right 1 30", "b left 1 10", "b right 2 10", "b left 2 10"]
        );
        brief.entries[1].side = Some(Side::Left);
        brief.entries[1].teach = Some(5.0);
        assert_eq!(steps(&brief)[1..], ["b left 1 5", "b left 2 5"]);
    }

    #[test]
    fn a_series_is_done_run_by_run_with_its_both_sided_movements_in_each() {
        let mut brief = listed(vec![each("a"), movement("z"), movement("b"), each("c")]);
        brief.blocks.push(block(true, 1));
        for e in [0, 2, 3] {
            brief.entries[e].block = Some(0);
        }
        assert_eq!(
            steps(&brief),
            [
                "a left 1 30",
                "b both 1 30",
                "c left 1 30",
                "a right 1 10",
                "b both 1 10",
                "c right 1 10",
                "z both 1 30"
            ]
        );
    }

    #[test]
    fn rounds_of_a_block_go_round_the_whole_block() {
        let mut brief = listed(vec![movement("a"), each("b")]);
        brief.blocks.push(block(false, 2));
        for entry in &mut brief.entries {
            entry.block = Some(0);
        }
        assert_eq!(
            steps(&brief),
            [
                "a both 1 30",
                "b left 1 30",
                "b right 1 10",
                "a both 2 10",
                "b left 2 10",
                "b right 2 10"
            ]
        );
    }

    #[test]
    fn length_picks_the_repetitions_and_the_list_stands_above_it() {
        let mut brief = listed(vec![movement("a"), movement("b")]);
        brief.length = Length::Short;
        brief.entries[1].repetitions = Some(7);
        let class = expand(&brief, &machine());
        let counts: Vec<u32> = class.steps.iter().map(|s| s.doses[0].count).collect();
        assert_eq!(counts, [5, 7]);
        assert_eq!(class.steps[1].seconds(), 30.0 + 7.0 * 6.0);
        brief.length = Length::Full;
        std::sync::Arc::make_mut(&mut brief.catalogue.movements[0]).layers[0]
            .repetitions
            .each_way = true;
        let class = expand(&brief, &machine());
        assert_eq!(class.steps[0].seconds(), 30.0 + 2.0 * 12.0 * 6.0);
    }

    fn in_the_room(name: &str, treatment: Treatment) -> Condition {
        Condition {
            name: name.into(),
            said: None,
            treatment,
            span: nowhere(),
        }
    }

    #[test]
    fn what_a_condition_leaves_out_is_named_with_the_reason_and_what_could_stand_there() {
        let mut swan = with_spine("swan", Spine::Extension, 3);
        swan.cautions = vec![Caution::BackBend];
        let mut brief = listed(vec![swan, movement("a")]);
        (brief.conditions).push(in_the_room("spinal stenosis", Treatment::LeftOut));
        assert_eq!(steps(&brief), ["a both 1 30"]);
        assert_eq!(
            expand(&brief, &machine()).left_out,
            ["swan is left out for spinal stenosis in the room (back bend); a could replace it"]
        );
        brief.conditions[0].treatment = Treatment::Shown;
        assert_eq!(steps(&brief).len(), 2);
    }

    /// Source: Brooke-Wavell K et al. (2022), no high degree of spinal flexion; that a held fold counts is common practice.
    #[test]
    fn a_rest_is_put_in_only_if_nobody_in_the_room_is_to_be_spared_it() {
        let mut fold = with_spine("rest fold", Spine::Flexion, 1);
        fold.rest = true;
        let mut sit = movement("sitting");
        sit.rest = true;
        let mut brief = listed(vec![movement("a")]);
        brief
            .catalogue
            .movements
            .extend([sit, fold].map(Into::into));
        brief.rules.breathers.copies = 1;
        assert_eq!(steps(&brief)[1..], ["rest fold both 1 30"]);
        (brief.conditions).push(in_the_room("osteoporosis", Treatment::Shown));
        assert_eq!(steps(&brief)[1..], ["sitting both 1 30"]);
        brief.catalogue.movements.retain(|m| m.id != "sitting");
        assert_eq!(steps(&brief).len(), 1);
        assert!(expand(&brief, &machine()).assumed[0].starts_with("no rest is added"));
    }

    #[test]
    fn two_rest_folds_come_last_unless_the_brief_says_otherwise() {
        let mut fold = with_spine("rest fold", Spine::Flexion, 1);
        fold.rest = true;
        let mut brief = listed(vec![movement("a")]);
        brief.catalogue.movements.push(fold.into());
        brief.rules.breathers.copies = 2;
        let class = expand(&brief, &machine());
        assert_eq!(class.steps.len(), 3);
        assert!(class.steps[1..].iter().all(|s| s.entry.is_none()));
        assert_eq!(class.movements[class.steps[2].movement].id, "rest fold");
    }

    #[test]
    fn her_springs_make_a_form_of_the_movement_of_their_own() {
        use crate::model::movement::SpringNeed;
        let mut brief = listed(vec![movement("a")]);
        brief.entries.push(brief.entries[0].clone());
        brief.entries[1].springs = Some(SpringNeed::Locked);
        let class = expand(&brief, &machine());
        assert_eq!(class.movements.len(), 2);
        assert_eq!(class.movements[1].springs, SpringNeed::Locked);
        assert_eq!(class.movements[1].id, "a");
    }
}
