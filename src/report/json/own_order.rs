//! Her own order and how far it can be kept: `keep --json`.

use serde::Serialize;

use super::orders::{Beside, Scored};
use super::plan::Plan;
use crate::answer::class::Class;
use crate::answer::kept::OwnOrder;
use crate::exchange::version::{VERSION, Version};

/// How far her own order can be kept: what `keep --json` prints.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Keep {
    /// The version of this format.
    pub segue_keep: Version,
    /// The plan, as `plan --json` prints it.
    pub plan: Plan,
    /// The best one, two, three moves, each better than the one before.
    pub moves: Vec<Moves>,
    /// Whether all choices of up to three moves were looked at.
    pub moves_settled: bool,
    /// Neighbouring pairs of her order that can be kept or not.
    pub pairs: usize,
    /// What it costs to keep more and more of them, from the best order on.
    pub points: Vec<Point>,
    /// Whether there may be better orders for numbers of pairs between two points.
    pub between_open: bool,
    /// So many pairs or more cannot be kept.
    pub impossible_from: Option<usize>,
    /// So many pairs or more were not settled.
    pub open_from: Option<usize>,
    /// Whether somebody asked to stop before all of it was worked out.
    pub interrupted: bool,
}

impl Keep {
    /// What was found about her own order.
    pub fn new(prepared: &Class, found: &OwnOrder) -> Self {
        let compiled = &*prepared.compiled;
        let best = found.curve.points.first().map(|p| (compiled, &p.found));
        let own = (compiled, &found.own.found);
        let moves = found.moves.best.iter().map(|m| Moves {
            pieces: m.pieces.clone(),
            beside_own: Beside::new(own, (compiled, &m.found)),
            order: Scored::new(compiled, &m.found),
            proven: m.proven,
        });
        let points = found.curve.points.iter().map(|p| Point {
            kept: p.kept,
            beside_best: best.map(|best| Beside::new(best, (compiled, &p.found))),
            order: Scored::new(compiled, &p.found),
            proven: p.proven,
        });
        Self {
            segue_keep: VERSION,
            plan: Plan::new(&found.answer, None),
            moves: moves.collect(),
            moves_settled: found.moves.settled,
            pairs: found.curve.pairs,
            points: points.collect(),
            between_open: found.curve.between,
            impossible_from: found.curve.impossible_from,
            open_from: found.curve.open_from,
            interrupted: found.interrupted,
        }
    }
}

/// The best so many moves of her own order.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Moves {
    /// What is taken elsewhere, each its steps in order.
    pub pieces: Vec<Vec<usize>>,
    /// What comes of it less her own order.
    pub beside_own: Beside,
    /// What comes of it.
    pub order: Scored,
    /// Whether no other as many moves are better.
    pub proven: bool,
}

/// The best order that keeps so many pairs.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Point {
    /// Pairs of her order that it keeps.
    pub kept: usize,
    /// This order less the best one.
    pub beside_best: Option<Beside>,
    /// The order.
    pub order: Scored,
    /// Whether nothing that keeps as many is better.
    pub proven: bool,
}
