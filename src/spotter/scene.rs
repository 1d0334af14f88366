//! What is where, and each act against it.

use super::rule::Rule;
use crate::model::act::Act;
use crate::model::apparatus::{
    Apparatus, BAR, BAR_AWAY, BOARD, BOX, FOOT_END, FacetSpec, LONG, NOTHING, PLATFORM, SHORT,
};
use crate::model::placed::{Body, Facing, Feet, Hands, On, Placed};
use crate::model::posture::Posture;
use crate::model::springs::SpringSet;

/// Where the person is, and how the machine stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scene {
    /// Node of the posture graph.
    pub at: usize,
    /// The springs that are on.
    pub springs: SpringSet,
    /// The value of each of the machine's facets.
    pub values: Vec<usize>,
    /// Whether the carriage is at home.
    pub closed: bool,
}

/// How it must be at the end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Goal {
    /// Node of the posture graph; `None`: anywhere.
    pub at: Option<usize>,
    /// The springs.
    pub springs: SpringSet,
    /// The value of each facet.
    pub values: Vec<usize>,
}

/// An act that is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Refusal {
    /// The rule that it breaks.
    pub rule: Rule,
    /// Index of the act; the number of acts if something is missing at the end.
    pub act: usize,
}

/// Reads a list of acts. All that is refused, in order; an act that is refused is taken as done all the same, so that what follows is
/// read as it would be done.
pub fn read(machine: &Apparatus, start: &Scene, acts: &[Act], goal: &Goal) -> Vec<Refusal> {
    let mut scene = start.clone();
    let mut refused = Vec::new();
    for (index, act) in acts.iter().enumerate() {
        let broken = judge(machine, &scene, act);
        refused.extend(broken.into_iter().map(|rule| Refusal { rule, act: index }));
        follow(machine, &mut scene, act);
    }
    let ready = goal.at.is_none_or(|at| at == scene.at)
        && scene.springs == goal.springs
        && scene.values == goal.values;
    if !ready {
        refused.push(Refusal {
            rule: Rule::Ready,
            act: acts.len(),
        });
    }
    refused
}

/// The scene after an act.
fn follow(machine: &Apparatus, scene: &mut Scene, act: &Act) {
    match act {
        Act::Close => scene.closed = true,
        Act::Go(index) => {
            scene.at = machine.postures.moves[*index].to;
            // Whoever stands on hands and feet may let it roll.
            scene.closed &= machine.postures.postures[scene.at].placed.body != Body::Plank;
        }
        Act::Springs { to, .. } => scene.springs = to.clone(),
        Act::Set { facet, to, .. } | Act::Turn { facet, to, .. } => scene.values[*facet] = *to,
        Act::TakeOff { facet, .. } => scene.values[*facet] = 0,
        Act::PutOn { facet, value } => scene.values[*facet] = *value,
    }
}

/// The rules that an act breaks in a scene.
fn judge(machine: &Apparatus, scene: &Scene, act: &Act) -> Vec<Rule> {
    let placed = machine.postures.postures[scene.at].placed;
    let mut broken = Vec::new();
    let mut refuse = |rule, unless: bool| {
        if !unless {
            broken.push(rule);
        }
    };
    match act {
        Act::Close => {}
        Act::Go(index) => return go(machine, scene, *index),
        Act::Springs { from, to } => {
            refuse(Rule::StrapsFirst, !placed.in_straps());
            refuse(Rule::SpringsFrom, before_the_bar(&placed));
            refuse(Rule::HandsFree, placed.hands == Hands::Free);
            refuse(Rule::FeetFree, placed.feet == Feet::Free);
            refuse(Rule::ClosedFirst, scene.closed);
            refuse(Rule::AsItStands, *from == scene.springs && from != to);
            refuse(
                Rule::LastSpring,
                placed.on == On::Floor || holds(machine, to),
            );
        }
        Act::Set { facet, from, to } => {
            let spec = &machine.facets[*facet];
            refuse(Rule::StrapsFirst, !placed.in_straps());
            refuse(Rule::HandsFree, placed.hands == Hands::Free);
            refuse(Rule::FeetFree, placed.feet == Feet::Free);
            refuse(
                Rule::AsItStands,
                scene.values[*facet] == *from && from != to,
            );
            refuse(Rule::OneAtATime, !holds_things(spec));
            if spec.key == BAR {
                refuse(Rule::BarFrom, before_the_bar(&placed));
                refuse(Rule::ClosedFirst, scene.closed);
            }
            refuse(Rule::Fits, fits(machine, scene, act));
        }
        Act::TakeOff { facet, .. } | Act::PutOn { facet, .. } | Act::Turn { facet, .. } => {
            let now = scene.values[*facet];
            let right = match act {
                Act::TakeOff { value, .. } => now == *value && now != 0,
                Act::PutOn { value, .. } => now == 0 && *value != 0,
                Act::Turn { from, to, .. } => now == *from && now != 0 && *to != 0 && from != to,
                Act::Close | Act::Go(_) | Act::Springs { .. } | Act::Set { .. } => false,
            };
            refuse(
                Rule::OneAtATime,
                right && holds_things(&machine.facets[*facet]),
            );
            refuse(Rule::StrapsFirst, !placed.in_straps());
            refuse(Rule::ThingsFrom, placed.on == On::Floor);
            refuse(Rule::HandsFree, placed.hands == Hands::Free);
            refuse(Rule::FeetFree, placed.feet == Feet::Free);
            refuse(Rule::ClosedFirst, scene.closed);
            refuse(Rule::Fits, fits(machine, scene, act));
        }
    }
    broken
}

/// On the floor, or seated or kneeling on the carriage, the bar and the springs in front.
fn before_the_bar(placed: &Placed) -> bool {
    placed.on == On::Floor
        || placed.on == On::Carriage
            && placed.facing == Some(Facing::Bar)
            && matches!(placed.body, Body::Seated | Body::Kneeling)
}

fn some_on(springs: &SpringSet) -> bool {
    springs.0.iter().any(|&n| n > 0)
}

fn holds_things(spec: &FacetSpec) -> bool {
    spec.values.first().is_some_and(|v| v == NOTHING)
}

/// Whether after an act every value has what it needs of the other facets, and no bar stands up before a board or a platform.
fn fits(machine: &Apparatus, scene: &Scene, act: &Act) -> bool {
    let mut after = scene.clone();
    follow(machine, &mut after, act);
    let fitted = [BOARD, PLATFORM].contains(&value_of(machine, &after, FOOT_END));
    if fitted && !BAR_AWAY.contains(&value_of(machine, &after, BAR)) {
        return false;
    }
    machine
        .facets
        .iter()
        .zip(&after.values)
        .all(|(spec, &value)| {
            spec.needs[value].iter().all(|(key, good)| {
                (machine.facets.iter().zip(&after.values))
                    .all(|(other, &v)| other.key != *key || good.contains(&other.values[v]))
            })
        })
}

/// The key of the value of a facet, or that at which the machine stands for good; nothing is there of what it says nothing about.
fn value_of<'a>(machine: &'a Apparatus, scene: &Scene, key: &str) -> &'a str {
    if let Some(found) = machine.facets.iter().position(|f| f.key == key) {
        return &machine.facets[found].values[scene.values[found]];
    }
    let stands = machine.absent.iter().find(|(k, _)| k == key);
    stands.map_or(NOTHING, |(_, value)| value)
}

/// Whether what carries somebody there is on the machine. Only the parts that these words name are known; a part of a machine's own is
/// beside the question.
fn carried(machine: &Apparatus, scene: &Scene, placed: &Placed) -> bool {
    let on_box = value_of(machine, scene, BOX);
    let foot_end = value_of(machine, scene, FOOT_END);
    match placed.on {
        On::Floor => true,
        On::Carriage | On::CarriageAndFloor => on_box == NOTHING,
        On::CarriageAndPlatform => on_box == NOTHING && foot_end == PLATFORM,
        On::LongBox => on_box == LONG,
        On::ShortBox => on_box == SHORT,
    }
}

/// Whether what hands and feet go on to is there and stands up.
fn held(machine: &Apparatus, scene: &Scene, placed: &Placed) -> bool {
    let foot_end = value_of(machine, scene, FOOT_END);
    let stands = !BAR_AWAY.contains(&value_of(machine, scene, BAR)) && foot_end == NOTHING;
    let board = placed.feet != Feet::Board || foot_end == BOARD;
    board && (!placed.at_the_bar() || stands)
}

/// Whether the springs hold the carriage as much as the machine calls safe.
fn holds(machine: &Apparatus, springs: &SpringSet) -> bool {
    some_on(springs) && springs.load(&machine.springs.classes) >= machine.springs.least_safe - 1e-9
}

/// The rules that a move breaks in a scene.
fn go(machine: &Apparatus, scene: &Scene, index: usize) -> Vec<Rule> {
    let step = &machine.postures.moves[index];
    let (a, b) = (
        &machine.postures.postures[step.from],
        &machine.postures.postures[step.to],
    );
    let (from, to) = (a.placed, b.placed);
    let sides = (a.left_at_bar(), b.left_at_bar());
    let mut broken = Vec::new();
    let mut refuse = |rule, unless: bool| {
        if !unless {
            broken.push(rule);
        }
    };
    refuse(Rule::AsItStands, step.from == scene.at);
    refuse(Rule::CarriedByWhatIsThere, carried(machine, scene, &to));
    refuse(Rule::BarThere, held(machine, scene, &to));
    refuse(Rule::MovesClosed, scene.closed);
    let on_the_floor = from.on == On::Floor && to.on == On::Floor;
    refuse(
        Rule::HeldBySprings,
        on_the_floor || holds(machine, &scene.springs),
    );
    // On the floor nobody is carried off by a turn.
    let same_form = on_the_floor
        || from.on == to.on
            && from.body == to.body
            && from.facing == to.facing
            && (sides.0 == sides.1 || sides.0.is_none() || sides.1.is_none());
    refuse(Rule::StrapsFirst, straps_away(&from, &to, same_form));
    refuse(
        Rule::StrapsTaken,
        straps_at_their_place(&from, &to, same_form),
    );
    let by_the_feet = from.legs_in_straps() || to.legs_in_straps();
    let lies = |p: Placed| matches!(p.body, Body::OnTheBack | Body::OnTheSide | Body::FaceDown);
    refuse(Rule::FeetLying, !by_the_feet || lies(from) && lies(to));
    if from.on_box() && from.on == to.on {
        let rolls = rolls_over(a, b);
        refuse(
            Rule::NoTurnOnTheBox,
            rolls || (from.facing == to.facing && sides.0 == sides.1),
        );
        let by_the_bar = from.hands == Hands::Bar && to.hands == Hands::Bar;
        refuse(Rule::RollHeld, !rolls || by_the_bar);
    }
    let under_the_strap = to.feet == Feet::SafetyStrap;
    refuse(
        Rule::SafetyStrap,
        !under_the_strap || from.feet == Feet::SafetyStrap && from.on == to.on || step.fixes_strap,
    );
    let on_the_knees =
        |p: Placed| p.on != On::Floor && matches!(p.body, Body::Kneeling | Body::HandsAndKnees);
    let turns_kneeling =
        on_the_knees(from) && on_the_knees(to) && (from.facing != to.facing || sides.0 != sides.1);
    refuse(
        Rule::KneesOnALightSpring,
        !turns_kneeling || !light(machine, &scene.springs),
    );
    broken
}

/// Whether less is on than one load unit, about a medium spring.
fn light(machine: &Apparatus, springs: &SpringSet) -> bool {
    springs.load(&machine.springs.classes) < 1.0 - 1e-9
}

/// Rolling over on a box: lying face down or on the side before and after.
fn rolls_over(a: &Posture, b: &Posture) -> bool {
    let low = |p: &Posture| matches!(p.placed.body, Body::FaceDown | Body::OnTheSide);
    low(a) && low(b) && (a.placed.body != b.placed.body || a.left != b.left)
}

/// From straps in the hands or on the feet: only the straps change, or both hands keep them while somebody on the box lies back or rolls
/// up, or whoever gets down from the box hangs them up on the floor. Feet may change from one strap to the other, lying.
fn straps_away(from: &Placed, to: &Placed, same_form: bool) -> bool {
    if !from.in_straps() {
        return true;
    }
    let feet_alone = from.hands == Hands::Free && to.hands == Hands::Free;
    let changes_feet = feet_alone
        && from.legs_in_straps()
        && to.legs_in_straps()
        && (from.on, from.body) == (to.on, to.body);
    let stays = same_form && matches!(to.hands, Hands::Free | Hands::Straps);
    // Out of a strap that the legs are in, the hands may go to the bar of whoever lies face down.
    let lets_go = same_form && from.legs_in_straps() && from.hands != Hands::Straps;
    let lies_back = from.on_box()
        && from.on == to.on
        && from.facing == to.facing
        && from.hands == to.hands
        && from.feet == Feet::Free
        && matches!(from.body, Body::Seated | Body::OnTheBack)
        && matches!(to.body, Body::Seated | Body::OnTheBack);
    let gets_down =
        from.on_box() && from.feet == Feet::Free && to.on == On::Floor && to.hands == Hands::Free;
    stays || changes_feet || lets_go || lies_back || gets_down
}

/// Into straps: where the body stays as it is, or from the floor on to a box with the straps in the hands.
fn straps_at_their_place(from: &Placed, to: &Placed, same_form: bool) -> bool {
    let takes_by_hand = to.hands == Hands::Straps && from.hands != Hands::Straps;
    let takes_by_foot = to.legs_in_straps() && !from.legs_in_straps();
    let free = from.hands == Hands::Free && from.on == On::Floor && to.on_box();
    (!takes_by_hand || same_form || free) && (!takes_by_foot || same_form)
}
