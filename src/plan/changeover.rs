//! A change-over as cues along its way, in a safe order.
//!
//! The order is argued once, here. The carriage is closed and nobody pulls on the ropes before a spring is touched; the new spring is on
//! before the old one comes off. What holds the carriage better goes on at the first posture along the way that reaches the springs, what
//! holds it less comes off at the last one, so that nobody turns, kneels or stands on a carriage that rolls freely. Straps are hung up
//! before the first move and taken after the last. Feet and thighs leave their loops by moves of the posture graph, which has them come
//! before any other.

use super::way;
use super::wording;
use crate::compile::Compiled;
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
    /// Hundredths of a second that it is counted with, with the room in.
    pub time: i64,
}

/// A facet that changes.
#[derive(Debug, Clone, PartialEq, Eq)]
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
}

/// One end of a change-over.
#[derive(Debug, Clone, Copy)]
pub struct Stand<'a> {
    /// The set-up: one value for each facet.
    pub setup: &'a [usize],
    /// The posture; `None`: anywhere.
    pub posture: Option<usize>,
}

/// The key of the straps facet in apparatus files: its start value means that they hang on their pegs.
const STRAPS: &str = "straps";
/// The key of the box facet.
const BOX: &str = "box";

/// The change-over between two stands. `time` and `stop` are the referee's.
pub fn changeover(
    compiled: &Compiled,
    from: Stand<'_>,
    to: Stand<'_>,
    time: i64,
    stop: bool,
) -> Changeover {
    let changes: Vec<Change> = (0..from.setup.len())
        .filter(|&f| from.setup[f] != to.setup[f])
        .map(|facet| Change {
            facet,
            from: from.setup[facet],
            to: to.setup[facet],
        })
        .collect();
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
    let mut cues = Vec::new();
    let places = walk.nodes.len().max(1);
    for place in 0..places {
        if place > 0 {
            cues.push(Cue {
                kind: CueKind::Move,
                text: graph.moves[walk.moves[place - 1]].cue.clone(),
                time: walk.costs[place - 1],
            });
        }
        let node = walk.nodes.get(place).copied();
        let mut here: Vec<(u8, &Change)> = changes
            .iter()
            .filter(|c| chosen_place(compiled, c, &walk.nodes) == place)
            .map(|c| (rank(compiled, c), c))
            .collect();
        here.sort_by_key(|&(rank, c)| (rank, c.facet));
        // Straps that are in use stay out of the hands while people move about.
        if place == 0 && walk.nodes.len() > 1 {
            cues.extend(straps_away(compiled, &changes, &walk.nodes));
        }
        for (_, change) in here {
            cues.extend(cues_of(compiled, change, from.setup, node));
        }
    }
    Changeover {
        cues,
        changes,
        stop,
        time,
    }
}

/// The place along the walk where a change is made: the first or the last that reaches it, as is safer.
fn chosen_place(compiled: &Compiled, change: &Change, nodes: &[usize]) -> usize {
    let reach = compiled.problem.facets[change.facet].reach.as_deref();
    let mut places =
        (0..nodes.len()).filter(|&p| reach.is_none_or(|nodes_of| nodes_of.contains(&nodes[p])));
    let late = if change.facet == 0 {
        let (from, to) = spring_loads(compiled, change);
        to < from
    } else {
        let spec = &compiled.apparatus.facets[change.facet - 1];
        spec.key == STRAPS && change.to != spec.start
    };
    let found = if late { places.last() } else { places.next() };
    found.unwrap_or(0)
}

fn spring_sets<'a>(compiled: &'a Compiled, change: &Change) -> (&'a SpringSet, &'a SpringSet) {
    (
        &compiled.spring_values[change.from],
        &compiled.spring_values[change.to],
    )
}

fn spring_loads(compiled: &Compiled, change: &Change) -> (f64, f64) {
    let classes = &compiled.apparatus.springs.classes;
    let (from, to) = spring_sets(compiled, change);
    (from.load(classes), to.load(classes))
}

/// The order of changes made in one place: straps away, springs that hold better, facets, springs that hold less, straps into the hands.
fn rank(compiled: &Compiled, change: &Change) -> u8 {
    if change.facet == 0 {
        let (from, to) = spring_loads(compiled, change);
        return if to < from { 3 } else { 1 };
    }
    let spec = &compiled.apparatus.facets[change.facet - 1];
    match (spec.key == STRAPS, change.to == spec.start) {
        (true, true) => 0,
        (true, false) => 4,
        (false, _) => 2,
    }
}

/// "Hang up the straps" where one hold on them is followed by another after a move.
fn straps_away(compiled: &Compiled, changes: &[Change], nodes: &[usize]) -> Option<Cue> {
    let change = changes
        .iter()
        .find(|c| c.facet > 0 && compiled.apparatus.facets[c.facet - 1].key == STRAPS)?;
    let spec = &compiled.apparatus.facets[change.facet - 1];
    let between_holds = change.from != spec.start && change.to != spec.start;
    (between_holds && chosen_place(compiled, change, nodes) > 0).then(|| Cue {
        kind: CueKind::Safety,
        text: "let go of the straps and hang them up first".into(),
        time: 0,
    })
}

fn cues_of(compiled: &Compiled, change: &Change, before: &[usize], node: Option<usize>) -> Vec<Cue> {
    let time = compiled.problem.facets[change.facet].change[change.from][change.to];
    if change.facet > 0 {
        let spec = &compiled.apparatus.facets[change.facet - 1];
        let mut cues = vec![Cue {
            kind: CueKind::Facet,
            text: spec.cues[change.to].clone(),
            time,
        }];
        if spec.key == BOX && change.to != spec.start {
            cues.push(Cue {
                kind: CueKind::Safety,
                text: "check that the box sits firmly".into(),
                time: 0,
            });
        }
        return cues;
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
    let straps_in_use = compiled
        .apparatus
        .facet(STRAPS)
        .is_some_and(|k| before[k + 1] != compiled.apparatus.facets[k].start);
    let bound = node.is_some_and(|n| compiled.apparatus.postures.postures[n].base.contains("strap"));
    let close = if straps_in_use || bound {
        "carriage closed, no pull on the ropes"
    } else {
        "carriage closed"
    };
    vec![
        Cue {
            kind: CueKind::Safety,
            text: close.into(),
            time: 0,
        },
        Cue {
            kind: CueKind::Springs,
            text,
            time,
        },
    ]
}
