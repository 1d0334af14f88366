//! One order beside another in a few words: rules, stops, transitions, and what it counts for all in all.

use crate::compile::Compiled;
use crate::explain::difference::Difference;
use crate::explain::savings::{Judged, Savings, savings};
use crate::lesson::wording::{count, length};

/// Less of a second is not worth a word, hundredths.
const HALF_A_SECOND: i64 = 50;

/// How much better an order is than another; below 0: worse.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Gain {
    /// Rules kept that have to hold.
    pub musts: i64,
    /// Stops fewer.
    pub stops: i64,
    /// Less of transitions, hundredths.
    pub changeover: i64,
    /// Rules kept that may give way.
    pub rules: i64,
}

impl From<&Savings> for Gain {
    fn from(s: &Savings) -> Self {
        Self {
            musts: s.musts,
            stops: s.stops,
            changeover: s.changeover,
            rules: s.wishes,
        }
    }
}

impl From<&Difference> for Gain {
    fn from(d: &Difference) -> Self {
        Self {
            musts: 0,
            stops: -d.stops,
            changeover: -d.changeover,
            rules: -d.unmet,
        }
    }
}

impl Gain {
    /// What is better: "1 stop fewer, 12 s less of transitions, 2 rules more kept"; empty if nothing is.
    pub fn better(&self) -> String {
        self.said(1, ["more", "fewer", "less"])
    }

    /// What is worse; empty if nothing is.
    pub fn worse(&self) -> String {
        self.said(-1, ["fewer", "more", "more"])
    }

    fn said(&self, sign: i64, [kept, stops, time]: [&str; 3]) -> String {
        let (musts, rules) = (sign * self.musts, sign * self.rules);
        let mut parts = Vec::new();
        if musts > 0 {
            let rules = count(musts, "rule", "rules");
            let have = if musts == 1 { "has" } else { "have" };
            parts.push(format!("{rules} {kept} kept that {have} to hold"));
        }
        if sign * self.stops > 0 {
            let said = count(sign * self.stops, "stop", "stops");
            parts.push(format!("{said} {stops}"));
        }
        if sign * self.changeover >= HALF_A_SECOND {
            let said = length(sign * self.changeover);
            parts.push(format!("{said} {time} of transitions"));
        }
        if rules > 0 {
            parts.push(format!("{} {kept} kept", count(rules, "rule", "rules")));
        }
        parts.join(", ")
    }

    /// What is better, then what is worse; empty where stops, time and rules are the same.
    pub fn first_better(&self) -> String {
        joined(self.better(), self.worse())
    }

    /// What is worse, then what is better.
    pub fn first_worse(&self) -> String {
        joined(self.worse(), self.better())
    }
}

fn joined(first: String, then: String) -> String {
    match (first.is_empty(), then.is_empty()) {
        (false, false) => format!("{first}; but {then}"),
        (true, _) => then,
        (_, true) => first,
    }
}

/// How `other` fares beside `one`: "1 stop fewer; but 12 s more of transitions". Empty where stops, time and rules are the same.
pub fn beside(one: Judged<'_>, other: Judged<'_>) -> String {
    Gain::from(&savings(one, other)).first_better()
}

/// By how many seconds of the score one order is worse than another, in words, where the score counts in seconds.
pub fn counted(compiled: &Compiled, score: i64) -> Option<String> {
    (compiled.score_per_second == 100).then(|| length(score))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_better_and_what_is_worse_stand_on_their_own_sides() {
        let gain = Gain {
            musts: 1,
            stops: 0,
            changeover: -2_100,
            rules: 2,
        };
        assert_eq!(
            gain.first_better(),
            "1 rule more kept that has to hold, 2 rules more kept; but 21 s more of transitions"
        );
        let gain = Gain {
            stops: -1,
            changeover: 700,
            rules: -1,
            ..Gain::default()
        };
        assert_eq!(
            gain.first_worse(),
            "1 stop more, 1 rule fewer kept; but 7 s less of transitions"
        );
        assert_eq!(Gain::default().first_better(), "");
        let hardly = Gain {
            changeover: 30,
            ..Gain::default()
        };
        assert_eq!(hardly.first_better(), "");
    }
}
