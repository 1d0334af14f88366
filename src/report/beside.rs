//! One order beside another in a few words: stops, transitions, wishes, and what it counts for all in all.

use crate::compile::Compiled;
use crate::explain::savings::{Judged, savings};
use crate::lesson::wording::{count, length};

/// How `other` fares beside `one`: "1 stop more, 12 s less of transitions". Empty where stops, time and rules are the same.
pub fn beside(one: Judged<'_>, other: Judged<'_>) -> String {
    let s = savings(other, one);
    let mut parts = Vec::new();
    let mut say = |n: i64, text: String, more: &str, less: &str| {
        if n != 0 {
            parts.push(format!("{text} {}", if n > 0 { more } else { less }));
        }
    };
    say(
        s.musts,
        count(
            s.musts.abs(),
            "rule that has to hold",
            "rules that have to hold",
        ),
        "more kept",
        "fewer kept",
    );
    say(
        s.stops,
        count(s.stops.abs(), "stop", "stops"),
        "more",
        "fewer",
    );
    say(
        s.changeover,
        length(s.changeover.abs()),
        "more of transitions",
        "less of transitions",
    );
    say(
        s.wishes,
        count(s.wishes.abs(), "rule", "rules"),
        "fewer kept",
        "more kept",
    );
    parts.join(", ")
}

/// By how many seconds of the score one order is worse than another, in words, where the score counts in seconds.
pub fn counted(compiled: &Compiled, score: i64) -> Option<String> {
    (compiled.score_per_second == 100).then(|| length(score))
}
