//! A class with its steps to the problem, its ledger and what cannot be met.

use super::circles::circles;
use super::compiled::Compiled;
use super::costs;
use super::end::end_of;
use super::equal_sides::unequal;
use super::in_part::order_and_sides;
use super::priorities::{above_any_changeover, weights};
use super::room::Room;
use super::served::{empty_list, no_setup, not_served};
use super::setups::index_of;
use super::steps::{SpringChoices, blocks_of, free, keys_of, springs_of, steps_of, subject_of};
use super::unmet::name_helpers;
use crate::brief::Brief;
use crate::diagnostic::{Code, Diagnostic};
use crate::model::apparatus::Apparatus;
use crate::model::class::Class;
use crate::problem::definition::Problem;
use crate::problem::figures::{GREATEST, greatest_score};
use crate::rules::subject::Subject;
use crate::sizes::DEMANDS;

/// Compiles a class that has been expanded already.
///
/// # Errors
/// All mistakes: an empty list, movements that no set-up serves, sides that cannot be equal, circles among the orders that must hold.
pub fn compile_class(
    brief: &Brief,
    apparatus: &Apparatus,
    class: Class,
    room: Room,
) -> Result<Compiled, Vec<Diagnostic>> {
    if !class.steps.iter().any(|s| s.entry.is_some()) {
        return Err(vec![empty_list(&class, &brief.span)]);
    }
    let mut mistakes = not_served(brief, apparatus, &class);
    let end = match end_of(brief, apparatus) {
        Ok(end) => end,
        Err(more) => {
            mistakes.extend(more);
            None
        }
    };
    let postures = match costs::postures(apparatus, room.factor) {
        Ok(postures) => Some(postures),
        Err((from, to)) => {
            mistakes.push(no_setup(
                brief.span.clone(),
                format!("{} has no way from {from} to {to}", apparatus.name),
                "no way between these positions",
                "add the missing move to the file of the machine",
            ));
            None
        }
    };
    let (Some(postures), true) = (postures, mistakes.is_empty()) else {
        mistakes.extend(order_and_sides(brief, apparatus, &class, room));
        return Err(mistakes);
    };

    let mut fixed = vec![apparatus.springs.start.clone()];
    fixed.extend(end.as_ref().and_then(|e| e.springs.clone()));
    let (allowed, spring_values) = springs_of(brief, apparatus, &class, &fixed);

    let mut facets = vec![costs::spring_facet(apparatus, &spring_values, room.factor)];
    facets.extend(
        apparatus
            .facets
            .iter()
            .map(|f| costs::other_facet(apparatus, f, room.factor)),
    );
    let longest = above_any_changeover(&facets, &postures, class.steps.len());
    let weights = weights(
        brief.priority,
        brief.stop_seconds,
        class.steps.len(),
        longest,
    );

    let keys = keys_of(apparatus);
    let blocks = blocks_of(brief);
    let subject = subject_of(brief, &class, &blocks, &keys, room);
    let springs = SpringChoices {
        allowed: &allowed,
        values: &spring_values,
    };
    let steps = steps_of(brief, apparatus, &subject, springs, weights.scale);

    let sides = unequal(
        &subject,
        &steps,
        &brief.rules.sides_equal.asked,
        &brief.span,
    );
    mistakes.extend(sides.mistakes);
    let free = free(&steps);
    let subject = Subject {
        free: Some(&free),
        ..subject
    };
    let mut posting = brief.rules.post(&subject);
    if posting.is_full() {
        let rule = posting.ledger.entries.last();
        let span = rule.and_then(|rule| rule.span.clone());
        let span = span.unwrap_or_else(|| brief.span.clone());
        return Err(vec![DEMANDS.refused_uncounted("the class", span)]);
    }
    mistakes.extend(circles(&subject, &posting, &brief.span));
    if !mistakes.is_empty() {
        return Err(mistakes);
    }
    for sentence in sides.unmet {
        posting.unmet(sentence);
    }
    name_helpers(brief, &subject, apparatus, &mut posting);
    for demand in &mut posting.demands {
        demand.weight = demand.weight.map(|w| w.saturating_mul(weights.scale));
    }

    let mut start_setup = vec![index_of(&spring_values, &apparatus.springs.start)];
    start_setup.extend(apparatus.facets.iter().map(|f| f.start));
    let start_posture = apparatus
        .start_posture
        .as_ref()
        .and_then(|base| apparatus.postures.node(base, None));
    let problem = Problem {
        title: brief.title.clone(),
        facets,
        postures,
        start_setup,
        start_posture,
        end: end.map(|e| e.problem_end(&spring_values)),
        time_weight: weights.time,
        stop_weight: weights.stop,
        steps,
        demands: posting.demands,
    };
    if greatest_score(&problem) > GREATEST.into() {
        return Err(vec![Diagnostic::mistake(
            Code::OutOfRange,
            brief.span.clone(),
            "the weights of this class add up to more than can be counted",
            "this class",
            "write smaller weights, use `priority = \"balanced\"`, or shorten the list",
        )]);
    }
    Ok(Compiled {
        problem,
        ledger: posting.ledger,
        class,
        apparatus: apparatus.clone(),
        spring_values,
        room_factor: room.factor,
        score_per_second: weights.score_per_second(),
        unmet: posting.unmet,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::{EndSetup, Priority};
    use crate::compile::sample::{brief, machine};
    use crate::model::movement::{LoadSide, Phase};
    use crate::model::movement::{Movement, Spine, SpringNeed};
    use crate::problem::check::check;
    use crate::problem::demand::Kind;
    use crate::rules::at_most::AtMost;
    use crate::rules::before::Before;
    use crate::rules::flows_into::FlowsInto;
    use crate::rules::ledger::RuleName;
    use crate::rules::load_ceiling::LoadCeiling;
    use crate::rules::near::Near;
    use crate::rules::need::Asked;
    use crate::rules::pinned::{Pin, Pinned};
    use crate::rules::sample::{Sample, in_phases, movement, with_load, with_spine};
    use crate::rules::target::Target;
    use crate::rules::together::Together;

    const ALONE: Room = Room {
        factor: 1.0,
        wrist_care: false,
    };

    fn compiled(
        sample: &Sample,
        change: impl FnOnce(&mut Brief),
    ) -> Result<Compiled, Vec<Diagnostic>> {
        let mut brief = brief(sample);
        change(&mut brief);
        compile_class(&brief, &machine(), sample.class.clone(), ALONE)
    }

    fn press(id: &str) -> Movement {
        Movement {
            springs: SpringNeed::Range {
                from: 2.0,
                to: 4.0,
                prefer: 2.5,
            },
            ..movement(id)
        }
    }

    fn side_press(id: &str) -> Movement {
        Movement {
            start: "side-lying".into(),
            end: "side-lying".into(),
            ..press(id)
        }
    }

    #[test]
    fn a_class_becomes_a_problem_that_passes_its_check() {
        let sample = Sample::new()
            .both(press("press"))
            .each(side_press("side press"), 1)
            .breather(with_spine("rest fold", Spine::Flexion, 1));
        let found = compiled(&sample, |b| {
            b.minutes = Some(20.0);
            b.end = Some(EndSetup {
                springs: Some(vec![("light".into(), 1)]),
                facets: vec![("bar".into(), "high".into())],
                posture: None,
                span: None,
            });
        })
        .expect("it compiles");
        let p = &found.problem;
        assert_eq!(check(p), []);
        assert_eq!(p.demands.len(), found.ledger.entries.len());
        assert_eq!(
            p.facets[0].values,
            ["1 light", "1 heavy", "1 heavy + 1 light", "2 heavy"]
        );
        assert_eq!(
            (p.start_setup.as_slice(), p.start_posture),
            ([1, 0].as_slice(), Some(1))
        );
        let end = p.end.as_ref().expect("an end");
        assert_eq!(
            (end.setup.as_slice(), end.posture),
            ([Some(0), Some(2)].as_slice(), None)
        );
        // 30 s of teaching and 60 s of work; the left form and the right form; one group; 10 s for a breather.
        assert_eq!(p.steps[0].duration, 9000);
        assert_eq!((p.steps[1].start, p.steps[2].start), (2, 3));
        assert_eq!(p.steps[1].group, p.steps[2].group);
        assert_eq!(p.steps[3].optional, Some(1000));
        assert_eq!(p.steps[2].id, "side press right");
        assert!(
            p.demands
                .iter()
                .any(|d| matches!(&d.kind, Kind::Fits(f) if f.total == 120_000))
        );
    }

    #[test]
    fn time_first_multiplies_all_but_the_stops() {
        let sample = Sample::new().each(side_press("side press"), 1);
        let found = compiled(&sample, |b| b.priority = Priority::Time).expect("it compiles");
        let p = &found.problem;
        assert_eq!((p.time_weight, p.stop_weight), (4, 1));
        let choices = p.steps[0].setup[0].as_ref().expect("it cares");
        assert_eq!(choices[0].penalty, 4 * 750);
        assert!(p.demands.iter().all(|d| d.weight == Some(4 * 3000)));
        assert!((found.seconds_of(4 * 3000) - 30.0).abs() < 1e-9);
    }

    #[test]
    fn orders_that_must_hold_in_a_circle_are_named() {
        let sample = Sample::new()
            .both(movement("a"))
            .both(movement("b"))
            .both(movement("c"));
        let mistakes = compiled(&sample, |b| {
            for (first, later) in [("a", "b"), ("b", "c"), ("c", "a")] {
                b.rules.before.push(Before {
                    asked: Asked::must(),
                    first: Target::movement(first),
                    later: Target::movement(later),
                });
            }
        })
        .expect_err("a circle");
        assert_eq!(mistakes.len(), 1);
        assert_eq!(mistakes[0].code, Code::Circle);
        assert!(
            mistakes[0]
                .message
                .ends_with("a before b before c before a")
        );
        assert_eq!(mistakes[0].labels.len(), 3);
    }

    #[test]
    fn a_movement_that_the_machine_cannot_serve_is_named_with_what_is_missing() {
        let mut heavy = movement("leg press");
        heavy.springs = SpringNeed::Range {
            from: 6.0,
            to: 8.0,
            prefer: 7.0,
        };
        let sample = Sample::new().both(heavy).both(movement("a"));
        let mistakes = compiled(&sample, |_| {}).expect_err("too heavy");
        assert_eq!(mistakes.len(), 1);
        assert_eq!(mistakes[0].code, Code::NoSetup);
        assert!(
            mistakes[0]
                .message
                .starts_with("leg press cannot be done on the bench: no set")
        );
    }

    #[test]
    fn sides_with_different_repetitions_are_a_mistake_only_where_they_must_be_equal() {
        let mut sample = Sample::new().each(side_press("side press"), 1);
        sample.class.steps[1].doses[0].count = 5;
        let wish = compiled(&sample, |_| {}).expect("a wish");
        assert!(
            wish.unmet[0].starts_with("the two sides of side press have different repetitions")
        );
        let mistakes = compiled(&sample, |b| b.rules.sides_equal.asked = Asked::must())
            .expect_err("they must be equal");
        assert_eq!(mistakes[0].code, Code::UnequalSides);
    }

    #[test]
    fn an_empty_list_is_a_mistake_even_with_a_breather() {
        let sample = Sample::new().breather(movement("rest fold"));
        let mistakes = compiled(&sample, |_| {}).expect_err("nothing to do");
        assert_eq!(mistakes[0].code, Code::EmptyList);
    }

    #[test]
    fn what_would_round_the_back_is_named_from_the_catalogue() {
        let sample = Sample::new().both(with_spine("swan", Spine::Extension, 3));
        let found = compiled(&sample, |b| {
            b.catalogue
                .movements
                .push(with_spine("short spine", Spine::Flexion, 2).into());
            b.catalogue
                .movements
                .push(with_spine("roll down", Spine::Flexion, 1).into());
        })
        .expect("it compiles");
        assert_eq!(
            found.unmet,
            ["nothing on the list rounds the back after swan: add one of roll down, short spine"]
        );
    }

    #[test]
    fn a_class_with_every_kind_of_rule_passes_the_check_and_no_demand_is_without_its_entry() {
        let wrists = |id| Movement {
            effort: 6.0,
            ..with_load(id, "wrists", 0.8, LoadSide::Both)
        };
        let rest = || Movement {
            rest: true,
            ..with_spine("rest fold", Spine::Flexion, 1)
        };
        let sample = Sample::new()
            .both(in_phases("settle", &[Phase::WarmUp]))
            .both(with_spine("swan", Spine::Extension, 2))
            .both(wrists("plank"))
            .both(wrists("elephant"))
            .each(side_press("side press"), 2)
            .breather(rest())
            .breather(rest());
        let (plank, swan) = (Target::movement("plank"), Target::movement("swan"));
        let found = compiled(&sample, |b| {
            b.minutes = Some(30.0);
            b.priority = Priority::Changes;
            b.rules.warm_up.minutes = Some(1.0);
            b.rules.effort_arc.asked = Asked::prefer(5.0);
            b.rules.load_ceiling.push(LoadCeiling {
                asked: Asked::prefer(60.0),
                region: "wrists".into(),
                ceiling: 0.5,
            });
            b.rules.together.push(Together {
                asked: Asked::prefer(30.0),
                members: vec![plank.clone(), swan.clone()],
                ordered: false,
                within: 0,
            });
            b.rules.flows_into.push(FlowsInto {
                asked: Asked::prefer(30.0),
                from: swan.clone(),
                into: plank.clone(),
            });
            b.rules.near.push(Near {
                asked: Asked::prefer(30.0),
                order: vec![plank.clone(), swan.clone()],
                least: 1,
            });
            b.rules.pinned.push(Pinned {
                asked: Asked::must(),
                what: Target::movement("settle"),
                at: Pin::First,
            });
            b.rules.at_most.push(AtMost {
                asked: Asked::must(),
                facet: "springs".into(),
                changes: 3,
            });
        })
        .expect("it compiles");
        assert_eq!(check(&found.problem), []);
        assert_eq!(found.problem.demands.len(), found.ledger.entries.len());
        let posts = |rule: &RuleName| found.ledger.entries.iter().any(|e| e.rule.key == rule.key);
        let posting = RuleName::ALL.iter().filter(|&rule| posts(rule));
        let rules: Vec<&str> = posting.map(|rule| rule.key).collect();
        // All but the cool-down, an order as written, preparations, blocks and variants, which this class does not have.
        let expected = [
            "warm_up",
            "rounds",
            "sides_paired",
            "sides_equal",
            "first_side",
            "counterpose",
            "recovery",
            "longest_load",
            "load_ceiling",
            "together",
            "flows_into",
            "near",
            "pinned",
            "at_most",
            "breathers",
            "effort_arc",
            "fits",
        ];
        assert_eq!(rules, expected);
    }
}
