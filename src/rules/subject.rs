//! What the rules read of a class: its steps by target, their names on paper, the sides that belong together, the loads.

use super::target::Target;
use crate::model::class::{Class, ClassStep};
use crate::model::movement::{LoadSide, Movement};
use crate::model::region::region;
use crate::problem::step::Side;

/// What the rules need to know of a block or series.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BlockFacts {
    /// Its name.
    pub name: String,
    /// Fixed order.
    pub ordered: bool,
    /// Done on one side and then on the other.
    pub series: bool,
    /// How many times the whole block is done.
    pub rounds: u32,
}

/// A class as the rules see it.
#[derive(Debug, Clone, Copy)]
pub struct Subject<'a> {
    /// The steps and movements.
    pub class: &'a Class,
    /// Blocks, same index as in the brief.
    pub blocks: &'a [BlockFacts],
    /// Keys of the facets of the problem, in its order; the first is `springs`.
    pub facets: &'a [String],
    /// Whether a condition of somebody in the room touches weight on bent wrists.
    pub wrist_care: bool,
    /// `free[step][facet]`: whether a step has a choice there, so that the two sides of its movement could differ; `None`: as if it had
    /// one everywhere.
    pub free: Option<&'a [Vec<bool>]>,
    /// Minutes of the class, if the brief gives them.
    pub minutes: Option<f64>,
    /// The side that leads, if the brief says.
    pub first_side: Option<Side>,
}

/// The two sides of one movement in one round, first side first as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SidePair {
    /// Step on the left.
    pub left: usize,
    /// Step on the right.
    pub right: usize,
}

/// One round of a series: its two runs, step by step in the order written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SeriesRound {
    /// Index of the block.
    pub block: usize,
    /// Round, from 1.
    pub round: u32,
    /// Steps of the run that is written first.
    pub first: Vec<usize>,
    /// Steps of the other run.
    pub second: Vec<usize>,
}

/// One of the two runs of a series.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Run {
    /// Index of the block.
    pub block: usize,
    /// Whether it is the run of the side that is written second.
    pub second: bool,
}

impl Subject<'_> {
    /// The movement of a step.
    pub fn movement(&self, step: usize) -> &Movement {
        &self.class.movements[self.class.steps[step].movement]
    }

    /// The steps that must be done (no breathers), in the order written.
    pub fn asked(&self) -> impl Iterator<Item = (usize, &ClassStep)> {
        self.class
            .steps
            .iter()
            .enumerate()
            .filter(|(_, s)| s.entry.is_some())
    }

    /// The breathers.
    pub fn breathers(&self) -> impl Iterator<Item = usize> {
        (0..self.class.steps.len()).filter(|&i| self.class.steps[i].entry.is_none())
    }

    /// Steps of a target that must be done, in the order written.
    pub fn steps_of(&self, target: &Target) -> Vec<usize> {
        self.asked()
            .filter(|&(i, s)| match target {
                Target::Movement { id, side } => {
                    self.movement(i).id == *id && side.is_none_or(|side| s.side == side)
                }
                Target::Block(b) => s.block == Some(*b),
            })
            .map(|(i, _)| i)
            .collect()
    }

    /// Steps of the target's first round, in the order written.
    pub fn first_round_of(&self, target: &Target) -> Vec<usize> {
        let steps = self.steps_of(target);
        let first = steps.iter().map(|&i| self.class.steps[i].round).min();
        steps
            .into_iter()
            .filter(|&i| Some(self.class.steps[i].round) == first)
            .collect()
    }

    /// A target's name on paper.
    pub fn target_name(&self, target: &Target) -> String {
        match target {
            Target::Movement { id, side } => {
                let name = self
                    .class
                    .movements
                    .iter()
                    .find(|m| m.id == *id)
                    .map_or(id.as_str(), |m| m.name.as_str());
                match side {
                    Some(side) => with_side(name, *side),
                    None => name.to_string(),
                }
            }
            Target::Block(b) => format!("the block {}", self.blocks[*b].name),
        }
    }

    /// A step's name on paper: "side splits, left", "footwork, round 2".
    pub fn name(&self, step: usize) -> String {
        let s = &self.class.steps[step];
        let name = with_side(&self.movement(step).name, s.side);
        if s.round > 1 {
            format!("{name}, round {}", s.round)
        } else {
            name
        }
    }

    /// The two sides of each movement outside of series: the k-th left with the k-th right, as written.
    pub fn side_pairs(&self) -> Vec<SidePair> {
        let mut ids: Vec<&str> = Vec::new();
        for (i, s) in self.asked() {
            let id = self.movement(i).id.as_str();
            if s.side != Side::Both && !self.in_series(i) && !ids.contains(&id) {
                ids.push(id);
            }
        }
        let mut pairs = Vec::new();
        for id in ids {
            let on = |side: Side| -> Vec<usize> {
                self.asked()
                    .filter(|&(i, s)| {
                        s.side == side && self.movement(i).id == id && !self.in_series(i)
                    })
                    .map(|(i, _)| i)
                    .collect()
            };
            pairs.extend(
                on(Side::Left)
                    .into_iter()
                    .zip(on(Side::Right))
                    .map(|(left, right)| SidePair { left, right }),
            );
        }
        pairs
    }

    /// Whether a step belongs to a series.
    pub fn in_series(&self, step: usize) -> bool {
        self.class.steps[step]
            .block
            .is_some_and(|b| self.blocks[b].series)
    }

    /// The rounds of all series. An entry's steps are split in half: the earlier ones as written are its first run.
    pub fn series(&self) -> Vec<SeriesRound> {
        let mut found = Vec::new();
        for (b, block) in self.blocks.iter().enumerate() {
            if !block.series {
                continue;
            }
            for round in self.block_rounds(b) {
                let steps = round.steps;
                let mut first = Vec::new();
                let mut second = Vec::new();
                for (place, &i) in steps.iter().enumerate() {
                    let same =
                        |&&j: &&usize| self.class.steps[j].entry == self.class.steps[i].entry;
                    let count = steps.iter().filter(same).count();
                    let earlier = steps[..place].iter().filter(same).count();
                    if 2 * earlier < count {
                        first.push(i);
                    } else {
                        second.push(i);
                    }
                }
                found.push(SeriesRound {
                    block: b,
                    round: round.round,
                    first,
                    second,
                });
            }
        }
        found
    }

    /// For each step the run of the series in which it stands, whatever the round; `None` outside of series.
    pub fn runs(&self) -> Vec<Option<Run>> {
        let mut found = vec![None; self.class.steps.len()];
        for series in self.series() {
            for (steps, second) in [(&series.first, false), (&series.second, true)] {
                for &i in steps {
                    found[i] = Some(Run {
                        block: series.block,
                        second,
                    });
                }
            }
        }
        found
    }

    /// The rounds of a block, each with its steps in the order written. A block that is done once is one round, whatever the rounds
    /// of the movements in it.
    pub fn block_rounds(&self, block: usize) -> Vec<BlockRound> {
        let steps = self.steps_of(&Target::Block(block));
        if steps.is_empty() {
            return Vec::new();
        }
        if self.blocks[block].rounds <= 1 {
            return vec![BlockRound { round: 1, steps }];
        }
        let mut rounds: Vec<u32> = steps.iter().map(|&i| self.class.steps[i].round).collect();
        rounds.sort_unstable();
        rounds.dedup();
        rounds
            .into_iter()
            .map(|round| BlockRound {
                round,
                steps: steps
                    .iter()
                    .copied()
                    .filter(|&i| self.class.steps[i].round == round)
                    .collect(),
            })
            .collect()
    }

    /// Load of a region (fraction of maximum, 0 to 1) on one side of the body while the step is done: the highest among its layers.
    /// `left` is `None` for a region without sides.
    pub fn load(&self, step: usize, name: &str, left: Option<bool>) -> f64 {
        let s = &self.class.steps[step];
        let m = self.movement(step);
        let carries = |on: LoadSide| match (s.side, left) {
            (Side::Both, _) | (_, None) => true,
            (Side::Left, Some(left)) => on == LoadSide::Both || (on == LoadSide::Working) == left,
            (Side::Right, Some(left)) => on == LoadSide::Both || (on == LoadSide::Working) != left,
        };
        let sum = |loads: &[crate::model::movement::RegionLoad]| {
            loads
                .iter()
                .filter(|l| l.region == name && carries(l.on))
                .map(|l| l.fraction)
                .fold(0.0, f64::max)
        };
        s.doses
            .iter()
            .filter_map(|d| m.layers.get(d.layer))
            .map(|layer| {
                if layer.loads.iter().any(|l| l.region == name) {
                    sum(&layer.loads)
                } else {
                    sum(&m.loads)
                }
            })
            .fold(
                if s.doses.is_empty() {
                    sum(&m.loads)
                } else {
                    0.0
                },
                f64::max,
            )
    }

    /// The regions loaded by any step, each side of a paired region on its own unless no step tells them apart: then the
    /// pair counts as one, so that work with both arms is not counted twice. `least`: fraction from which a load counts.
    pub fn loaded(&self, least: f64) -> Vec<LoadedRegion> {
        let mut names: Vec<&str> = Vec::new();
        for (i, _) in self.asked() {
            let m = self.movement(i);
            for load in m.loads.iter().chain(m.layers.iter().flat_map(|l| &l.loads)) {
                if !names.contains(&load.region.as_str()) {
                    names.push(&load.region);
                }
            }
        }
        names.sort_unstable();
        let mut found = Vec::new();
        for name in names {
            let members = |left: Option<bool>| -> Vec<(usize, f64)> {
                (0..self.class.steps.len())
                    .map(|i| (i, self.load(i, name, left)))
                    .filter(|&(_, load)| load > 0.0 && load >= least)
                    .collect()
            };
            if region(name).is_some_and(|r| r.paired) {
                let (left, right) = (members(Some(true)), members(Some(false)));
                if left == right {
                    found.push(LoadedRegion::new(name, name.to_string(), left));
                } else {
                    found.push(LoadedRegion::new(name, format!("left {name}"), left));
                    found.push(LoadedRegion::new(name, format!("right {name}"), right));
                }
            } else {
                found.push(LoadedRegion::new(name, name.to_string(), members(None)));
            }
        }
        found.retain(|r| !r.loads.is_empty());
        found
    }
}

/// One round of a block.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BlockRound {
    /// Round, from 1.
    pub round: u32,
    /// Its steps, in the order written.
    pub steps: Vec<usize>,
}

/// A region on one side of the body, or on both where no step tells them apart, with the steps that load it.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadedRegion {
    /// Key of the region.
    pub region: String,
    /// Its name with its side: "left calves".
    pub name: String,
    /// Step and fraction of maximum, 0 to 1, in the order written.
    pub loads: Vec<(usize, f64)>,
}

impl LoadedRegion {
    fn new(region: &str, name: String, loads: Vec<(usize, f64)>) -> Self {
        Self {
            region: region.to_string(),
            name,
            loads,
        }
    }

    /// The steps.
    pub fn steps(&self) -> Vec<usize> {
        self.loads.iter().map(|&(i, _)| i).collect()
    }
}

/// A name with its side: "side splits, left".
fn with_side(name: &str, side: Side) -> String {
    match side {
        Side::Both => name.to_string(),
        Side::Left => format!("{name}, left"),
        Side::Right => format!("{name}, right"),
    }
}
