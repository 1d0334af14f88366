//! A change-over as cues along its way, in a safe order.
//!
//! The order is argued once, here. The carriage is closed and nobody pulls on the ropes before a spring is touched; the new spring is on
//! before the old one comes off. What holds the carriage better goes on at the first posture along the way that reaches the springs, what
//! holds it less comes off at the last one, so that nobody turns, kneels or stands on a carriage that rolls freely. Straps are hung up
//! before the first move that the hands cannot keep them through, and taken last. Feet and thighs leave their loops by moves of the posture
//! graph, which come before any other.

use super::way;
use super::wording;
use crate::compile::Compiled;
use crate::model::apparatus::FacetSpec;
use crate::model::springs::SpringSet;

/// What kind of thing a cue asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CueKind {
    /// To be safe, before what follows.
    Safety,
    /// A move of the body.
    Move,
    /// Springs go on or come off.
    Springs,
    /// Another facet is set.
    Facet,
}

/// One thing to say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cue {
    /// What it asks.
    pub kind: CueKind,
    /// The words.
    pub text: String,
    /// Hundredths of a second that it is counted with, with the room in; 0 for what is said on the way.
    pub time: i64,
}

impl Cue {
    fn free(text: impl Into<String>) -> Self {
        Self {
            kind: CueKind::Safety,
            text: text.into(),
            time: 0,
        }
    }
}

/// A facet that changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Change {
    /// Index of the facet in the problem; 0 is the springs.
    pub facet: usize,
    /// Value before.
    pub from: usize,
    /// Value after.
    pub to: usize,
}

/// Everything between two steps.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Changeover {
    /// What to say, in order.
    pub cues: Vec<Cue>,
    /// What changes.
    pub changes: Vec<Change>,
    /// Whether it halts the class.
    pub stop: bool,
    /// Hundredths of a second, as the referee counts it.
    pub time: i64,
    /// Whether the straps hang on their hooks after it although the set-up still has the hands in them (nothing before the next step that
    /// wants them).
    pub hung: bool,
}

/// One end of a change-over.
#[derive(Debug, Clone, Copy)]
pub struct Stand<'a> {
    /// The set-up: one value for each facet.
    pub setup: &'a [usize],
    /// The posture; `None`: anywhere.
    pub posture: Option<usize>,
    /// At the beginning: whether the straps hang although the set-up has the hands in them. At the end: whether nobody wants them there.
    pub straps_idle: bool,
    /// At the end: whether the step there works one side only.
    pub one_sided: bool,
}

/// The key of the straps facet in apparatus files; its first value means that they hang on their hooks.
pub const STRAPS: &str = "straps";
/// The key of the box facet; its first value means that there is none on the machine.
pub const BOX: &str = "box";
/// The first value of either.
const AWAY: usize = 0;

/// The change-over between two stands. `time` and `stop` are the referee's.
pub fn changeover(
    compiled: &Compiled,
    from: Stand<'_>,
    to: Stand<'_>,
    time: i64,
    stop: bool,
) -> Changeover {
    let changes = changes(from.setup, to.setup);
    let reach: Vec<Vec<usize>> = changes
        .iter()
        .filter_map(|c| compiled.problem.facets[c.facet].reach.clone())
        .collect();
    let graph = &compiled.apparatus.postures;
    let walk = way::cheapest(
        graph,
        compiled.room_factor,
        from.posture,
        to.posture,
        &reach,
    )
    .unwrap_or_default();
    let straps = compiled.apparatus.facet(STRAPS);
    let mut in_hands =
        !from.straps_idle && straps.is_some_and(|k| held(compiled, from.setup[k + 1]));
    let mut cues = Vec::new();
    // Straps that hang already, although the set-up still has the hands in them, are not hung up again.
    let mut hang = changes.iter().copied().find(|c| {
        straps.is_some_and(|k| c.facet == k + 1) && c.to == AWAY && held(compiled, c.from)
    });
    if from.straps_idle {
        hang = None;
    }
    for place in 0..walk.nodes.len().max(1) {
        if place > 0 {
            let step = &graph.moves[walk.moves[place - 1]];
            if in_hands && !step.keeps_ropes {
                let mut cue = Cue::free("hang the straps on their hooks first");
                if let Some(c) = hang.take() {
                    cue.kind = CueKind::Facet;
                    cue.time = compiled.problem.facets[c.facet].change[c.from][c.to];
                }
                cues.push(cue);
                in_hands = false;
            }
            cues.push(Cue {
                kind: CueKind::Move,
                text: step.cue.clone(),
                time: walk.costs[place - 1],
            });
        }
        let node = walk.nodes.get(place).copied();
        let mut here: Vec<Change> = changes
            .iter()
            .copied()
            .filter(|c| chosen_place(compiled, *c, &walk.nodes) == place)
            .collect();
        here.sort_by_key(|c| (rank(compiled, *c), c.facet));
        for change in here {
            if straps.is_some_and(|k| change.facet == k + 1) {
                in_hands = held(compiled, change.to);
                if change.to == AWAY && held(compiled, change.from) && hang.take().is_none() {
                    continue;
                }
            }
            let bound = in_hands
                || node.is_some_and(|n| graph.postures[n].base.contains("strap"))
                    && straps.is_some_and(|k| from.setup[k + 1] != AWAY);
            cues.extend(cues_of(compiled, change, bound, to.one_sided));
        }
    }
    let want_hands = straps.is_some_and(|k| held(compiled, to.setup[k + 1]));
    if want_hands && !in_hands && !to.straps_idle {
        let k = straps.expect("hands can only be wanted in straps that the machine has");
        let spec = &compiled.apparatus.facets[k];
        cues.push(Cue::free(spec.cue(to.setup[k + 1], to.one_sided)));
        in_hands = true;
    }
    Changeover {
        cues,
        changes,
        stop,
        time,
        hung: want_hands && !in_hands,
    }
}

/// What differs from one set-up to the next.
pub fn changes(from: &[usize], to: &[usize]) -> Vec<Change> {
    from.iter()
        .zip(to)
        .enumerate()
        .filter(|(_, (a, b))| a != b)
        .map(|(facet, (&from, &to))| Change { facet, from, to })
        .collect()
}

/// Whether this value of the straps means that the hands hold them (loops, rings, or higher on the rope).
fn held(compiled: &Compiled, value: usize) -> bool {
    compiled.apparatus.facet(STRAPS).is_some_and(|k| {
        let key = &compiled.apparatus.facets[k].values[value];
        key.contains("hand") || key.contains("rope")
    })
}

/// The place along the walk where a change is made: the first or the last that reaches it, as is safer.
fn chosen_place(compiled: &Compiled, change: Change, nodes: &[usize]) -> usize {
    let reach = compiled.problem.facets[change.facet].reach.as_deref();
    let mut places =
        (0..nodes.len()).filter(|&p| reach.is_none_or(|of_facet| of_facet.contains(&nodes[p])));
    let late = match other_facet(compiled, change) {
        None => holds_less(compiled, change),
        Some(spec) => spec.key == STRAPS && change.to != AWAY,
    };
    let found = if late {
        places.next_back()
    } else {
        places.next()
    };
    found.unwrap_or(0)
}

/// The facet of a change; `None` for the springs.
fn other_facet(compiled: &Compiled, change: Change) -> Option<&FacetSpec> {
    change
        .facet
        .checked_sub(1)
        .map(|k| &compiled.apparatus.facets[k])
}

fn spring_sets(compiled: &Compiled, change: Change) -> (&SpringSet, &SpringSet) {
    (
        &compiled.spring_values[change.from],
        &compiled.spring_values[change.to],
    )
}

/// Whether the springs after a change hold the carriage less than those before.
fn holds_less(compiled: &Compiled, change: Change) -> bool {
    let classes = &compiled.apparatus.springs.classes;
    let (from, to) = spring_sets(compiled, change);
    to.load(classes) < from.load(classes)
}

/// The order of changes made in one place: straps away, springs that hold better, facets, springs that hold less, straps into the hands.
fn rank(compiled: &Compiled, change: Change) -> u8 {
    match other_facet(compiled, change) {
        None if holds_less(compiled, change) => 3,
        None => 1,
        Some(spec) if spec.key == STRAPS && change.to == AWAY => 0,
        Some(spec) if spec.key == STRAPS => 4,
        Some(_) => 2,
    }
}

fn cues_of(compiled: &Compiled, change: Change, bound: bool, one_sided: bool) -> Vec<Cue> {
    let time = compiled.problem.facets[change.facet].change[change.from][change.to];
    if let Some(spec) = other_facet(compiled, change) {
        // Feet and thighs go into the loops and out of them by a move of the body, which has its own cue.
        let by_a_move = |value| value != AWAY && !held(compiled, value);
        if spec.key == STRAPS && time == 0 && (by_a_move(change.from) || by_a_move(change.to)) {
            return Vec::new();
        }
        return vec![Cue {
            kind: CueKind::Facet,
            text: spec.cue(change.to, one_sided).to_owned(),
            time,
        }];
    }
    let classes = &compiled.apparatus.springs.classes;
    let (from, to) = spring_sets(compiled, change);
    let on = wording::spring_difference(from, to, classes, true);
    let off = wording::spring_difference(from, to, classes, false);
    let text = match (on.is_empty(), off.is_empty()) {
        (false, false) => format!("{on} on, then {off} off"),
        (false, true) => format!("{on} on"),
        (true, _) => format!("{off} off"),
    };
    let close = if bound {
        "carriage closed, no pull on the ropes"
    } else {
        "carriage closed"
    };
    vec![
        Cue::free(close),
        Cue {
            kind: CueKind::Springs,
            text,
            time,
        },
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::sample::compiled;

    fn stand(setup: &[usize], posture: Option<usize>) -> Stand<'_> {
        Stand {
            setup,
            posture,
            straps_idle: false,
            one_sided: false,
        }
    }

    fn texts(changeover: &Changeover) -> Vec<&str> {
        changeover.cues.iter().map(|c| c.text.as_str()).collect()
    }

    #[test]
    fn the_new_spring_is_on_before_the_old_one_comes_off_and_the_carriage_is_closed_first() {
        let class = compiled();
        let heavy = class.spring_value("heavy");
        let light = class.spring_value("light");
        let made = changeover(
            &class.compiled,
            stand(&[light, 0], Some(0)),
            stand(&[heavy, 0], Some(0)),
            0,
            true,
        );
        assert_eq!(
            texts(&made),
            [
                "move",
                "carriage closed",
                "1 heavy on, then 1 light off",
                "move"
            ]
        );
    }

    #[test]
    fn springs_go_on_at_the_first_place_and_come_off_at_the_last() {
        let class = compiled();
        let (none, heavy) = (class.spring_value("none"), class.spring_value("heavy"));
        // Seated (1) and side-lying (2) both reach the springs.
        let on = changeover(
            &class.compiled,
            stand(&[none, 0], Some(1)),
            stand(&[heavy, 0], Some(2)),
            0,
            true,
        );
        assert_eq!(texts(&on), ["carriage closed", "1 heavy on", "move"]);
        let off = changeover(
            &class.compiled,
            stand(&[heavy, 0], Some(1)),
            stand(&[none, 0], Some(2)),
            0,
            true,
        );
        assert_eq!(texts(&off), ["move", "carriage closed", "1 heavy off"]);
    }

    #[test]
    fn the_seconds_of_the_cues_add_up_to_the_referee_s_changeover() {
        let class = compiled();
        let problem = &class.compiled.problem;
        let (none, heavy) = (class.spring_value("none"), class.spring_value("heavy"));
        let made = changeover(
            &class.compiled,
            stand(&[none, 0], Some(0)),
            stand(&[heavy, 2], Some(3)),
            0,
            true,
        );
        let cued: i64 = made.cues.iter().map(|c| c.time).sum();
        let counted = problem.facets[0].change[none][heavy]
            + problem.facets[1].change[0][2]
            + crate::score::way(problem, Some(0), Some(3), &[0, 1]);
        assert_eq!(cued, counted);
    }
}
