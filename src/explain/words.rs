//! A demand back to its sentence, in the teacher's words.

use crate::compile::Compiled;
use crate::rules::ledger::Entry;

/// The sentence of demand `k`, with the line of the brief that asked for it where there is one.
pub fn sentence(compiled: &Compiled, k: usize) -> String {
    let entry = &compiled.ledger.entries[k];
    match &entry.span {
        Some(span) => format!("{} (line {})", plain(entry), span.line()),
        None => plain(entry),
    }
}

/// The sentence, or the name of its rule where a rule left it empty.
fn plain(entry: &Entry) -> String {
    if entry.sentence.is_empty() {
        entry.rule.title.to_owned()
    } else {
        entry.sentence.clone()
    }
}

/// The sentences of some demands, without repeats, in their order.
pub fn sentences(compiled: &Compiled, demands: &[usize]) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    for &k in demands {
        let text = sentence(compiled, k);
        if !said.contains(&text) {
            said.push(text);
        }
    }
    said
}
