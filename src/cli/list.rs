//! `segue list` and `segue show`: the catalogue.

use super::args::{List, PhaseWord, Show, SpineWord};
use super::ending::Refusal;
use super::own;
use super::voice::Voice;
use crate::answer::ending::Ending;
use crate::model::apparatus::Apparatus;
use crate::model::apparatus::BOX;
use crate::model::caution::Caution;
use crate::model::movement::{Movement, Phase, Spine};
use crate::model::region::{REGIONS, region};
use crate::read::brief::Known;
use crate::read::index::Names;
use crate::read::names;
use crate::report::drawn::Drawn;
use crate::report::json::{indented, list::List as Report};
use crate::report::{card, terminal};

/// Prints a line for each movement that passes the filters.
///
/// # Errors
/// Mistakes in the user's files, or a filter that means nothing.
pub fn list(args: &List, voice: Voice) -> Result<Ending, Refusal> {
    let known = own::known(args.own.models.as_deref(), None)?;
    let filter = Filter::new(args, &known).map_err(Refusal::Usage)?;
    let found: Vec<&Movement> = known
        .catalogue
        .iter()
        .filter(|m| filter.passes(m))
        .collect();
    let text = if args.json {
        indented(&Report::new(&found))
    } else {
        found.iter().map(|m| Drawn::line(&card::line(m))).collect()
    };
    voice.answer(&text)?;
    if found.is_empty() {
        voice.complain("no movement matches; remove one of the filters");
        return Ok(Ending::No);
    }
    Ok(Ending::Done)
}

/// Prints all about one movement.
///
/// # Errors
/// Mistakes in the user's files, or a movement that is not known.
pub fn show(args: &Show, voice: Voice) -> Result<Ending, Refusal> {
    let known = own::known(args.own.models.as_deref(), None)?;
    match Names::of(&known.catalogue).movement(&args.id) {
        Ok(movement) => {
            let card = card::card(movement, &known.catalogue, &known.apparatus);
            let text = terminal::sections(&card, voice.columns());
            voice.answer(&text.alone())?;
            Ok(Ending::Done)
        }
        Err(near) => Err(Refusal::Usage(if near.is_empty() {
            format!(
                "no movement is called `{}`; `segue list` lists all",
                args.id
            )
        } else {
            format!(
                "no movement is called `{}`; did you mean {}?",
                args.id,
                names::either(&near)
            )
        })),
    }
}

/// What is asked of a movement.
struct Filter<'a> {
    phase: Option<Phase>,
    region: Option<&'static str>,
    load: Option<(f64, f64)>,
    box_: Option<&'a str>,
    level: Option<u8>,
    spine: Option<Option<Spine>>,
    caution: Option<Option<Caution>>,
    machine: &'a Apparatus,
}

impl<'a> Filter<'a> {
    fn new(args: &'a List, known: &'a Known) -> Result<Self, String> {
        let machine = known
            .apparatus
            .first()
            .ok_or("there is no machine to measure springs on")?;
        Ok(Self {
            phase: args.phase.map(|p| match p {
                PhaseWord::WarmUp => Phase::WarmUp,
                PhaseWord::Main => Phase::Main,
                PhaseWord::CoolDown => Phase::CoolDown,
            }),
            region: args.region.as_deref().map(region_named).transpose()?,
            load: args.load.as_deref().map(range).transpose()?,
            box_: args
                .box_
                .as_deref()
                .map(|b| box_named(b, known))
                .transpose()?,
            level: args.level,
            spine: args.spine.map(|s| match s {
                SpineWord::Flexion => Some(Spine::Flexion),
                SpineWord::Extension => Some(Spine::Extension),
                SpineWord::Rotation => Some(Spine::Rotation),
                SpineWord::SideBend => Some(Spine::SideBend),
                SpineWord::Neutral => None,
            }),
            caution: args.caution.as_deref().map(caution_named).transpose()?,
            machine,
        })
    }

    fn passes(&self, m: &Movement) -> bool {
        let box_of = m
            .facets
            .iter()
            .find(|f| f.facet == BOX)
            .map_or("none", |f| f.allowed[0].as_str());
        let load = || card::preferred_load(m, self.machine);
        self.phase.is_none_or(|p| m.phases.contains(&p))
            && self
                .region
                .is_none_or(|r| m.loads.iter().any(|l| l.region == r))
            && self
                .load
                .is_none_or(|(from, to)| load().is_some_and(|l| from <= l && l <= to))
            && self.box_.is_none_or(|b| box_of == b)
            && self.level.is_none_or(|n| m.level == n)
            && self.spine.is_none_or(|action| match action {
                Some(action) => m.degree(action) > 0,
                None => m.spine.iter().all(|&(_, n)| n == 0),
            })
            && self.caution.is_none_or(|c| match c {
                Some(c) => m.cautions.contains(&c),
                None => m.cautions.is_empty(),
            })
    }
}

fn region_named(name: &str) -> Result<&'static str, String> {
    region(name).map(|r| r.name).ok_or_else(|| {
        let all: Vec<&str> = REGIONS.iter().map(|r| r.name).collect();
        format!(
            "--region: no region is called `{name}`; the regions are {}",
            all.join(", ")
        )
    })
}

fn box_named<'a>(name: &'a str, known: &Known) -> Result<&'a str, String> {
    let mut all: Vec<&str> = known
        .apparatus
        .iter()
        .filter_map(|m| m.facet(BOX).map(|k| &m.facets[k]))
        .flat_map(|f| f.values.iter().map(String::as_str))
        .collect();
    all.sort_unstable();
    all.dedup();
    if all.contains(&name) {
        Ok(name)
    } else {
        Err(format!("--box: `{name}` is not one of {}", all.join(", ")))
    }
}

fn caution_named(name: &str) -> Result<Option<Caution>, String> {
    if name == "none" {
        return Ok(None);
    }
    Caution::WORDS
        .iter()
        .find(|(word, _)| *word == name)
        .map(|&(_, c)| Some(c))
        .ok_or_else(|| {
            let all: Vec<&str> = Caution::WORDS.iter().map(|(w, _)| *w).collect();
            format!("--caution: `{name}` is not one of none, {}", all.join(", "))
        })
}

/// "1..2" or "1.5".
fn range(text: &str) -> Result<(f64, f64), String> {
    let number = |t: &str| {
        t.trim()
            .parse::<f64>()
            .ok()
            .filter(|n| n.is_finite() && *n >= 0.0)
    };
    let ends = match text.split_once("..") {
        Some((from, to)) => number(from).zip(number(to)),
        None => number(text).map(|n| (n, n)),
    };
    ends.filter(|(from, to)| from <= to).ok_or_else(|| {
        format!("--load: `{text}` is not a range of load units; write it as 1..2 or as one number")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_of_loads_has_two_ends_or_one() {
        assert_eq!(range("1..2.5"), Ok((1.0, 2.5)));
        assert_eq!(range("1.5"), Ok((1.5, 1.5)));
        for bad in ["2..1", "", "heavy", "-1..2", "1..", "nan"] {
            assert!(range(bad).is_err(), "{bad}");
        }
    }
}
