//! Load ranges and preferences to values with penalties.
//!
//! **Which springs are values.** Every choice of springs that a step with a need of its own allows, the ones that are on at the
//! start, and those asked for at the end; no others. A further one could only be on during steps that do not care, and such a
//! step keeps what is on or takes what the next step with a need has, so it would never be chosen. If none of these is safe for a
//! step that does not care, the lightest choice that is safe is added.
//!
//! **Safe.** *Any* never means none: a step that does not care allows the values of at least the least safe load, unless a free
//! carriage is right for it. Where all values are safe it allows everything.
//!
//! **Steady.** Where springs carry or steady the body, or the movement calls for balance, fewer than preferred are not taken,
//! unless the teacher wrote the springs herself.

use crate::model::apparatus::{Apparatus, Served};
use crate::model::caution::Caution;
use crate::model::movement::{MoreSprings, Movement, SpringNeed};
use crate::model::springs::SpringSet;
use crate::problem::step::Choice;
use crate::rules::posting::hundredths;

/// Two loads nearer than this are the same: sums of a few decimal fractions.
const SAME_LOAD: f64 = 1e-9;

/// What being off the preferred set-up costs, seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Penalties {
    /// For each load unit off the preferred load.
    pub off_load: f64,
    /// For another allowed value of any other facet.
    pub off_value: f64,
}

/// The springs that one step allows, with penalties in hundredths; `None`: it does not care.
pub type Allowed = Option<Vec<(SpringSet, i64)>>;

/// The springs that a movement allows on this machine; `Some` of nothing if none serves. `asked`: the teacher wrote them herself.
pub fn springs(
    movement: &Movement,
    asked: bool,
    apparatus: &Apparatus,
    penalties: Penalties,
) -> Allowed {
    let classes = &apparatus.springs.classes;
    let mut sets: Vec<SpringSet> = Vec::new();
    for set in apparatus.springs_for(&movement.springs) {
        // A combination may be written twice, by class and by the studio's label.
        if !sets.contains(&set) {
            sets.push(set);
        }
    }
    let prefer = match &movement.springs {
        SpringNeed::Any { .. } => return None,
        SpringNeed::Range { prefer, .. } => *prefer,
        SpringNeed::Locked => return Some(sets.into_iter().map(|s| (s, 0)).collect()),
        SpringNeed::Sets(_) => match sets.first() {
            Some(first) => first.load(classes),
            None => return Some(Vec::new()),
        },
    };
    let explicit = matches!(movement.springs, SpringNeed::Sets(_));
    let off = |s: &SpringSet| (s.load(classes) - prefer).abs();
    // The nearest choice that the machine has counts as the preferred one where it cannot give the preferred load itself.
    let nearest = sets
        .iter()
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .map_or(prefer, |s| s.load(classes));
    let least = if steadied(movement) && !asked {
        prefer.min(nearest)
    } else {
        0.0
    };
    let first = sets.first().cloned();
    Some(
        sets.into_iter()
            .filter(|s| s.load(classes) >= least - SAME_LOAD)
            .map(|s| {
                let seconds = penalties.off_load * off(&s);
                let other = explicit && Some(&s) != first.as_ref();
                let penalty = if other {
                    seconds.max(penalties.off_value)
                } else {
                    seconds
                };
                (s, hundredths(penalty))
            })
            .collect(),
    )
}

/// Whether fewer springs than preferred would let go of the body.
pub fn steadied(movement: &Movement) -> bool {
    match movement.more_springs {
        MoreSprings::Steadier | MoreSprings::Both => true,
        MoreSprings::Harder | MoreSprings::Neither => movement.cautions.contains(&Caution::Balance),
    }
}

/// The values of the springs facet, lightest first. `any_unfree`: whether some step does not care and wants a safe load.
/// `None` if such a step is there and the machine has no safe load.
pub fn spring_values(
    allowed: &[Allowed],
    fixed: &[SpringSet],
    any_unfree: bool,
    apparatus: &Apparatus,
) -> Option<Vec<SpringSet>> {
    let classes = &apparatus.springs.classes;
    let mut values: Vec<SpringSet> = fixed.to_vec();
    values.extend(
        allowed
            .iter()
            .flatten()
            .flatten()
            .map(|(set, _)| set.clone()),
    );
    let by_load =
        |a: &SpringSet, b: &SpringSet| a.load(classes).total_cmp(&b.load(classes)).then(a.cmp(b));
    if any_unfree && !values.iter().any(|s| safe(s, apparatus)) {
        values.push(
            apparatus
                .springs_for(&SpringNeed::Any { free: false })
                .into_iter()
                .min_by(by_load)?,
        );
    }
    values.sort_by(by_load);
    values.dedup();
    Some(values)
}

/// Whether a carriage with these springs does not roll freely.
fn safe(set: &SpringSet, apparatus: &Apparatus) -> bool {
    set.load(&apparatus.springs.classes) >= apparatus.springs.least_safe - SAME_LOAD
}

/// The index of a set that is known to be among the values.
pub fn index_of(values: &[SpringSet], set: &SpringSet) -> usize {
    values
        .iter()
        .position(|v| v == set)
        .expect("what is allowed, and what is on at the start and end, is among the values")
}

/// A step's choices among the values of the springs facet. Penalties are multiplied by `scale`.
pub fn spring_choices(
    need: &SpringNeed,
    allowed: &Allowed,
    values: &[SpringSet],
    apparatus: &Apparatus,
    scale: i64,
) -> Option<Vec<Choice>> {
    if let Some(sets) = allowed {
        return Some(
            sets.iter()
                .map(|(set, penalty)| Choice {
                    value: index_of(values, set),
                    penalty: penalty * scale,
                })
                .collect(),
        );
    }
    if matches!(need, SpringNeed::Any { free: true }) || values.iter().all(|v| safe(v, apparatus)) {
        return None;
    }
    Some(
        (0..values.len())
            .filter(|&v| safe(&values[v], apparatus))
            .map(|value| Choice { value, penalty: 0 })
            .collect(),
    )
}

/// A movement's choices in each facet other than the springs, in the order of the apparatus; `None`: it does not care. The first
/// value that the machine has, in the movement's order, is the preferred one.
///
/// # Errors
/// The keys of facets of which no value will do, or why no values go together.
pub fn facet_choices(
    movement: &Movement,
    apparatus: &Apparatus,
    penalties: Penalties,
    scale: i64,
) -> Result<Vec<Option<Vec<Choice>>>, Vec<String>> {
    let missing: Vec<String> = (movement.facets.iter())
        .filter(|need| apparatus.serve(need) == Served::Never)
        .map(|need| need.facet.clone())
        .collect();
    if !missing.is_empty() {
        return Err(missing);
    }
    let allowed = apparatus.values_for(movement).map_err(|why| vec![why])?;
    let other = hundredths(penalties.off_value) * scale;
    let choice = |(k, value)| Choice {
        value,
        penalty: if k == 0 { 0 } else { other },
    };
    Ok((allowed.into_iter())
        .map(|values| Some(values?.into_iter().enumerate().map(choice).collect()))
        .collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compile::sample::machine;
    use crate::model::movement::FacetNeed;
    use crate::rules::sample::movement;

    const PENALTIES: Penalties = Penalties {
        off_load: 15.0,
        off_value: 3.0,
    };

    fn range(from: f64, to: f64, prefer: f64) -> Movement {
        Movement {
            springs: SpringNeed::Range { from, to, prefer },
            ..movement("press")
        }
    }

    fn loads(allowed: &Allowed) -> Vec<(Vec<u32>, i64)> {
        allowed
            .iter()
            .flatten()
            .map(|(s, p)| (s.0.clone(), *p))
            .collect()
    }

    #[test]
    fn a_range_costs_by_the_load_off_the_preferred_one() {
        let found = springs(&range(2.0, 4.0, 2.5), false, &machine(), PENALTIES);
        assert_eq!(
            loads(&found),
            [(vec![1, 0], 750), (vec![1, 1], 0), (vec![2, 0], 2250)]
        );
    }

    #[test]
    fn springs_that_carry_the_body_are_never_fewer_than_preferred_unless_she_wrote_them() {
        let mut carried = range(2.0, 4.0, 2.5);
        carried.more_springs = MoreSprings::Steadier;
        let found = springs(&carried, false, &machine(), PENALTIES);
        assert_eq!(loads(&found), [(vec![1, 1], 0), (vec![2, 0], 2250)]);
        assert_eq!(
            springs(&carried, true, &machine(), PENALTIES).map_or(0, |s| s.len()),
            3
        );
        let mut balance = range(2.0, 4.0, 2.5);
        balance.cautions = vec![Caution::Balance];
        assert_eq!(springs(&balance, false, &machine(), PENALTIES), found);
    }

    #[test]
    fn where_the_machine_cannot_give_the_preferred_load_the_nearest_counts() {
        let mut carried = range(2.0, 3.0, 2.8);
        carried.more_springs = MoreSprings::Steadier;
        let found = springs(&carried, false, &machine(), PENALTIES);
        assert_eq!(loads(&found), [(vec![1, 1], 450)]);
    }

    #[test]
    fn any_never_means_none() {
        let machine = machine();
        let none = SpringSet(vec![0, 0]);
        let one = SpringSet(vec![1, 0]);
        let values = spring_values(&[], &[none.clone(), one.clone()], true, &machine)
            .expect("the machine has a safe load");
        assert_eq!(values, [none.clone(), one.clone()]);
        let any = SpringNeed::Any { free: false };
        assert_eq!(
            spring_choices(&any, &None, &values, &machine, 1),
            Some(vec![Choice {
                value: 1,
                penalty: 0
            }])
        );
        assert_eq!(spring_choices(&any, &None, &[one], &machine, 1), None);
        let free = SpringNeed::Any { free: true };
        assert_eq!(spring_choices(&free, &None, &values, &machine, 1), None);
        // Nothing safe among the values: the lightest safe choice comes in.
        let values = spring_values(&[], std::slice::from_ref(&none), true, &machine);
        assert_eq!(values, Some(vec![none, SpringSet(vec![0, 1])]));
    }

    #[test]
    fn another_value_of_a_facet_costs_three_seconds_and_an_absent_facet_may_be_as_it_stands() {
        let need = |facet: &str, allowed: &[&str]| FacetNeed {
            facet: facet.into(),
            allowed: allowed.iter().map(|v| (*v).to_string()).collect(),
        };
        let mut press = movement("press");
        press.facets = vec![need("bar", &["high", "middle"]), need("board", &["off"])];
        let choices = facet_choices(&press, &machine(), PENALTIES, 1).expect("it serves");
        let expected = vec![
            Choice {
                value: 2,
                penalty: 0,
            },
            Choice {
                value: 1,
                penalty: 300,
            },
        ];
        assert_eq!(choices, [Some(expected)]);
        press.facets.push(need("board", &["on"]));
        assert_eq!(
            facet_choices(&press, &machine(), PENALTIES, 1),
            Err(vec!["board".to_string()])
        );
    }
}
