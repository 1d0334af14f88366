//! How the rules and the people in the room fared, line by line.

use super::section::{Line, Tone};
use crate::lesson::conditions::{InTheRoom, Touched, places};
use crate::lesson::offer::{self, SIT};
use crate::lesson::rule_report::RuleReport;
use crate::lesson::wording::capital;

/// Each condition with what it touches. That nothing is marked for one is no comfort, and is not said as one.
pub fn conditions(conditions: &[InTheRoom]) -> Vec<Line> {
    conditions
        .iter()
        .map(|c| {
            let name = match &c.said {
                Some(said) => format!("{} (\u{201c}{said}\u{201d})", capital(&c.condition)),
                None => capital(&c.condition),
            };
            let text = match (c.touched.is_empty(), c.known, c.leaves_out) {
                (true, true, true) => format!(
                    "{name}: what is marked for it is left out, see below; look through the rest with it in mind."
                ),
                (true, true, false) => format!(
                    "{name}: no movement is marked for it here. That makes none of them safe; look through the class with it in mind."
                ),
                (_, false, _) => format!(
                    "{name}: your own words. Nothing was checked for it; look through the class with it in mind."
                ),
                (false, true, _) => format!("{name}: {}", c.wordings.join(" ")),
            };
            let named = |t: &Touched| format!("{} {}", places(&t.places), t.movement);
            let (without, with): (Vec<&Touched>, Vec<&Touched>) =
                c.touched.iter().partition(|t| t.options.is_empty());
            let mut under: Vec<String> = Vec::new();
            under.extend((!c.ask.is_empty()).then(|| c.ask.to_owned()));
            under.extend(
                with.into_iter()
                    .map(|t| format!("{}: {}", named(t), offer::said(&t.options))),
            );
            if !without.is_empty() {
                let names: Vec<String> = without.into_iter().map(named).collect();
                under.push(format!(
                    "{}: no known option fits this set-up; {SIT}",
                    names.join("; ")
                ));
            }
            Line {
                laid_out: false,
                tone: if c.touched.is_empty() && c.known {
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
pub fn rules(rule_reports: &[RuleReport]) -> Vec<Line> {
    rule_reports
        .iter()
        .map(|fate| {
            let line = fate.line.map_or(String::new(), |n| format!(" (line {n})"));
            let need = if fate.must { ", has to hold" } else { "" };
            let head = format!("{}{line}{need}", capital(fate.heading()));
            if fate.kept() {
                return Line::toned(Tone::Plain, format!("Kept: {head}"));
            }
            let worst = fate.breaches.iter().any(|b| b.seconds.is_none());
            let word = if worst { "Broken" } else { "Not kept" };
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
    use crate::lesson::offer::Offer;
    use crate::lesson::rule_report::Breach;
    use crate::rules::before::Before;
    use crate::rules::ledger::RuleName;
    use crate::rules::rule::Rule as _;
    use crate::rules::warm_up::WarmUp;

    fn breach(sentence: &str, detail: &str) -> Breach {
        Breach {
            demand: 0,
            sentence: sentence.into(),
            detail: detail.into(),
            remedy: "add a rest".into(),
            seconds: Some(30.0),
        }
    }

    fn fate(rule: RuleName, sentence: &str, breaches: Vec<Breach>) -> RuleReport {
        RuleReport {
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
        let lines = rules(&[fate(WarmUp::NAME, "", both)]);
        assert_eq!(lines[0].text, "Not kept: Warm-up first (line 7)");
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
        let kept = fate(Before::NAME, "Swan comes before Frog", Vec::new());
        assert_eq!(
            rules(&[kept])[0].text,
            "Kept: Swan comes before Frog (line 7)"
        );
        let broken = vec![breach("Swan comes before Frog", "they stand at 3 and 2")];
        let lines = rules(&[fate(Before::NAME, "Swan comes before Frog", broken)]);
        assert_eq!(lines[0].under[0], "They stand at 3 and 2");
    }

    fn room(touched: Vec<Touched>) -> InTheRoom {
        InTheRoom {
            condition: "wrist pain".into(),
            said: None,
            known: true,
            ask: "",
            wordings: vec!["Use fists."],
            touched,
            leaves_out: false,
        }
    }

    #[test]
    fn movements_for_which_nothing_fits_are_told_together() {
        let touched = |place, name: &str, options: &[&str]| Touched {
            places: vec![place],
            movement: name.into(),
            cautions: Vec::new(),
            options: (options.iter())
                .map(|o| Offer {
                    movement: (*o).into(),
                    springs: None,
                })
                .collect(),
        };
        let lines = conditions(&[room(vec![
            touched(1, "Elephant", &[]),
            touched(2, "Plank", &["Kneeling plank"]),
            touched(3, "Swan", &[]),
        ])]);
        assert_eq!(lines[0].under.len(), 2);
        assert_eq!(lines[0].under[0], "2 Plank: offer Kneeling plank");
        assert!(lines[0].under[1].starts_with("1 Elephant; 3 Swan: no known option fits"));
        assert!(lines[0].under[1].ends_with("sit, carriage in"));
    }

    #[test]
    fn that_nothing_is_marked_is_not_said_as_a_comfort() {
        let known = conditions(&[room(Vec::new())]);
        assert!(known[0].text.contains("no movement is marked for it here"));
        assert!(
            !known[0]
                .text
                .contains("nothing in this class calls for care")
        );
        let own = InTheRoom {
            condition: "raynaud".into(),
            said: Some("Raynaud".into()),
            known: false,
            ..room(Vec::new())
        };
        let own = conditions(&[own]);
        assert!(own[0].text.starts_with("Raynaud"));
        assert!(own[0].text.contains("Nothing was checked for it"));
        assert_eq!(own[0].tone, Tone::Heed);
    }
}
