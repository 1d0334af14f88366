//! Files of labels: what a studio calls the springs of a machine, without a file for the whole machine.
//!
//! ```toml
//! [harbour]            # the id of a machine
//! heavy = "brick"      # a class of its springs, or the label that it has, and the label that it gets
//! ```

use std::sync::Arc;

use crate::diagnostic::{Code, Diagnostic};
use crate::model::apparatus::Apparatus;
use crate::read::enough::ends_at;
use crate::read::names::{fold, nearest};
use crate::read::spanned::{Document, unknown_word};
use crate::source::Source;

/// Gives the springs of these machines the labels of files.
pub fn labels(files: &[Arc<Source>], machines: &mut [Apparatus], log: &mut Vec<Diagnostic>) {
    for file in files {
        let document = Document::parse(file, log);
        let mut root = document.table("a file of labels");
        for (id, item) in root.entries() {
            if ends_at(|| id.span.clone(), log) {
                return;
            }
            let found = machines
                .iter_mut()
                .find(|m| fold(&m.id) == fold(&id.value) || fold(&m.name) == fold(&id.value));
            match found {
                Some(machine) => {
                    if let Some(mut table) = item.table("the labels of a machine", log) {
                        of_machine(machine, table.entries(), log);
                    }
                }
                None => {
                    let ids: Vec<&str> = machines.iter().map(|m| m.id.as_str()).collect();
                    log.push(unknown_word("machine", &id, &ids));
                }
            }
        }
    }
}

/// What a file of labels says: machine, spring and label, as written.
pub fn labels_in(file: &Arc<Source>) -> Vec<(String, String, String)> {
    let mut log = Vec::new();
    let document = Document::parse(file, &mut log);
    let mut found = Vec::new();
    for (machine, item) in document.table("a file of labels").entries() {
        let table = item.table("the labels of a machine", &mut log);
        for (spring, label) in table.map_or_else(Vec::new, |mut t| t.entries()) {
            let label = label.text(&mut log);
            found.extend(label.map(|l| (machine.value.clone(), spring.value, l.value)));
        }
    }
    found
}

fn of_machine(
    machine: &mut Apparatus,
    entries: Vec<(
        crate::read::spanned::At<String>,
        crate::read::spanned::Item<'_>,
    )>,
    log: &mut Vec<Diagnostic>,
) {
    // What is written are classes and labels as they were before this file.
    let before = machine.springs.classes.clone();
    for (class, label) in entries {
        if ends_at(|| class.span.clone(), log) {
            return;
        }
        let is = |name: &str| fold(name) == fold(&class.value);
        let found = (before.iter().position(|c| is(&c.name)))
            .or_else(|| before.iter().position(|c| is(&c.label)));
        let Some(k) = found else {
            let known: Vec<&str> = (before.iter())
                .flat_map(|c| [c.name.as_str(), c.label.as_str()])
                .collect();
            let mut mistake = unknown_word("spring", &class, &known);
            if nearest(&class.value, &known).is_empty() {
                mistake.message = format!("{} has no spring `{}`", machine.name, class.value);
            }
            log.push(mistake);
            continue;
        };
        let Some(label) = label.name(log) else {
            continue;
        };
        if label.value.trim().is_empty() {
            log.push(Diagnostic::mistake(
                Code::OutOfRange,
                label.span,
                "a label without letters could not be read on paper",
                "empty",
                "write what your studio calls this spring",
            ));
            continue;
        }
        machine.springs.classes[k].label = label.value.clone();
        let same = |c: &&crate::model::springs::SpringClass| fold(&c.label) == fold(&label.value);
        if machine.springs.classes.iter().filter(same).count() > 1 {
            log.push(Diagnostic::mistake(
                Code::Duplicate,
                label.span,
                format!(
                    "two springs of {} would be called `{}`",
                    machine.name, label.value
                ),
                "the second",
                "give one of them another label",
            ));
        }
    }
}
