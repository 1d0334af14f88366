//! A program to `good_lp` and its backend `microlp`, and what comes back. The only file that knows them, and the only floats.
//!
//! **Scales**, all powers of two, so that nothing is rounded: hundredths of a second are counted in units of [`HUNDREDTHS`], and so are the
//! rows that have them; the cost is divided by what all its coefficients share and then brought near 1000. With them one hundredth is
//! some 2000 times the tolerance of a row (1e-7).
//!
//! **What is a proof.** `microlp` is asked for a gap of 0. It drops a branch once its bound comes within 1e-9 of the best score, in
//! proportion; scores up to [`MOST_SCORE`] then differ by more than that, so that no better whole score is dropped. It takes a column for whole within
//! 1e-6, then rounds it and checks every row again, and searches on where a row fails.
//!
//! **Where it gives up.** About once in ten thousand small programs it runs into a basis that it takes for singular. Rows and columns in another
//! order lead it another way, and the program is the same: it is asked up to [`ATTEMPTS`] times.

use std::time::Instant;

use good_lp::solvers::microlp::microlp;
use good_lp::solvers::{Solution, SolutionStatus};
use good_lp::{
    Expression, ProblemVariables, ResolutionError, SolverModel, Variable, WithTimeLimit, variable,
};
use rand::SeedableRng as _;
use rand::seq::SliceRandom as _;
use rand_chacha::ChaCha8Rng;

use super::program::{Linear, Program, Row, Sense, Unit, Var};

/// Hundredths of a second in a unit of time.
const HUNDREDTHS: f64 = 4096.0;
/// The greatest score, divided by what all costs share, that is told from its neighbours with room to spare.
pub(super) const MOST_SCORE: i64 = 1 << 26;
/// The longest class, hundredths (two days): with it a unit of time has room enough.
pub(super) const MOST_TIME: i64 = 1 << 24;
/// The greatest whole column that the backend takes.
const MOST_WHOLE: i64 = i32::MAX as i64;

/// How often the backend is asked, each time with rows and columns in another order, before its giving up is taken for an answer.
const ATTEMPTS: usize = 10;

/// How it ended.
pub(super) enum Answer {
    /// Values of all columns; `bound`: no solution costs less.
    Found {
        values: Vec<f64>,
        proven: bool,
        bound: Option<i64>,
        nodes: u64,
    },
    /// No solution exists.
    Impossible,
    /// The time was up before one was found.
    Nothing,
    /// The backend gave up, in its words.
    Failed(String),
}

/// What all coefficients of a cost share, at least 1.
pub(super) fn shared(cost: &Linear) -> i64 {
    let mut shared = cost.constant.abs();
    for (_, coefficient) in &cost.terms {
        let (mut a, mut b) = (shared, coefficient.abs());
        while b != 0 {
            (a, b) = (b, a % b);
        }
        shared = a;
    }
    shared.max(1)
}

/// Why a program is beyond the backend, if it is.
pub(super) fn beyond(program: &Program) -> Option<String> {
    let column = program
        .columns
        .iter()
        .find(|c| c.unit == Unit::Whole && c.most > MOST_WHOLE)?;
    Some(format!(
        "a whole number of it could reach {}, and the backend counts to {MOST_WHOLE}",
        column.most
    ))
}

/// The values that cost least, or how else it ended.
pub(super) fn solve(program: &Program, until: Option<Instant>) -> Answer {
    let mut rows: Vec<&Row> = program.rows.iter().collect();
    let mut columns: Vec<usize> = (0..program.columns.len()).collect();
    let mut die = ChaCha8Rng::seed_from_u64(0);
    let mut attempt = 1;
    loop {
        let answer = ask(program, &rows, &columns, until);
        if attempt == ATTEMPTS || !matches!(answer, Answer::Failed(_)) {
            return answer;
        }
        attempt += 1;
        rows.shuffle(&mut die);
        columns.shuffle(&mut die);
    }
}

/// One call of the backend, with rows and columns in this order.
fn ask(program: &Program, rows: &[&Row], order: &[usize], until: Option<Instant>) -> Answer {
    let mut variables = ProblemVariables::new();
    let mut named: Vec<(usize, Variable)> = (order.iter())
        .map(|&c| {
            let column = program.columns[c];
            let (least, most) = (column.least as f64, column.most as f64);
            let made = match column.unit {
                Unit::Whole => variable().integer().min(least).max(most),
                Unit::Share => variable().min(least).max(most),
                Unit::Time => variable().min(least / HUNDREDTHS).max(most / HUNDREDTHS),
            };
            (c, variables.add(made))
        })
        .collect();
    named.sort_unstable_by_key(|&(c, _)| c);
    let columns: Vec<Variable> = named.into_iter().map(|(_, variable)| variable).collect();
    let is_time = |var: Var| program.columns[var.0].unit == Unit::Time;
    let expression = |sum: &Linear, scale: f64| {
        let mut made = Expression::from(sum.constant as f64 * scale);
        for &(var, coefficient) in &sum.terms {
            let unit = if is_time(var) { HUNDREDTHS } else { 1.0 };
            made.add_mul(coefficient as f64 * scale * unit, columns[var.0]);
        }
        made
    };

    let shared = shared(&program.cost);
    let greatest = (program.cost.terms.iter())
        .map(|term| term.1.abs() / shared)
        .max()
        .unwrap_or(0);
    let mut scale = 1.0;
    while greatest as f64 * scale > 1024.0 {
        scale /= 2.0;
    }
    let costs = expression(&over(&program.cost, shared), scale);
    let mut model = variables.minimise(costs).using(microlp);
    for row in rows {
        match only_numbers(row) {
            Some(true) => continue,
            Some(false) => return Answer::Impossible,
            None => {}
        }
        let timed = row.sum.terms.iter().any(|term| is_time(term.0));
        let made = expression(&row.sum, if timed { 1.0 / HUNDREDTHS } else { 1.0 });
        model.add_constraint(match row.sense {
            Sense::AtMost => made.leq(0.0),
            Sense::Equal => made.eq(0.0),
        });
    }
    if let Some(until) = until {
        let left = until.saturating_duration_since(Instant::now());
        model = model.with_time_limit(left.as_secs_f64());
    }
    let solution = match model.solve() {
        Ok(solution) => solution,
        Err(ResolutionError::Infeasible) => return Answer::Impossible,
        // The one thing that it says in this way is that the time was up.
        Err(ResolutionError::Other(_)) if until.is_some() => return Answer::Nothing,
        Err(e) => return Answer::Failed(e.to_string()),
    };
    let values = (columns.iter()).map(|&c| solution.value(c)).collect();
    let proven = match solution.status() {
        SolutionStatus::Optimal => true,
        SolutionStatus::TimeLimit | SolutionStatus::GapLimit => false,
    };
    let stats = solution.into_inner().stats();
    // Every score is a multiple of what is shared, and none lies below the bound; a twentieth is left for rounding.
    let bound = (stats.best_bound)
        .map(|bound| ((bound / scale - 0.05).ceil() as i64).saturating_mul(shared));
    Answer::Found {
        values,
        proven,
        bound,
        nodes: stats.nodes_solved,
    }
}

/// Whether a row without columns holds; `None` if it has some.
fn only_numbers(row: &Row) -> Option<bool> {
    let empty = row.sum.terms.iter().all(|term| term.1 == 0);
    empty.then_some(match row.sense {
        Sense::AtMost => row.sum.constant <= 0,
        Sense::Equal => row.sum.constant == 0,
    })
}

/// A sum divided by what its coefficients share.
fn over(sum: &Linear, shared: i64) -> Linear {
    Linear {
        terms: sum.terms.iter().map(|&(v, c)| (v, c / shared)).collect(),
        constant: sum.constant / shared,
    }
}
