//! Everything between two movements: acts, said in words, and read by the spotter before they are shown.

use super::acts::{self, Change, Timed};
use super::way::{self, Way};
use super::wording;
use crate::compile::Compiled;
use crate::model::act::Act;
use crate::model::placed::{Feet, Hands, On, Placed};
use crate::spotter::{self, Goal, Rule, Scene};

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
    /// Whether it is said even where moves of the body go without saying: straps, and the step on or off that a change waits for.
    pub at_a_glance: bool,
}

impl Cue {
    /// The words as they stand on paper, where springs are told apart from all else.
    pub fn said(&self) -> String {
        match self.kind {
            CueKind::Safety | CueKind::Move | CueKind::Facet => self.text.clone(),
            CueKind::Springs => format!("change springs: {}", self.text),
        }
    }
}

/// What the spotter says of a change-over.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Spotted {
    /// Nothing is against it.
    #[default]
    Fine,
    /// Something is changed from where a careful machine's file would not let it be changed; this machine's own file does.
    AllowedByTheFile(Vec<Rule>),
    /// It was refused, which is a fault of this program; the long way replaces it: straps up, all to the floor, change, get on.
    LongWay(Vec<Rule>),
    /// The long way was refused as well, so nothing is said.
    NoWay(Vec<Rule>),
}

impl Spotted {
    /// What to print beside the change-over; `None` if nothing is against it.
    pub fn mark(&self) -> Option<String> {
        let said = |rules: &[Rule]| {
            let all: Vec<&str> = rules.iter().map(|r| r.sentence()).collect();
            all.join(" ")
        };
        match self {
            Self::Fine => None,
            Self::AllowedByTheFile(rules) => Some(format!(
                "the machine's own file allows this, usual practice does not: {}",
                said(rules)
            )),
            Self::LongWay(rules) => Some(format!(
                "the long safe way, which takes longer than counted: the short one was refused. {} This is a fault of segue, or of the machine's own file",
                said(rules)
            )),
            Self::NoWay(rules) => Some(format!(
                "no safe way is known between these set-ups; plan this change yourself. {}",
                said(rules)
            )),
        }
    }
}

/// Everything between two steps.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Changeover {
    /// What is done, in order.
    pub acts: Vec<Act>,
    /// What to say, one cue for each act.
    pub cues: Vec<Cue>,
    /// What changes.
    pub changes: Vec<Change>,
    /// Whether it halts the class.
    pub stop: bool,
    /// Hundredths of a second, as the referee counts it.
    pub time: i64,
    /// What the spotter says of it.
    pub spotted: Spotted,
}

/// One end of a change-over.
#[derive(Debug, Clone, Copy)]
pub struct Stand<'a> {
    /// The set-up: one value for each facet.
    pub setup: &'a [usize],
    /// The posture; `None`: anywhere.
    pub posture: Option<usize>,
}

/// The change-over between two stands. `time` and `stop` are the referee's.
pub fn changeover(
    compiled: &Compiled,
    from: Stand<'_>,
    to: Stand<'_>,
    time: i64,
    stop: bool,
) -> Changeover {
    let changes = acts::changes(from.setup, to.setup);
    let way = cheapest(compiled, from, to, &changes);
    let mut done = spot(compiled, from, to, &changes, &way);
    let grave = |refused: &[Rule]| refused.iter().any(|r| !r.of_place());
    let mut spotted = match done.refused.as_slice() {
        [] => Spotted::Fine,
        refused if grave(refused) => Spotted::LongWay(refused.to_vec()),
        refused => Spotted::AllowedByTheFile(refused.to_vec()),
    };
    if matches!(spotted, Spotted::LongWay(_)) {
        let long = over_the_floor(compiled, from, to).unwrap_or(way);
        done = spot(compiled, from, to, &changes, &long);
        if grave(&done.refused) {
            spotted = Spotted::NoWay(done.refused);
            done.timed.clear();
            done.refused = Vec::new();
        }
    }
    Changeover {
        cues: cues(compiled, &done.timed),
        acts: done.timed.into_iter().map(|t| t.act).collect(),
        changes,
        stop,
        time,
        spotted,
    }
}

/// The cheapest way that passes everything from where the changes can be made.
fn cheapest(compiled: &Compiled, from: Stand<'_>, to: Stand<'_>, changes: &[Change]) -> Way {
    let reach: Vec<Vec<usize>> = (changes.iter())
        .filter_map(|c| compiled.problem.facets[c.facet].reach.clone())
        .collect();
    let graph = &compiled.apparatus.postures;
    let (a, b) = (from.posture, to.posture);
    way::cheapest(graph, compiled.room_factor, a, b, &reach).unwrap_or_default()
}

/// The cheapest way over the floor, hands free; `None` if the machine's positions have no floor that can be reached.
fn over_the_floor(compiled: &Compiled, from: Stand<'_>, to: Stand<'_>) -> Option<Way> {
    let graph = &compiled.apparatus.postures;
    let floor = (0..graph.postures.len())
        .filter(|&n| {
            let placed = graph.postures[n].placed;
            placed.on == On::Floor && placed.hands == Hands::Free
        })
        .collect();
    let (a, b) = (from.posture, to.posture);
    way::cheapest(graph, compiled.room_factor, a, b, &[floor])
}

/// Acts, and what the spotter refuses of them.
struct Read {
    timed: Vec<Timed>,
    /// Each rule once, the first that is broken first.
    refused: Vec<Rule>,
}

fn spot(
    compiled: &Compiled,
    from: Stand<'_>,
    to: Stand<'_>,
    changes: &[Change],
    way: &Way,
) -> Read {
    let graph = &compiled.apparatus.postures;
    let Some(&at) = way.nodes.first() else {
        return Read {
            timed: Vec::new(),
            refused: vec![Rule::Ready],
        };
    };
    let placed = graph.postures[at].placed;
    let closed = placed.on == On::Floor && placed.hands == Hands::Free;
    let timed = acts::along(compiled, changes, way, closed);
    let scene = Scene {
        at,
        springs: compiled.spring_values[from.setup[0]].clone(),
        values: from.setup[1..].to_vec(),
        closed,
    };
    let goal = Goal {
        at: to.posture,
        springs: compiled.spring_values[to.setup[0]].clone(),
        values: to.setup[1..].to_vec(),
    };
    let acts: Vec<Act> = timed.iter().map(|t| t.act.clone()).collect();
    let mut refused: Vec<Rule> = Vec::new();
    for refusal in spotter::read(&compiled.apparatus, &scene, &acts, &goal) {
        if !refused.contains(&refusal.rule) {
            refused.push(refusal.rule);
        }
    }
    Read { timed, refused }
}

fn cues(compiled: &Compiled, timed: &[Timed]) -> Vec<Cue> {
    let machine = &compiled.apparatus;
    let mut cues: Vec<Cue> = (timed.iter())
        .map(|t| {
            let kind = match &t.act {
                Act::Close => CueKind::Safety,
                Act::Go(_) => CueKind::Move,
                Act::Springs { .. } => CueKind::Springs,
                Act::Set { .. } | Act::TakeOff { .. } | Act::PutOn { .. } | Act::Turn { .. } => {
                    CueKind::Facet
                }
            };
            Cue {
                kind,
                text: wording::act(machine, &t.act),
                time: t.time,
                at_a_glance: kind != CueKind::Move || takes_or_leaves(compiled, &t.act),
            }
        })
        .collect();
    // Whoever reads only what is done to the machine still hears where to stand for it.
    for i in 1..cues.len() {
        if cues[i - 1].kind == CueKind::Move && cues[i].kind != CueKind::Move {
            cues[i - 1].at_a_glance = true;
        }
    }
    cues
}

/// Whether a move takes straps or lets go of them, those that hold the feet of somebody on the short box among them.
fn takes_or_leaves(compiled: &Compiled, act: &Act) -> bool {
    let Act::Go(index) = act else { return false };
    let graph = &compiled.apparatus.postures;
    let step = &graph.moves[*index];
    let (a, b) = (
        &graph.postures[step.from].placed,
        &graph.postures[step.to].placed,
    );
    let any = |p: &Placed| p.in_straps() || p.feet == Feet::SafetyStrap;
    any(a) != any(b)
}
