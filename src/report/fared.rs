//! How the rules and the people in the room fared, line by line.

use super::section::{Line, Tone};
use crate::plan::conditions::{InTheRoom, Touched, places};
use crate::plan::fate::Fate;
use crate::plan::wording::capital;

/// Each condition with what it touches.
pub fn conditions(conditions: &[InTheRoom]) -> Vec<Line> {
    conditions
        .iter()
        .map(|c| {
            let name = capital(&c.condition);
            let text = match (c.touched.is_empty(), c.known, c.leaves_out) {
                (true, _, true) => format!("{name}: what it touches is left out, see below."),
                (true, true, false) => format!("{name}: nothing in this class calls for care."),
                (true, false, false) => {
                    format!("{name}: your own words; look through the class with it in mind.")
                }
                (false, _, _) => format!("{name}: {}", c.wordings.join(" ")),
            };
            let (without, with): (Vec<&Touched>, Vec<&Touched>) =
                c.touched.iter().partition(|t| t.options.is_empty());
            let named = |t: &Touched| format!("{} {}", places(&t.places), t.movement);
            let mut under: Vec<String> = with
                .into_iter()
                .map(|t| format!("{}: offer {}", named(t), t.options.join(" or ")))
                .collect();
            if !without.is_empty() {
                let names: Vec<String> = without.into_iter().map(named).collect();
                under.push(format!(
                    "{}: no easier option is known here; change it for this person, or leave it out",
                    names.join("; ")
                ));
            }
            Line {
                laid_out: false,
                tone: if c.touched.is_empty() {
                    Tone::Plain
                } else {
                    Tone::Heed
                },
                text,
                under,
            }
        })
        .collect()
}

/// Each rule with how it fared.
pub fn rules(fates: &[Fate]) -> Vec<Line> {
    fates
        .iter()
        .map(|fate| {
            let line = fate.line.map_or(String::new(), |n| format!(" (line {n})"));
            let need = if fate.must { ", a must" } else { "" };
            let head = format!("{}{line}{need}", capital(fate.heading()));
            if fate.kept() {
                return Line::toned(Tone::Plain, format!("Kept: {head}"));
            }
            let worst = fate.breaches.iter().any(|b| b.seconds.is_none());
            let word = if worst { "Broken" } else { "Not met" };
            // What helps all of them is said once, below.
            let remedy = &fate.breaches[0].remedy;
            let one_for_all =
                !remedy.is_empty() && fate.breaches.iter().all(|b| b.remedy == *remedy);
            let under = fate
                .breaches
                .iter()
                .map(|b| {
                    let mut text = if b.sentence == fate.heading() {
                        capital(&b.detail)
                    } else if b.detail.is_empty() {
                        capital(&b.sentence)
                    } else {
                        format!("{}: {}", capital(&b.sentence), b.detail)
                    };
                    if !b.remedy.is_empty() && !one_for_all {
                        text.push_str(&format!(". What would help: {}", b.remedy));
                    }
                    text
                })
                .chain(one_for_all.then(|| format!("What would help: {remedy}")))
                .filter(|text| !text.is_empty())
                .collect();
            Line {
                laid_out: false,
                tone: if worst { Tone::Wrong } else { Tone::Heed },
                text: format!("{word}: {head}"),
                under,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::fate::Breach;
    use crate::rules::ledger::RuleName;

    fn breach(sentence: &str, detail: &str) -> Breach {
        Breach {
            demand: 0,
            sentence: sentence.into(),
            detail: detail.into(),
            remedy: "add a rest".into(),
            seconds: Some(30.0),
        }
    }

    fn fate(rule: RuleName, sentence: &str, breaches: Vec<Breach>) -> Fate {
        Fate {
            rule,
            line: Some(7),
            must: false,
            demands: breaches.len().max(1),
            sentence: sentence.into(),
            breaches,
        }
    }

    #[test]
    fn what_helps_every_breach_of_a_rule_is_said_once() {
        let both = vec![breach("a waits", "too early"), breach("b waits", "")];
        let lines = rules(&[fate(RuleName::WarmUp, "", both)]);
        assert_eq!(lines[0].text, "Not met: Warm-up first (line 7)");
        assert_eq!(
            lines[0].under,
            [
                "A waits: too early",
                "B waits",
                "What would help: add a rest"
            ]
        );
    }

    #[test]
    fn a_rule_of_her_own_is_named_by_what_it_asks() {
        let kept = fate(RuleName::Before, "Swan comes before Frog", Vec::new());
        assert_eq!(
            rules(&[kept])[0].text,
            "Kept: Swan comes before Frog (line 7)"
        );
        let broken = vec![breach("Swan comes before Frog", "they stand at 3 and 2")];
        let lines = rules(&[fate(RuleName::Before, "Swan comes before Frog", broken)]);
        assert_eq!(lines[0].under[0], "They stand at 3 and 2");
    }

    #[test]
    fn movements_without_an_easier_option_are_told_together() {
        let touched = |place, name: &str, options: &[&str]| Touched {
            places: vec![place],
            movement: name.into(),
            cautions: Vec::new(),
            options: options.iter().map(ToString::to_string).collect(),
        };
        let room = InTheRoom {
            condition: "wrist pain".into(),
            known: true,
            wordings: vec!["Use fists."],
            touched: vec![
                touched(1, "Elephant", &[]),
                touched(2, "Plank", &["Kneeling plank"]),
                touched(3, "Swan", &[]),
            ],
            leaves_out: false,
        };
        let lines = conditions(&[room]);
        assert_eq!(lines[0].under.len(), 2);
        assert_eq!(lines[0].under[0], "2 Plank: offer Kneeling plank");
        assert!(lines[0].under[1].starts_with("1 Elephant; 3 Swan: no easier option"));
    }
}
