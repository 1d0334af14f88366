//! What may stand in for a movement that is not for somebody: looked up in the catalogue, never typed in.
//!
//! A stand-in shares the aim (a part of the body that the movement works most, or it is named there as an easier form; and a phase of the class), is easier or equal, is a rest where
//! the movement is one, and carries none of the cautions in question. A form of the same movement with a flat back, seated or lying on the
//! side comes first. Whether the machine stands right for it is for the caller to see.

use super::catalogue::Catalogue;
use super::caution::Caution;
use super::movement::{Movement, Spine};
use super::placed::{Body, On, Placed};
use super::posture::PostureGraph;

/// From this fraction of its most, a movement works a part of the body in earnest.
const IN_EARNEST: f64 = 0.4;

/// Parts that carry rather than work: no aim of a movement.
const CARRIED: [&str; 2] = ["wrists", "neck"];

/// Movements that may stand in for this one for somebody who is to be spared these cautions, nearest first.
pub fn stand_ins<'a>(
    catalogue: &'a Catalogue,
    movement: &Movement,
    spared: &[Caution],
    postures: &PostureGraph,
) -> Vec<&'a Movement> {
    let mut found: Vec<&Movement> = catalogue
        .iter()
        .filter(|m| m.id != movement.id && m.rest == movement.rest)
        .filter(|m| !spared.iter().any(|&c| is_not_for(m, c, postures)))
        .filter(|m| shares_phase(m, movement))
        .filter(|m| movement.easier.contains(&m.id) || shares_aim(m, movement))
        .filter(|m| no_harder(m, movement))
        .collect();
    found.sort_by_cached_key(|m| nearness(m, movement, postures));
    found
}

/// What makes one stand-in nearer than another: the least comes first.
fn nearness(m: &Movement, movement: &Movement, postures: &PostureGraph) -> impl Ord + use<> {
    let gentle = gentler_form(m, movement, postures);
    // What calls for care that the movement itself does not call for.
    let new = m.cautions.iter().filter(|&&c| !movement.calls_for(c));
    (
        !(gentle && is_form_of(m, movement)),
        !movement.easier.contains(&m.id),
        new.count(),
        m.sides != movement.sides,
        m.start != movement.start,
        !gentle,
        m.level.abs_diff(movement.level),
        m.id.clone(),
    )
}

/// The facts of the position in which a movement starts; `None` if the machine has no such position.
fn placed(m: &Movement, postures: &PostureGraph) -> Option<Placed> {
    let node = postures.nodes_of(&m.start).first().copied()?;
    Some(postures.postures[node].placed)
}

/// Whether somebody is held up by hands or feet on a carriage that rolls: nothing for whom balancing is to be spared, marked for it or not.
fn held_up(placed: &Placed) -> bool {
    placed.on != On::Floor && matches!(placed.body, Body::Plank | Body::Standing)
        || placed.on_box() && placed.body == Body::HandsAndKnees
}

/// Whether somebody who is to be spared a caution is better without a movement.
fn is_not_for(m: &Movement, caution: Caution, postures: &PostureGraph) -> bool {
    let unsteady = || placed(m, postures).is_some_and(|p| held_up(&p));
    m.calls_for(caution) || (caution == Caution::Balance && unsteady())
}

/// Whether two movements may stand in one phase of a class.
fn shares_phase(m: &Movement, movement: &Movement) -> bool {
    m.phases.iter().any(|p| movement.phases.contains(p))
}

/// Whether a movement works in earnest what another works most. What works nothing (a stretch) shares its aim with what works nothing and
/// moves the spine the same way.
fn shares_aim(m: &Movement, movement: &Movement) -> bool {
    let aims = aims(movement);
    if aims.is_empty() {
        let moves = |a: &Movement, action| a.degree(action) > 0;
        let actions = [
            Spine::Flexion,
            Spine::Extension,
            Spine::Rotation,
            Spine::SideBend,
        ];
        return self::aims(m).is_empty()
            && (movement.rest
                || actions
                    .into_iter()
                    .all(|a| moves(m, a) == moves(movement, a)));
    }
    let own = self::aims(m);
    aims.iter()
        .any(|region| own.contains(region) || load(m, region) >= IN_EARNEST)
}

/// The parts of the body that a movement works most; none if it works nothing in earnest.
pub fn aims(m: &Movement) -> Vec<&str> {
    let working = || {
        m.loads
            .iter()
            .filter(|l| !CARRIED.contains(&l.region.as_str()))
    };
    let most = working().map(|l| l.fraction).fold(0.0, f64::max);
    if most <= 0.0 {
        return Vec::new();
    }
    working()
        .filter(|l| l.fraction >= most)
        .map(|l| l.region.as_str())
        .collect()
}

fn load(m: &Movement, region: &str) -> f64 {
    m.loads
        .iter()
        .filter(|l| l.region == region)
        .map(|l| l.fraction)
        .fold(0.0, f64::max)
}

/// Whether a movement is easier than another, or as hard. A flat-backed form of the same is, though the catalogue may count the hinge as the
/// next level: less is asked of the back, and no more of the rest.
fn no_harder(m: &Movement, movement: &Movement) -> bool {
    let level = if is_form_of(m, movement) && flatter(m, movement) {
        movement.level + 1
    } else {
        movement.level
    };
    m.level <= level && m.effort <= movement.effort
}

fn flatter(m: &Movement, movement: &Movement) -> bool {
    m.degree(Spine::Flexion) == 0 && movement.degree(Spine::Flexion) > 0
}

/// Whether it is gentler by its form: a flat back for a round one, seated, lying on the side.
fn gentler_form(m: &Movement, movement: &Movement, postures: &PostureGraph) -> bool {
    let lies_or_sits = |m: &Movement| {
        placed(m, postures).is_some_and(|p| matches!(p.body, Body::Seated | Body::OnTheSide))
    };
    flatter(m, movement) || (lies_or_sits(m) && !lies_or_sits(movement))
}

/// Whether one is a form of the other: the catalogue links them, one's id begins with the other's ("elephant", "elephant-flat"), or both ids
/// are the same but for the last word ("short-box-round", "short-box-flat").
fn is_form_of(m: &Movement, other: &Movement) -> bool {
    let linked = |a: &Movement, b: &Movement| a.easier.contains(&b.id) || a.harder.contains(&b.id);
    let begins = |a: &str, b: &str| a.strip_prefix(b).is_some_and(|rest| rest.starts_with('-'));
    let stem = |id: &str| {
        id.rsplit_once('-')
            .map(|(stem, _)| stem.to_owned())
            .filter(|stem| stem.contains('-'))
    };
    linked(m, other)
        || linked(other, m)
        || begins(&m.id, &other.id)
        || begins(&other.id, &m.id)
        || (stem(&m.id).is_some() && stem(&m.id) == stem(&other.id))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::movement::{LoadSide, Phase};
    use crate::model::posture::Posture;
    use crate::rules::sample::{with_load, with_spine};

    fn works(id: &str, region: &str, fraction: f64) -> Movement {
        with_load(id, region, fraction, LoadSide::Both)
    }

    fn names(movements: Vec<Movement>, of: &Movement, spared: &[Caution]) -> Vec<String> {
        let catalogue = Catalogue {
            movements: movements.into_iter().map(Into::into).collect(),
        };
        let plank = Posture {
            name: "plank".into(),
            base: "plank".into(),
            left: None,
            placed: Placed {
                on: On::Carriage,
                body: Body::Plank,
                ..Placed::BESIDE
            },
        };
        let postures = PostureGraph {
            postures: vec![plank],
            ..PostureGraph::default()
        };
        stand_ins(&catalogue, of, spared, &postures)
            .into_iter()
            .map(|m| m.id.clone())
            .collect()
    }

    #[test]
    fn what_works_something_else_is_harder_or_calls_for_care_is_no_stand_in() {
        let of = works("plank", "abdominals", 0.6);
        let mut harder = works("harder", "abdominals", 0.6);
        harder.level = 2;
        let mut sweat = works("sweat", "abdominals", 0.6);
        sweat.effort = 9.0;
        let mut marked = works("marked", "abdominals", 0.6);
        marked.cautions = vec![Caution::Balance];
        let mut stretch = works("closing", "abdominals", 0.6);
        stretch.phases = vec![Phase::CoolDown];
        let mut rest = works("rest", "abdominals", 0.6);
        rest.rest = true;
        let legs = works("legs", "quadriceps", 0.6);
        let aside = works("aside", "abdominals", 0.2);
        let good = works("good", "abdominals", 0.4);
        let mut weak = works("weak", "abdominals", 0.2);
        weak.loads.extend(legs.loads.clone());
        let list = vec![
            harder, sweat, marked, stretch, rest, legs, weak, aside, good,
        ];
        assert_eq!(names(list, &of, &[Caution::Balance]), ["aside", "good"]);
    }

    #[test]
    fn what_the_movement_names_as_easier_need_not_share_its_aim() {
        let mut of = works("twist", "obliques", 0.5);
        of.easier = vec!["flat".into()];
        let list = vec![
            works("flat", "abdominals", 0.4),
            works("other", "abdominals", 0.4),
        ];
        assert_eq!(names(list, &of, &[]), ["flat"]);
    }

    #[test]
    fn a_flat_backed_form_of_the_same_comes_first_though_it_counts_as_the_next_level() {
        let mut round = with_spine("elephant", Spine::Flexion, 2);
        round.loads = works("x", "abdominals", 0.4).loads;
        round.cautions = vec![Caution::DeepFlexion];
        let mut flat = works("elephant-flat", "abdominals", 0.4);
        flat.level = 2;
        let curl = works("arm curl", "abdominals", 0.4);
        let list = vec![curl, flat, round.clone()];
        assert_eq!(
            names(list, &round, &[Caution::DeepFlexion]),
            ["elephant-flat", "arm curl"]
        );
    }

    #[test]
    fn a_plank_is_not_offered_to_somebody_who_is_to_be_spared_balancing_though_it_is_not_marked() {
        let of = works("snake", "abdominals", 0.6);
        let mut plank = works("plank", "abdominals", 0.6);
        plank.start = "plank".into();
        let list = vec![plank];
        assert_eq!(names(list.clone(), &of, &[Caution::HeadDown]), ["plank"]);
        assert_eq!(names(list, &of, &[Caution::Balance]), [""; 0]);
    }

    #[test]
    fn what_calls_for_no_care_of_its_own_comes_before_what_does() {
        let of = works("press", "chest", 0.4);
        let mut kneeling = works("a", "chest", 0.4);
        kneeling.cautions = vec![Caution::KneeLoad];
        let seated = works("b", "chest", 0.4);
        assert_eq!(names(vec![kneeling, seated], &of, &[]), ["b", "a"]);
    }

    #[test]
    fn a_rest_that_rounds_the_back_is_no_rest_for_whom_rounding_is_marked() {
        let mut fold = with_spine("rest fold", Spine::Flexion, 1);
        fold.rest = true;
        let mut other = with_spine("other fold", Spine::Flexion, 1);
        other.rest = true;
        let mut sit = with_spine("sit", Spine::Rotation, 0);
        sit.rest = true;
        let list = vec![fold.clone(), other, sit];
        assert_eq!(names(list, &fold, &[Caution::DeepFlexion]), ["sit"]);
    }
}
