//! Where reading ends: at the mistake after so many. The others are most likely of the same kind, each costs a look for what may be meant,
//! and nobody reads a thousand of them.

use crate::diagnostic::{Code, Diagnostic};
use crate::sizes::MISTAKES;
use crate::source::Span;

/// Whether a text has had its share of mistakes.
fn enough(log: &[Diagnostic]) -> bool {
    log.len() >= MISTAKES && log.iter().filter(|d| d.is_mistake()).count() >= MISTAKES
}

/// Whether reading has ended for it.
pub fn ended(log: &[Diagnostic]) -> bool {
    log.iter().any(|d| d.code == Code::TooMany)
}

/// The same as [`enough`] at a place from which on nothing is read then, which is told, once.
pub fn ends_at(place: impl FnOnce() -> Span, log: &mut Vec<Diagnostic>) -> bool {
    if !enough(log) {
        return false;
    }
    if !ended(log) {
        log.push(Diagnostic::mistake(
            Code::TooMany,
            place(),
            format!(
                "{MISTAKES} mistakes were found before this place; from here on nothing was read"
            ),
            "read up to here",
            "mend the others first",
        ));
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Source;
    use std::sync::Arc;

    #[test]
    fn reading_ends_after_so_many_mistakes_and_says_so_once() {
        let source = Arc::new(Source {
            name: "a".into(),
            text: "a".into(),
        });
        let place = || Span::new(&source, 0..1);
        let note = Diagnostic::note(Code::Assumed, place(), "m", "l");
        let mistake = Diagnostic::mistake(Code::UnknownKey, place(), "m", "l", "x");
        let mut log = vec![note; MISTAKES];
        log.extend(vec![mistake.clone(); MISTAKES - 1]);
        assert!(!ends_at(place, &mut log));
        log.push(mistake);
        assert!(ends_at(place, &mut log) && ends_at(place, &mut log));
        assert_eq!(log.len(), 2 * MISTAKES + 1);
    }
}
