//! An order as it is taught, in the trade's words: rows on the clock with their set-ups and change-overs, from the first set-up to the reset, and
//! how each rule fared.

pub mod acts;
pub mod breach;
pub mod care;
pub mod changeover;
pub mod conditions;
pub mod offer;
pub mod rule_report;
#[cfg(test)]
pub mod sample;
pub mod setup_words;
pub mod way;
pub mod wording;

use crate::brief::{Brief, Length};
use crate::compile::Compiled;
use crate::model::movement::{BodyNotes, Phase, RepUnit};
use crate::problem::step::Side;
use crate::score::Evaluation;
use care::{lay_out, machine_cautions};
use changeover::{Changeover, Cue, Stand, changeover};
use conditions::{InTheRoom, in_the_room};
use rule_report::{RuleReport, rule_reports};
use setup_words::{Beside, Borrowed};

/// What is done of a movement, layer by layer.
#[derive(Debug, Clone, PartialEq)]
pub struct Done {
    /// The layer; empty if the movement has only one.
    pub layer: String,
    /// How often, in words.
    pub amount: String,
    /// How many repetitions, breaths or seconds.
    pub count: u32,
    /// What is counted.
    pub unit: RepUnit,
    /// Whether it is so many for each of two directions.
    pub each_way: bool,
    /// Whether the sides take turns.
    pub by_turns: bool,
    /// Seconds for all of it.
    pub seconds: f64,
    /// Offered, not asked.
    pub offered: bool,
    /// Another grip than the movement's; may be empty.
    pub grip: String,
}

/// One step on the clock.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Place in the order, from 1.
    pub place: usize,
    /// Number of the step in the problem.
    pub step: usize,
    /// Name of the movement.
    pub movement: String,
    /// Id of the movement.
    pub id: String,
    /// Its side.
    pub side: Side,
    /// Round, from 1.
    pub round: u32,
    /// A rest that was put in.
    pub breather: bool,
    /// Block or series that it belongs to.
    pub block: Option<String>,
    /// What is done.
    pub done: Vec<Done>,
    /// Springs by label.
    pub springs: String,
    /// Springs that are not hers.
    pub borrowed: Option<Borrowed>,
    /// The next lighter springs that it allows on this machine.
    pub lighter: Option<Beside>,
    /// The next heavier ones.
    pub heavier: Option<Beside>,
    /// Notes for different people and ropes.
    pub notes: BodyNotes,
    /// Other facets that it asks for.
    pub facets: Vec<String>,
    /// Position at the start.
    pub position: String,
    /// What to say and know: how it is done, then cues.
    pub cues: Vec<String>,
    /// Start and end, hundredths.
    pub start: i64,
    /// End, hundredths.
    pub end: i64,
    /// The change-over before it.
    pub before: Changeover,
}

/// A whole class in order.
#[derive(Debug, Clone, PartialEq)]
pub struct Lesson {
    /// The set-up and position that the machines start in.
    pub start: Vec<String>,
    /// The position that everybody starts in; `None`: anywhere.
    pub start_position: Option<String>,
    /// What to lay out.
    pub lay_out: Vec<String>,
    /// The rows.
    pub rows: Vec<Row>,
    /// The change-over after the last row, if the class must end in a set-up.
    pub reset: Option<Changeover>,
    /// The way back to how classes start, as cues, not counted in the minutes, where the class asks for no set-up at its end.
    pub put_back: Vec<String>,
    /// End of the class, hundredths.
    pub finish: i64,
    /// All change-overs, hundredths.
    pub changeover: i64,
    /// Stops.
    pub stops: i64,
    /// Minutes of the class less what it takes, hundredths; below 0 if it is too long. `None` without minutes.
    pub left_over: Option<i64>,
    /// Whether the repetitions of the whole class could be more.
    pub could_be_fuller: bool,
    /// Time until the first step that cannot be in a warm-up, hundredths; 0 if it is the first of all, `None` if there is none.
    pub warm_up: Option<i64>,
    /// How each rule fared.
    pub rule_reports: Vec<RuleReport>,
    /// Conditions in the room.
    pub conditions: Vec<InTheRoom>,
    /// Cautions about the machine.
    pub machine: Vec<String>,
}

/// The class as it is taught in the order of `evaluation`.
pub fn lesson(brief: &Brief, compiled: &Compiled, evaluation: &Evaluation) -> Lesson {
    let problem = &compiled.problem;
    let timeline = &evaluation.timeline;
    let mut setup = problem.start_setup.clone();
    let mut posture = problem.start_posture;
    let mut rows = Vec::new();
    for (i, &step) in timeline.order.iter().enumerate() {
        let next = &problem.steps[step];
        let from = Stand {
            setup: &setup,
            posture,
        };
        let to = Stand {
            setup: &timeline.setups[i],
            posture: Some(next.start),
        };
        let time = timeline.start[i] - timeline.changeover_start[i];
        let before = changeover(compiled, from, to, time, timeline.stops[i]);
        rows.push(row(brief, compiled, evaluation, i, before));
        setup.clone_from(&timeline.setups[i]);
        posture = Some(next.end);
    }
    let reset = problem.end.as_ref().map(|end| {
        let last: Vec<usize> = setup
            .iter()
            .zip(&end.setup)
            .map(|(&now, asked)| asked.unwrap_or(now))
            .collect();
        let from = Stand {
            setup: &setup,
            posture,
        };
        let to = Stand {
            setup: &last,
            posture: end.posture,
        };
        changeover(
            compiled,
            from,
            to,
            timeline.final_changeover,
            timeline.final_stop,
        )
    });
    let put_back = match &reset {
        Some(_) => Vec::new(),
        None => put_back(compiled, &setup, posture),
    };
    Lesson {
        start: setup_words::whole(compiled, &problem.start_setup),
        start_position: problem
            .start_posture
            .map(|p| compiled.apparatus.postures.postures[p].name.clone()),
        lay_out: lay_out(compiled, timeline),
        rows,
        reset,
        put_back,
        finish: timeline.finish,
        changeover: evaluation.changeover,
        stops: evaluation.stops,
        left_over: brief
            .minutes
            .map(|minutes| (minutes * 6_000.0).round() as i64 - timeline.finish),
        could_be_fuller: brief.length != Length::Full,
        warm_up: warm_up(compiled, evaluation),
        rule_reports: rule_reports(compiled, evaluation),
        conditions: in_the_room(brief, compiled, timeline),
        machine: machine_cautions(compiled, timeline),
    }
}

fn row(
    brief: &Brief,
    compiled: &Compiled,
    evaluation: &Evaluation,
    i: usize,
    before: Changeover,
) -> Row {
    let timeline = &evaluation.timeline;
    let step = timeline.order[i];
    let class_step = &compiled.class.steps[step];
    let movement = &compiled.class.movements[class_step.movement];
    let setup = &timeline.setups[i];
    let single = class_step.doses.len() == 1;
    let done = class_step
        .doses
        .iter()
        .map(|dose| {
            let layer = &movement.layers[dose.layer];
            Done {
                layer: if single {
                    String::new()
                } else {
                    layer.name.clone()
                },
                amount: wording::dose(movement, dose),
                count: dose.count,
                unit: layer.repetitions.unit,
                each_way: layer.repetitions.each_way,
                by_turns: movement.by_turns(layer),
                seconds: dose.seconds,
                offered: layer.offered,
                grip: layer.grip.clone().unwrap_or_default(),
            }
        })
        .collect();
    let mut cues: Vec<String> = Vec::new();
    cues.extend((!movement.how.is_empty()).then(|| movement.how.clone()));
    cues.extend(movement.cues.iter().cloned());
    Row {
        place: i + 1,
        step,
        movement: movement.name.clone(),
        id: movement.id.clone(),
        side: class_step.side,
        round: class_step.round,
        breather: class_step.entry.is_none(),
        block: class_step.block.map(|b| brief.blocks[b].name.clone()),
        done,
        springs: setup_words::springs(compiled, setup),
        borrowed: setup_words::borrowed(compiled, step, setup[0]),
        lighter: setup_words::lighter(compiled, step, setup[0]),
        heavier: setup_words::heavier(compiled, step, setup[0]),
        notes: movement.notes.clone(),
        facets: setup_words::asked(compiled, step, setup),
        position: compiled.apparatus.postures.postures[compiled.problem.steps[step].start]
            .name
            .clone(),
        cues,
        start: timeline.start[i],
        end: timeline.end[i],
        before,
    }
}

/// What differs at the end from how a class starts, as cues.
fn put_back(compiled: &Compiled, setup: &[usize], posture: Option<usize>) -> Vec<String> {
    let from = Stand { setup, posture };
    let to = Stand {
        setup: &compiled.problem.start_setup,
        posture: compiled.problem.start_posture,
    };
    let made = changeover(compiled, from, to, 0, false);
    let mut said: Vec<String> = made.cues.iter().map(Cue::said).collect();
    said.extend(made.spotted.mark());
    said
}

fn warm_up(compiled: &Compiled, evaluation: &Evaluation) -> Option<i64> {
    let timeline = &evaluation.timeline;
    timeline
        .order
        .iter()
        .position(|&s| {
            let movement = &compiled.class.movements[compiled.class.steps[s].movement];
            !movement.phases.contains(&Phase::WarmUp)
        })
        .map(|i| if i == 0 { 0 } else { timeline.start[i] })
}
