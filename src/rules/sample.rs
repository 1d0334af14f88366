//! Small classes for the tests of the rules, written by hand.

use super::ledger::RuleName;
use super::posting::Posting;
use super::subject::{BlockFacts, Subject};
use crate::model::class::{Class, ClassStep, Dose};
use crate::model::movement::{
    BodyNotes, Layer, LoadSide, MoreSprings, Movement, Phase, RegionLoad, RepUnit, Repetitions,
    Sides, Spine, SpringNeed,
};
use crate::problem::demand::Kind;
use crate::problem::step::Side;
use crate::source::{Source, Span};
use std::sync::Arc;

/// A span of nothing.
pub fn nowhere() -> Span {
    Span::new(
        &Arc::new(Source {
            name: "sample".into(),
            text: String::new(),
        }),
        0..0,
    )
}

/// A main movement that asks for nothing: both sides, neutral, no loads, any springs, supine, ten repetitions of 6 s.
pub fn movement(id: &str) -> Movement {
    Movement {
        id: id.into(),
        name: id.into(),
        other_names: Vec::new(),
        family: "sample".into(),
        how: String::new(),
        cues: Vec::new(),
        notes: BodyNotes::default(),
        layers: vec![Layer {
            name: "full form".into(),
            repetitions: Repetitions {
                fewest: 5,
                usual: 10,
                most: 12,
                unit: RepUnit::Repetition,
                seconds: 6.0,
                each_way: false,
            },
            offered: false,
            grip: None,
            level: None,
            loads: Vec::new(),
        }],
        start: "supine".into(),
        end: "supine".into(),
        sides: Sides::Both,
        springs: SpringNeed::Any { free: false },
        more_springs: MoreSprings::Harder,
        more_springs_note: String::new(),
        facets: Vec::new(),
        teach: 30.0,
        teach_again: 10.0,
        loads: Vec::new(),
        spine: Vec::new(),
        effort: 3.0,
        level: 1,
        phases: vec![Phase::Main],
        prepared_by: Vec::new(),
        easier: Vec::new(),
        harder: Vec::new(),
        cautions: Vec::new(),
        rest: false,
        span: nowhere(),
    }
}

/// The same in these phases.
pub fn in_phases(id: &str, phases: &[Phase]) -> Movement {
    Movement {
        phases: phases.to_vec(),
        ..movement(id)
    }
}

/// The same with one action of the spine.
pub fn with_spine(id: &str, action: Spine, degree: u8) -> Movement {
    Movement {
        spine: vec![(action, degree)],
        ..movement(id)
    }
}

/// The same with one load.
pub fn with_load(id: &str, region: &str, fraction: f64, on: LoadSide) -> Movement {
    Movement {
        loads: vec![RegionLoad {
            region: region.into(),
            fraction,
            on,
        }],
        ..movement(id)
    }
}

/// A class that grows step by step.
#[derive(Debug, Default)]
pub struct Sample {
    /// The class.
    pub class: Class,
    /// Its blocks.
    pub blocks: Vec<BlockFacts>,
    facets: Vec<String>,
    entries: usize,
}

impl Sample {
    /// An empty class on a machine with springs and a bar.
    pub fn new() -> Self {
        Self {
            facets: vec!["springs".into(), "bar".into()],
            ..Self::default()
        }
    }

    fn step(
        &mut self,
        m: usize,
        side: Side,
        round: u32,
        entry: Option<usize>,
        block: Option<usize>,
    ) {
        self.class.steps.push(ClassStep {
            movement: m,
            side,
            round,
            entry,
            block,
            doses: vec![Dose {
                layer: 0,
                count: 10,
                seconds: 60.0,
            }],
            teach: 30.0,
            span: None,
        });
    }

    /// One entry of the list, done once: a step of 90 s.
    pub fn both(mut self, m: Movement) -> Self {
        self.class.movements.push(m);
        let entry = self.next();
        self.step(
            self.class.movements.len() - 1,
            Side::Both,
            1,
            Some(entry),
            None,
        );
        self
    }

    /// One entry done on the left and then on the right, in the given number of rounds.
    pub fn each(mut self, m: Movement, rounds: u32) -> Self {
        self.class.movements.push(m);
        let entry = self.next();
        for round in 1..=rounds {
            for side in [Side::Left, Side::Right] {
                self.step(
                    self.class.movements.len() - 1,
                    side,
                    round,
                    Some(entry),
                    None,
                );
            }
        }
        self
    }

    /// A series of one-sided movements.
    pub fn series(mut self, name: &str, movements: Vec<Movement>) -> Self {
        let first = self.class.movements.len();
        let block = self.blocks.len();
        self.blocks.push(BlockFacts {
            name: name.into(),
            ordered: true,
            series: true,
            rounds: 1,
        });
        let count = movements.len();
        self.class.movements.extend(movements);
        let entry = self.entries;
        self.entries += count;
        for side in [Side::Left, Side::Right] {
            for k in 0..count {
                self.step(first + k, side, 1, Some(entry + k), Some(block));
            }
        }
        self
    }

    /// A breather.
    pub fn breather(mut self, m: Movement) -> Self {
        self.class.movements.push(m);
        self.step(self.class.movements.len() - 1, Side::Both, 1, None, None);
        self
    }

    fn next(&mut self) -> usize {
        self.entries += 1;
        self.entries - 1
    }

    /// The class as the rules see it.
    pub fn subject(&self) -> Subject<'_> {
        Subject {
            class: &self.class,
            blocks: &self.blocks,
            facets: &self.facets,
            wrist_care: false,
            free: None,
            minutes: None,
            first_side: None,
        }
    }
}

/// Every demand of a rule with its weight, written short: "0<1 3000" for a soft precede.
pub fn posted(posting: &Posting, rule: RuleName) -> Vec<String> {
    assert_eq!(posting.demands.len(), posting.ledger.entries.len());
    posting
        .demands
        .iter()
        .zip(&posting.ledger.entries)
        .filter(|(_, e)| e.rule == rule)
        .map(|(d, _)| {
            let kind = match &d.kind {
                Kind::Precede(p) => format!("{}<{}", p.a, p.b),
                Kind::Contiguous(c) => {
                    let order = if c.ordered { "ordered" } else { "free" };
                    format!("run {:?} {order} +{}", c.steps, c.within)
                }
                Kind::Place(p) => format!("{} at {}..{}", p.step, p.min, p.max),
                Kind::Window(w) => format!("{} starts {}..{}", w.step, w.from, w.to),
                Kind::Follow(f) => format!("{:?} then {:?} in {}", f.trigger, f.remedy, f.within),
                Kind::Recovery(r) => format!("rest {:?} {}", r.steps, r.seconds),
                Kind::Longest(l) => format!("longest {:?} {} {}", l.steps, l.limit, l.rest),
                Kind::AtMost(a) => format!("facet {} {} times", a.facet, a.changes),
                Kind::Same(s) => format!("same {:?} {}", s.steps, s.facet),
                Kind::Neighbours(n) => format!("{:?} {:?}..{:?}", n.pairs, n.least, n.most),
                Kind::Fits(f) => format!("by {}", f.total),
                Kind::Fatigue(f) => format!("{} {:?} under {}", f.region, f.loads, f.ceiling),
                Kind::Peak(p) => format!("{} in {}..{}", p.step, p.from, p.to),
            };
            match d.weight {
                Some(weight) => format!("{kind} {weight}"),
                None => format!("{kind} must"),
            }
        })
        .collect()
}
