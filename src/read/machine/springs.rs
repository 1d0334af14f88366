//! Springs as a teacher asks for them, in the terms of the machine that the class is planned on.
//!
//! Springs are counted by class or by the studio's labels (`"2 sun + 1 leaf"`, `{ sun = 2 }`), or given as a load, a range of loads, or a word.
//! Where the class is planned on another machine than it was written for, a set of springs becomes the nearest load there, and a note says so.

use crate::diagnostic::{Code, Diagnostic};
use crate::model::apparatus::Apparatus;
use crate::model::movement::SpringNeed;
use crate::read::catalogue::fields::spring_counts;
use crate::read::names::fold;
use crate::read::spanned::{At, Item, unknown_word};
use crate::source::Span;

/// The machines that words are read against.
#[derive(Debug, Clone, Copy)]
pub struct Machines<'a> {
    /// The class is planned on this one.
    pub on: &'a Apparatus,
    /// It was written for this one: labels are this studio's.
    pub written_for: &'a Apparatus,
}

/// Greatest load that may be asked for, in load units.
const MOST_LOAD: f64 = 20.0;

/// Two loads nearer than this are the same.
const SAME_LOAD: f64 = 1e-9;

/// The springs of one entry. `preferred`: the load that the movement prefers, for a range that names none.
pub fn springs(
    item: Item<'_>,
    machines: Machines<'_>,
    preferred: Option<f64>,
    log: &mut Vec<Diagnostic>,
) -> Option<SpringNeed> {
    if item.is_number() {
        let load = item.number(0.0..=MOST_LOAD, log)?;
        return load_alone(&load, machines, log);
    }
    if item.is_table() && is_range(item, log) {
        return range(item, preferred, log);
    }
    if item.is_text() {
        let text = item.text(log)?;
        match fold(&text.value).as_str() {
            "any" => return Some(SpringNeed::Any { free: false }),
            "free" => return Some(SpringNeed::Any { free: true }),
            "none" => return Some(SpringNeed::Sets(vec![Vec::new()])),
            "locked" | "all" | "allon" => return Some(SpringNeed::Locked),
            _ => {}
        }
    }
    let mut sets = Vec::new();
    for one in item.one_or_more() {
        sets.push((counts(one, machines, log)?, one.span()));
    }
    if sets.is_empty() {
        item.wrong_type("a set of springs such as { heavy = 1 }", log);
        return None;
    }
    let here = machines.on.id == machines.written_for.id;
    let sets = sets.into_iter().map(|(set, span)| {
        if here {
            Some(set)
        } else {
            near_set(&set, &span, machines, log)
        }
    });
    sets.collect::<Option<Vec<_>>>().map(SpringNeed::Sets)
}

/// The set of the other machine whose load comes nearest; among equal loads the one with the fewest springs.
fn near_set(
    set: &[(String, u32)],
    span: &Span,
    machines: Machines<'_>,
    log: &mut Vec<Diagnostic>,
) -> Option<Vec<(String, u32)>> {
    let written = machines.written_for;
    let asked = written.spring_set(set)?.load(&written.springs.classes);
    let load = near_load(asked, span, machines, log);
    let classes = &machines.on.springs.classes;
    let found = machines
        .on
        .spring_sets()
        .into_iter()
        .filter(|s| (s.load(classes) - load).abs() < SAME_LOAD)
        .min_by_key(|s| s.0.iter().sum::<u32>())?;
    let named = classes.iter().zip(found.0).filter(|(_, n)| *n > 0);
    Some(named.map(|(c, n)| (c.name.clone(), n)).collect())
}

fn is_range(item: Item<'_>, log: &mut Vec<Diagnostic>) -> bool {
    item.table("the springs", log)
        .is_some_and(|t| ["from", "to", "prefer"].iter().any(|k| t.has(k)))
}

/// `{ from, to, prefer }`; without `prefer` the movement's own, drawn into the range.
fn range(item: Item<'_>, preferred: Option<f64>, log: &mut Vec<Diagnostic>) -> Option<SpringNeed> {
    let mut t = item.table("a range of loads", log)?;
    let mut load = |key: &str, log: &mut Vec<Diagnostic>| {
        t.require(key, log)?
            .number(0.0..=MOST_LOAD, log)
            .map(|n| n.value)
    };
    let (from, to) = (load("from", log), load("to", log));
    let prefer = t.number("prefer", 0.0..=MOST_LOAD, log).map(|n| n.value);
    t.finish(log);
    let (from, to) = (from?, to?);
    let middle = f64::midpoint(from, to);
    let prefer = prefer.unwrap_or_else(|| preferred.unwrap_or(middle).max(from).min(to));
    if !(from <= prefer && prefer <= to) {
        log.push(Diagnostic::mistake(
            Code::OutOfRange,
            item.span(),
            format!("the range of loads runs from {from} to {to} and prefers {prefer}"),
            "out of order",
            "write `from` no greater than `prefer` and `prefer` no greater than `to`",
        ));
        return None;
    }
    Some(SpringNeed::Range { from, to, prefer })
}

/// Loads that a machine can have, rising, each once.
fn loads(machine: &Apparatus) -> Vec<f64> {
    let mut loads: Vec<f64> = machine
        .spring_sets()
        .iter()
        .map(|s| s.load(&machine.springs.classes))
        .collect();
    loads.sort_by(f64::total_cmp);
    loads.dedup_by(|a, b| (*a - *b).abs() < SAME_LOAD);
    loads
}

fn load_alone(
    load: &At<f64>,
    machines: Machines<'_>,
    log: &mut Vec<Diagnostic>,
) -> Option<SpringNeed> {
    if machines.on.id != machines.written_for.id {
        return Some(exactly(near_load(load.value, &load.span, machines, log)));
    }
    let have = loads(machines.on);
    if have.iter().any(|l| (l - load.value).abs() < SAME_LOAD) {
        return Some(exactly(load.value));
    }
    let below = have.iter().rev().find(|l| **l < load.value);
    let above = have.iter().find(|l| **l > load.value);
    let near: Vec<String> = below
        .into_iter()
        .chain(above)
        .map(|l| {
            format!("{:.3}", l)
                .trim_end_matches('0')
                .trim_end_matches('.')
                .to_owned()
        })
        .collect();
    log.push(Diagnostic::mistake(
        Code::OutOfRange,
        load.span.clone(),
        format!(
            "no set of springs of {} has the load {}",
            machines.on.name, load.value
        ),
        "unavailable",
        format!(
            "the nearest loads are {}; or write a range such as {{ from = 1, to = 2 }}",
            near.join(" and ")
        ),
    ));
    None
}

fn exactly(load: f64) -> SpringNeed {
    SpringNeed::Range {
        from: load,
        to: load,
        prefer: load,
    }
}

/// The load of the machine that comes nearest, with a note where it is not the same.
fn near_load(asked: f64, span: &Span, machines: Machines<'_>, log: &mut Vec<Diagnostic>) -> f64 {
    let near = loads(machines.on)
        .into_iter()
        .min_by(|a, b| (a - asked).abs().total_cmp(&(b - asked).abs()))
        .unwrap_or(0.0);
    if (near - asked).abs() > SAME_LOAD {
        log.push(Diagnostic::note(
            Code::Assumed,
            span.clone(),
            format!(
                "these springs of {} have no equivalent on {}: the nearest load there is used",
                machines.written_for.name, machines.on.name
            ),
            "another load",
        ));
    }
    near
}

/// Number of springs of each class, from a table or a text; names become those of the classes.
pub fn counts(
    item: Item<'_>,
    machines: Machines<'_>,
    log: &mut Vec<Diagnostic>,
) -> Option<Vec<(String, u32)>> {
    let machine = machines.written_for;
    let named: Vec<(At<String>, u32)> = if item.is_text() {
        let text = item.text(log)?;
        let mut found = Vec::new();
        for part in text
            .value
            .replace('&', "+")
            .replace(" and ", "+")
            .split([',', '+'])
        {
            let part = part.trim();
            let digits: String = part.chars().take_while(char::is_ascii_digit).collect();
            let count = if digits.is_empty() {
                Ok(1)
            } else {
                digits.parse()
            };
            let name = part[digits.len()..].trim().trim_start_matches("x ").trim();
            let at = At {
                value: name.to_owned(),
                span: text.span.clone(),
            };
            // A number too great to be read is more springs than any machine has.
            found.push((at, count.unwrap_or(u32::MAX)));
        }
        found
    } else if item.is_table() {
        spring_counts(item, log)?
            .into_iter()
            .map(|(value, count)| {
                let span = item.span();
                (At { value, span }, count)
            })
            .collect()
    } else {
        item.wrong_type(
            "a load, or springs such as { heavy = 1 } or \"1 heavy\"",
            log,
        );
        return None;
    };
    let mut set: Vec<(String, u32)> = Vec::new();
    for (name, count) in named {
        let folded = fold(&name.value);
        let class = machine
            .springs
            .classes
            .iter()
            .find(|c| fold(&c.name) == folded || fold(&c.label) == folded);
        let Some(class) = class else {
            let known: Vec<&str> = machine
                .springs
                .classes
                .iter()
                .flat_map(|c| [c.label.as_str(), c.name.as_str()])
                .collect();
            log.push(unknown_word("spring", &name, &known));
            return None;
        };
        let of_class = match set.iter().position(|(n, _)| *n == class.name) {
            Some(known) => known,
            None => {
                set.push((class.name.clone(), 0));
                set.len() - 1
            }
        };
        let sum = set[of_class].1.saturating_add(count);
        if sum > class.count {
            log.push(Diagnostic::mistake(
                Code::OutOfRange,
                name.span,
                format!(
                    "{} has only {} of its {} springs (`{}`)",
                    machine.name, class.count, class.name, class.label
                ),
                "more than there are",
                format!("take {} at most", class.count),
            ));
            return None;
        }
        set[of_class].1 = sum;
    }
    Some(set)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::built_in::models;
    use crate::read::spanned::Document;
    use crate::source::Source;
    use std::sync::Arc;

    /// What `written`, as it stands in a file, asks for on a machine (its place among those built in), and what was noticed.
    fn read(written: &str, on: usize) -> (Option<SpringNeed>, Vec<Diagnostic>) {
        let all = models(&[]).apparatus;
        let source = Arc::new(Source {
            name: "springs.toml".into(),
            text: format!("springs = {written}\n"),
        });
        let mut log = Vec::new();
        let document = Document::parse(&source, &mut log);
        let item = document.table("a test").get("springs").expect("the key");
        let machines = Machines {
            on: &all[on],
            written_for: &all[0],
        };
        (springs(item, machines, Some(2.5), &mut log), log)
    }

    fn asked(written: &str) -> SpringNeed {
        let (found, log) = read(written, 0);
        assert_eq!(log, [], "{written}");
        found.expect("springs")
    }

    fn set(counts: &[(&str, u32)]) -> Vec<(String, u32)> {
        counts.iter().map(|(n, c)| ((*n).to_owned(), *c)).collect()
    }

    #[test]
    fn springs_are_counted_by_class_or_by_the_studios_labels() {
        let expected = SpringNeed::Sets(vec![set(&[("medium", 2), ("light", 1)])]);
        for written in [
            "\"2 sun + 1 leaf\"",
            "\"2 Suns and leaf\"",
            "\"2 medium, light\"",
            "{ sun = 2, leaf = 1 }",
        ] {
            assert_eq!(asked(written), expected, "{written}");
        }
        assert_eq!(
            asked("[\"1 sun\", { heavy = 1 }]"),
            SpringNeed::Sets(vec![set(&[("medium", 1)]), set(&[("heavy", 1)])])
        );
    }

    #[test]
    fn a_load_a_range_and_a_word_are_understood() {
        let range = |from, to, prefer| SpringNeed::Range { from, to, prefer };
        assert_eq!(asked("1.5"), range(1.5, 1.5, 1.5));
        assert_eq!(
            asked("{ from = 1, to = 2, prefer = 1.5 }"),
            range(1.0, 2.0, 1.5)
        );
        assert_eq!(asked("{ from = 2, to = 3 }"), range(2.0, 3.0, 2.5));
        assert_eq!(asked("{ from = 0.1, to = 0.5 }"), range(0.1, 0.5, 0.5));
        assert_eq!(asked("\"any\""), SpringNeed::Any { free: false });
        assert_eq!(asked("\"locked\""), SpringNeed::Locked);
        assert_eq!(asked("\"none\""), SpringNeed::Sets(vec![Vec::new()]));
    }

    #[test]
    fn springs_that_the_machine_has_not_are_refused_with_what_it_has() {
        for (written, code, mend) in [
            ("{ sunn = 1 }", Code::UnknownName, "did you mean `sun`?"),
            ("\"3 sun\"", Code::OutOfRange, "take 2 at most"),
            (
                "\"1 sun + 1 medium + 1 sun\"",
                Code::OutOfRange,
                "take 2 at most",
            ),
            ("\"99999999999 sun\"", Code::OutOfRange, "take 2 at most"),
            ("1.2", Code::OutOfRange, "the nearest loads are 1 and 1.5"),
            ("{ from = 2, to = 1 }", Code::OutOfRange, "no greater than"),
            ("true", Code::WrongType, "a load, or springs"),
        ] {
            let (found, log) = read(written, 0);
            assert_eq!((found, log.len()), (None, 1), "{written}: {log:#?}");
            assert_eq!(log[0].code, code, "{written}");
            assert!(log[0].mend.contains(mend), "{written}: {}", log[0].mend);
        }
    }

    #[test]
    fn on_another_machine_every_set_becomes_the_nearest_load_and_a_note_says_where_it_differs() {
        let all = models(&[]).apparatus;
        for (on, machine) in all.iter().enumerate().skip(1) {
            let (found, log) = read("[\"1 stone + 1 leaf\", \"1 sun\"]", on);
            assert!(!log.iter().any(Diagnostic::is_mistake), "{log:#?}");
            let Some(SpringNeed::Sets(sets)) = found else {
                panic!("{found:?}");
            };
            let loads: Vec<f64> = sets
                .iter()
                .map(|s| {
                    let set = machine.spring_set(s).expect("springs of that machine");
                    set.load(&machine.springs.classes)
                })
                .collect();
            let asked = [2.0, 1.0];
            assert_eq!(loads.len(), asked.len());
            for (load, asked) in loads.iter().zip(asked) {
                assert!((load - asked).abs() < 0.3, "{load} for {asked}");
            }
            let differ = loads
                .iter()
                .zip(asked)
                .filter(|(l, a)| (*l - a).abs() > SAME_LOAD);
            assert_eq!(log.len(), differ.count());
        }
    }
}
