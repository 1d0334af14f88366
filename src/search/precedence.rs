//! Which step comes before which, as far as demands that must hold say so.
//!
//! **Claim.** In every order that keeps the demands that must hold, if `before[a][b]` and both steps are in use, a stands before b.
//!
//! **Why.** The relation starts from what is said outright (`precede`, stages, the order inside an ordered block, a step pinned to
//! the first or last place) and grows by two rules that keep the claim: it is transitive over steps that must be done; and what
//! must stand before or after one member of a block that is in one piece, and is not of the block, stands so for all its members. Where a
//! step may be left out nothing follows from its place, so both rules go by steps that must be done.
//!
//! **Tested by** `precedence` (every order of random problems, steps left out among them).

use crate::problem::Problem;
use crate::problem::demand::Kind;

/// `before[a][b]`: n by n.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Precedence {
    before: Vec<Vec<bool>>,
}

impl Precedence {
    /// The relation of a problem.
    pub fn of(problem: &Problem) -> Self {
        let n = problem.steps.len();
        let mut before = vec![vec![false; n]; n];
        for (a, row) in before.iter_mut().enumerate() {
            for (b, cell) in row.iter_mut().enumerate() {
                if let (Some(x), Some(y)) = (problem.steps[a].stage, problem.steps[b].stage) {
                    *cell = x < y;
                }
            }
        }
        let mut blocks: Vec<&[usize]> = Vec::new();
        for demand in problem.demands.iter().filter(|d| d.weight.is_none()) {
            match &demand.kind {
                Kind::Precede(d) => before[d.a][d.b] = true,
                Kind::Contiguous(d) => {
                    if d.ordered {
                        for (i, &a) in d.steps.iter().enumerate() {
                            for &b in &d.steps[i + 1..] {
                                before[a][b] = true;
                            }
                        }
                    }
                    if d.within == 0 {
                        blocks.push(&d.steps);
                    }
                }
                Kind::Place(d) => {
                    for other in (0..n).filter(|&o| o != d.step) {
                        if d.max == 1 {
                            before[d.step][other] = true;
                        }
                        if d.min == -1 {
                            before[other][d.step] = true;
                        }
                    }
                }
                Kind::Window(_)
                | Kind::Follow(_)
                | Kind::Recovery(_)
                | Kind::Longest(_)
                | Kind::AtMost(_)
                | Kind::Same(_)
                | Kind::Neighbours(_)
                | Kind::Fits(_)
                | Kind::Fatigue(_)
                | Kind::Peak(_) => {}
            }
        }
        let must: Vec<usize> = (0..n)
            .filter(|&s| problem.steps[s].optional.is_none())
            .collect();
        loop {
            let mut grown = false;
            for &m in &must {
                let after = before[m].clone();
                for (a, row) in before.iter_mut().enumerate() {
                    if a == m || !row[m] {
                        continue;
                    }
                    for (cell, _) in row
                        .iter_mut()
                        .zip(&after)
                        .filter(|(cell, after)| **after && !**cell)
                    {
                        *cell = true;
                        grown = true;
                    }
                }
            }
            for block in &blocks {
                let sure: Vec<usize> = block
                    .iter()
                    .copied()
                    .filter(|&s| problem.steps[s].optional.is_none())
                    .collect();
                for o in (0..n).filter(|o| !block.contains(o)) {
                    let ahead = sure.iter().any(|&m| before[o][m]);
                    let behind = sure.iter().any(|&m| before[m][o]);
                    for &m in *block {
                        if ahead && !before[o][m] {
                            before[o][m] = true;
                            grown = true;
                        }
                        if behind && !before[m][o] {
                            before[m][o] = true;
                            grown = true;
                        }
                    }
                }
            }
            if !grown {
                return Self { before };
            }
        }
    }

    /// Whether a stands before b in every order that uses both.
    pub fn is_before(&self, a: usize, b: usize) -> bool {
        self.before[a][b]
    }
}
