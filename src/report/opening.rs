//! What a class comes to in a few lines: its length, what would fill it, what the order saves.

use super::beside::Gain;
use super::section::{Line, Tone};
use crate::compile::Compiled;
use crate::explain::savings::{Savings, broken_wishes};
use crate::lesson::Lesson;
use crate::lesson::wording::{capital, count, length};
use crate::score::Evaluation;

/// The whole class in one sentence.
pub fn totals(lesson: &Lesson) -> String {
    format!(
        "{} in {}, of which {} of transitions with {}.",
        count(as_count(lesson.rows.len()), "movement", "movements"),
        length(lesson.finish),
        length(lesson.changeover),
        count(lesson.stops, "stop", "stops"),
    )
}

fn as_count(n: usize) -> i64 {
    i64::try_from(n).expect("a class has few steps")
}

/// Minutes left over or short of, and the warm-up.
pub fn minutes(lesson: &Lesson) -> Vec<Line> {
    let mut lines = Vec::new();
    match lesson.left_over {
        Some(0) => lines.push(Line::toned(Tone::Good, "It fills its minutes exactly.")),
        Some(over) if over > 0 => lines.push(Line::plain(format!(
            "{} left over: {}.",
            capital(&length(over)),
            filling(lesson, over)
        ))),
        Some(short) => lines.push(Line::toned(
            Tone::Heed,
            format!(
                "{} too long: fewer repetitions, or leave something out.",
                capital(&length(-short))
            ),
        )),
        None => {}
    }
    if let Some(warm) = lesson.warm_up {
        lines.push(Line::plain(match warm {
            0 => "Work begins at once, with no warm-up before it.".into(),
            _ => format!("The warm-up lasts {}.", length(warm)),
        }));
    }
    lines
}

/// What would fill the minutes left over.
fn filling(lesson: &Lesson, over: i64) -> String {
    let steps = as_count(lesson.rows.len()).max(1);
    // A step takes as long as those of this class do on the average, transitions included.
    let room = over * steps / lesson.finish.max(1);
    match (room, lesson.could_be_fuller) {
        (0, true) => "a few more repetitions, or a longer rest, would fill it".into(),
        (0, false) => "a longer rest would fill it".into(),
        (n, true) => format!(
            "room for about {} like these, or for more repetitions first (`length = \"full\"`)",
            count(n, "more movement", "more movements")
        ),
        (n, false) => format!(
            "room for about {} like these: other movements, or another round",
            count(n, "more movement", "more movements")
        ),
    }
}

/// What the order saves over the list as given; `proven`: with set-ups for it that are known to be the cheapest.
pub fn saved(savings: &Savings, proven: bool) -> Line {
    let said = Gain::from(savings).first_better();
    let text = if said.is_empty() {
        "In stops, time and rules it is as good as the list as given.".into()
    } else {
        format!("Against the list as given: {said}.")
    };
    if proven {
        return Line::plain(text);
    }
    let less = "It may save less: whether other set-ups suit your list better was not settled.";
    Line::plain(format!("{text} {less}"))
}

/// How many rules that may give way an order does not keep, in a sentence.
pub fn wishes(compiled: &Compiled, evaluation: &Evaluation) -> String {
    match broken_wishes(compiled, evaluation) {
        0 => "Every rule that may give way is kept.".into(),
        n => format!(
            "{} not kept.",
            count(
                n,
                "rule that may give way is",
                "rules that may give way are"
            )
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::lesson;
    use crate::lesson::sample::compiled;
    use crate::score::evaluate;

    fn savings(musts: i64, stops: i64, changeover: i64, wishes: i64) -> Savings {
        Savings {
            stops,
            changeover,
            wishes,
            musts,
            gone: Vec::new(),
            new: Vec::new(),
            altered: Vec::new(),
        }
    }

    #[test]
    fn what_is_saved_over_set_ups_that_may_not_be_the_cheapest_is_not_promised() {
        let said = saved(&savings(0, 3, 0, 0), false).text;
        assert!(said.ends_with("was not settled."), "{said}");
        assert!(said.contains("may save less"), "{said}");
    }

    #[test]
    fn minutes_left_over_are_told_in_steps_of_this_class() {
        let made = compiled();
        let heavy = made.spring_value("heavy");
        let found = evaluate(
            &made.compiled.problem,
            &[0, 1, 2],
            &[vec![heavy, 0], vec![heavy, 0], vec![heavy, 0]],
        );
        let mut taught = lesson(&made.brief, &made.compiled, &found);
        taught.finish = 30_000;
        taught.could_be_fuller = false;
        // Three movements in five minutes: five more in eight and a half.
        taught.left_over = Some(51_000);
        let said = &minutes(&taught)[0].text;
        assert!(said.contains("room for about 5 more movements"), "{said}");
        taught.left_over = Some(2_000);
        let said = &minutes(&taught)[0].text;
        assert!(said.contains("a longer rest would fill it"), "{said}");
    }
}
