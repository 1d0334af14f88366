//! `conditions = ["wrist pain", { name = "knee pain", leave_out = true }]`: who is in the room, in whatever words.

use crate::brief::{Condition, Treatment};
use crate::diagnostic::{Code, Diagnostic};
use crate::read::brief::heard::{Heard, heard, near};
use crate::read::names;
use crate::read::spanned::{At, Item, Table};

/// The conditions of a brief, each once. What is not understood is taken as the teacher's own words, with a note.
pub fn conditions(root: &mut Table<'_>, log: &mut Vec<Diagnostic>) -> Vec<Condition> {
    let items = root.get("conditions").map(|i| i.one_or_more());
    let mut found: Vec<Condition> = Vec::new();
    for item in items.unwrap_or_default() {
        let Some((phrase, treatment)) = condition(&item, log) else {
            continue;
        };
        let heard = heard(&phrase.value);
        noted(&phrase, &heard, log);
        let known = heard.known.iter().map(|k| k.name.to_owned());
        for name in known.chain(heard.own_words) {
            match found.iter_mut().find(|c| c.name == name) {
                // Two people with the same: whatever takes out more stands.
                Some(there) => there.treatment = there.treatment.max(treatment),
                None => found.push(Condition {
                    said: (names::fold(&phrase.value) != names::fold(&name))
                        .then(|| phrase.value.trim().to_owned()),
                    name,
                    treatment,
                    span: phrase.span.clone(),
                }),
            }
        }
    }
    found
}

/// What one item says: the phrase, and what is done about it.
fn condition(item: &Item<'_>, log: &mut Vec<Diagnostic>) -> Option<(At<String>, Treatment)> {
    if !item.is_table() {
        return item.name(log).map(|name| (name, Treatment::Shown));
    }
    let mut t = item.table("a condition", log)?;
    let name = t.require("name", log).and_then(|i| i.name(log));
    let leave_out = t.truth("leave_out", log).unwrap_or(false);
    let replace = t.truth("replace", log).unwrap_or(false);
    t.finish(log);
    let treatment = match (leave_out, replace) {
        (_, true) => Treatment::Replaced,
        (true, false) => Treatment::LeftOut,
        (false, false) => Treatment::Shown,
    };
    name.map(|name| (name, treatment))
}

/// Notes what of a phrase is not understood.
fn noted(phrase: &At<String>, heard: &Heard, log: &mut Vec<Diagnostic>) {
    let mut note = |message: String, label: &str| {
        log.push(Diagnostic::note(
            Code::Assumed,
            phrase.span.clone(),
            message,
            label,
        ));
    };
    for own in &heard.own_words {
        let near = near(own);
        let or = if near.is_empty() {
            String::new()
        } else {
            format!(" (known is {})", names::either(&near))
        };
        note(
            format!("`{own}` is taken as your own words: nothing is checked for it{or}"),
            "your own words",
        );
    }
    if !heard.passed_over.is_empty() {
        let known: Vec<&str> = heard.known.iter().map(|k| k.name).collect();
        let passed: Vec<&str> = heard.passed_over.iter().map(String::as_str).collect();
        note(
            format!(
                "`{}` is taken as {}: nothing is checked for {}",
                phrase.value.trim(),
                known.join(" and "),
                names::either(&passed)
            ),
            "understood in part",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::spanned::Document;
    use crate::source::Source;
    use std::sync::Arc;

    fn read(text: &str) -> (Vec<Condition>, Vec<Diagnostic>) {
        let source = Arc::new(Source {
            name: "b.toml".into(),
            text: text.into(),
        });
        let mut log = Vec::new();
        let document = Document::parse(&source, &mut log);
        let mut root = document.table("a brief");
        let found = conditions(&mut root, &mut log);
        (found, log)
    }

    #[test]
    fn one_phrase_may_hold_several_conditions_and_her_words_are_kept() {
        let (found, log) = read("conditions = [\"bad knees and high BP\", \"wrist pain\"]");
        let names: Vec<&str> = found.iter().map(|c| c.name.as_str()).collect();
        assert_eq!(names, ["knee pain", "high blood pressure", "wrist pain"]);
        assert_eq!(found[0].said.as_deref(), Some("bad knees and high BP"));
        assert_eq!(found[2].said, None);
        assert_eq!(log, []);
    }

    #[test]
    fn what_is_said_twice_is_there_once_and_the_stronger_treatment_stands() {
        let (found, _) = read(
            "conditions = [\"sore wrists\", { name = \"carpal tunnel\", replace = true }, { name = \"knees\", leave_out = true }]",
        );
        let told: Vec<(&str, Treatment)> = found
            .iter()
            .map(|c| (c.name.as_str(), c.treatment))
            .collect();
        assert_eq!(
            told,
            [
                ("wrist pain", Treatment::Replaced),
                ("knee pain", Treatment::LeftOut)
            ]
        );
    }

    #[test]
    fn what_is_not_understood_is_her_own_words_with_a_note() {
        let (found, log) = read("conditions = [\"Raynaud\", \"sore wrists bunionette\"]");
        assert_eq!(found[0].name, "Raynaud");
        assert!(found[0].known().is_none());
        assert_eq!(log.len(), 2);
        assert!(log[0].message.contains("nothing is checked for it"));
        assert!(log[1].message.contains("`bunionette`"));
    }
}
