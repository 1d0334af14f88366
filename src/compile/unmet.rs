//! What no order can meet, with movements of the catalogue that would help.

use crate::brief::Brief;
use crate::model::apparatus::Apparatus;
use crate::model::caution::Caution;
use crate::model::movement::{Movement, Phase, RegionLoad, Spine};
use crate::problem::demand::Kind;
use crate::rules::counterpose::Counterpose;
use crate::rules::longest_load::{LongestLoad, WRISTS};
use crate::rules::posting::Posting;
use crate::rules::recovery::Recovery;
use crate::rules::rule::Rule as _;
use crate::rules::subject::{LoadedRegion, Subject};
use crate::rules::warm_up::WarmUp;

/// How many movements are named as a help.
const NAMED: usize = 3;

/// Adds to the posting what no order can meet for want of a movement, and names movements in the remedies of wishes that one more movement
/// may meet.
pub fn name_helpers(
    brief: &Brief,
    subject: &Subject,
    apparatus: &Apparatus,
    posting: &mut Posting,
) {
    let search = Search {
        brief,
        subject,
        apparatus,
    };
    let mut lacking = Vec::new();
    for (demand, entry) in posting.demands.iter().zip(&mut posting.ledger.entries) {
        match (&demand.kind, entry.rule) {
            (Kind::Follow(f), Counterpose::NAME) => {
                let Some(&first) = f.trigger.first() else {
                    continue;
                };
                let help = search.add_one_of(&search.that_round_the_back(first));
                if f.remedy.is_empty() {
                    let name = &subject.movement(first).name;
                    lacking.push(format!(
                        "nothing on the list rounds the back after {name}: {help}"
                    ));
                }
                entry.remedy = help;
            }
            (Kind::Recovery(d), Recovery::NAME) => {
                let loaded = subject.loaded(brief.rules.recovery.load);
                if let Some(help) = search.that_free(&d.steps, &loaded) {
                    entry.remedy = format!("{help} between, or allow a shorter rest");
                }
            }
            (Kind::Longest(d), LongestLoad::NAME) => {
                let rule = &brief.rules.longest_load;
                let regions = rule.regions.iter();
                let loaded: Vec<LoadedRegion> = regions
                    .flat_map(|r| rule.watched(subject, &r.region))
                    .collect();
                if let Some(help) = search.that_free(&d.steps, &loaded) {
                    entry.remedy = format!("{help} between, or do fewer repetitions");
                }
            }
            (Kind::Window(_), WarmUp::NAME) => {
                let help = search.add_one_of(
                    &search.helpers(None, |m| m.phases.contains(&Phase::WarmUp) && !m.rest),
                );
                entry.remedy = format!("{help}, or do more repetitions before it");
            }
            _ => {}
        }
    }
    for sentence in lacking {
        posting.unmet(sentence);
    }
}

/// Where movements that would help are looked for.
struct Search<'a> {
    brief: &'a Brief,
    subject: &'a Subject<'a>,
    apparatus: &'a Apparatus,
}

impl Search<'_> {
    /// "add one of A, B, C", or that there is none.
    fn add_one_of(&self, names: &[String]) -> String {
        match names {
            [] if self.brief.conditions.is_empty() => {
                "no known movement would do on this machine".to_string()
            }
            [] => {
                "no known movement would do on this machine for everybody in the room".to_string()
            }
            [one] => format!("add {one}"),
            more => format!("add one of {}", more.join(", ")),
        }
    }

    /// What rounds the back and bends it no further; nothing where rounding is not for somebody in the room, however little of it.
    fn that_round_the_back(&self, after: usize) -> Vec<String> {
        if self.brief.cautions().contains(&Caution::DeepFlexion) {
            return Vec::new();
        }
        let rule = &self.brief.rules.counterpose;
        self.helpers(Some(after), |m| {
            m.degree(Spine::Flexion) >= rule.flexion.max(1)
                && m.degree(Spine::Extension) < rule.extension.max(1)
        })
    }

    /// What leaves the part of the body free that all these steps load, to stand between two of them.
    fn that_free(&self, steps: &[usize], loaded: &[LoadedRegion]) -> Option<String> {
        let region = &loaded.iter().find(|r| r.steps() == steps)?.region;
        let found = self.helpers(steps.first().copied(), |m| {
            m.phases.contains(&Phase::Main) && !m.rest && frees(m, region)
        });
        Some(self.add_one_of(&found))
    }

    /// Movements that would do, fit the machine and are not on the list, and that no condition in the room touches: those that start where
    /// `after` ends first, then the gentler.
    fn helpers(&self, after: Option<usize>, would_do: impl Fn(&Movement) -> bool) -> Vec<String> {
        let end = after.map(|step| self.subject.movement(step).end.as_str());
        let class = self.subject.class;
        let mut found: Vec<&Movement> = self
            .brief
            .catalogue
            .iter()
            .filter(|m| would_do(m) && self.apparatus.cannot_serve(m).is_empty())
            .filter(|m| class.movements.iter().all(|on| on.id != m.id))
            .filter(|m| !self.brief.is_met(m))
            .collect();
        found.sort_by_key(|m| {
            (
                end.is_some_and(|end| m.start != end),
                self.needs_setting(m),
                !m.phases.contains(&Phase::Main),
                m.level,
                m.cautions.len(),
                m.id.clone(),
            )
        });
        found.iter().take(NAMED).map(|m| m.name.clone()).collect()
    }

    /// Whether a movement wants something (a box, a board, straps) otherwise than the machine has it at the start.
    fn needs_setting(&self, m: &Movement) -> bool {
        m.facets.iter().any(|need| {
            self.apparatus.facet(&need.facet).is_some_and(|k| {
                let facet = &self.apparatus.facets[k];
                !need.allowed.contains(&facet.values[facet.start])
            })
        })
    }
}

/// How positions begin in which the hands bear weight.
const ON_THE_HANDS: [&str; 4] = ["hands and knees", "hands on", "plank", "side support"];

/// Whether a movement does not load a part of the body at all: what is a rest for it loads it neither much nor little.
fn frees(m: &Movement, region: &str) -> bool {
    let free = |loads: &[RegionLoad]| {
        loads
            .iter()
            .all(|l| l.region != region || l.fraction <= 0.0)
    };
    let on_the_hands = || {
        let rests = |p: &String| ON_THE_HANDS.iter().any(|word| p.starts_with(word));
        m.cautions.contains(&Caution::WristLoad) || rests(&m.start) || rests(&m.end)
    };
    free(&m.loads)
        && m.layers.iter().all(|l| free(&l.loads))
        && !(region == WRISTS && on_the_hands())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::movement::LoadSide;
    use crate::rules::sample::{movement, with_load};

    /// Source: common practice, no source: hands and knees are weight on the hands, however little.
    #[test]
    fn what_bears_a_little_weight_on_the_hands_is_no_rest_for_the_wrists() {
        assert!(!frees(
            &with_load("cat", WRISTS, 0.15, LoadSide::Both),
            WRISTS
        ));
        let mut kneeling = movement("reach");
        kneeling.start = "hands and knees facing the bar".into();
        assert!(!frees(&kneeling, WRISTS));
        let mut marked = movement("stretch");
        marked.cautions = vec![Caution::WristLoad];
        assert!(!frees(&marked, WRISTS));
        assert!(frees(
            &with_load("legs", "quadriceps", 0.9, LoadSide::Both),
            WRISTS
        ));
    }
}
