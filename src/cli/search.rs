//! Limits of a search from the command line, and which way a problem is solved.

use std::time::Duration;

use super::args::{Method, Search};
use super::ending::Refusal;
use super::interrupt;
use crate::mip;
use crate::problem::Problem;
use crate::search;
use crate::search::budget::{Limits, moment};
use crate::search::outcome::{Outcome, Progress};
use crate::search::stop::Stop;

/// The limits of a command that stops after `patience` where neither time nor nodes are given.
///
/// # Errors
/// What is wrong with the number of seconds.
pub fn patient(search: &Search, patience: Duration) -> Result<Limits, Refusal> {
    let mut limits = limits_of(Method::Search, search).map_err(Refusal::Usage)?;
    if limits.nodes.is_none() && limits.until.is_none() {
        limits.until = moment(patience);
    }
    Ok(limits)
}

/// The limits asked for, as far as the method can keep to them. From now on the first signal to stop sets them off, unless the method cannot be
/// stopped: then it goes on ending the program.
///
/// # Errors
/// What is wrong with the number of seconds; every limit that the method cannot keep to.
pub fn limits_of(method: Method, search: &Search) -> Result<Limits, String> {
    let unkept: Vec<&str> = match method {
        Method::Search => Vec::new(),
        Method::Mip => [
            search.memory.map(|_| "--memory"),
            search.nodes.map(|_| "--nodes"),
        ]
        .into_iter()
        .flatten()
        .collect(),
    };
    if !unkept.is_empty() {
        return Err(format!(
            "{}: --method mip has no such limit; give --seconds instead",
            unkept.join(" and ")
        ));
    }
    let memory = match search.memory {
        None => None,
        Some(megabytes) => Some(
            megabytes
                .checked_mul(1 << 20)
                .ok_or("--memory: more than any computer has")?,
        ),
    };
    let stop = match method {
        Method::Search => interrupt::token(),
        Method::Mip => Stop::default(),
    };
    Ok(Limits {
        until: time_of(search)?.and_then(moment),
        nodes: search.nodes,
        memory,
        stop,
        seed: search.seed,
        threads: search.threads,
    })
}

/// From now on the first signal stops the search, unless the method cannot be stopped: then it goes on ending the program.
pub fn heed(method: Method) {
    match method {
        Method::Search => interrupt::heed(),
        Method::Mip => {}
    }
}

/// The seconds asked for.
///
/// # Errors
/// Why they are none.
pub fn time_of(search: &Search) -> Result<Option<Duration>, String> {
    let Some(seconds) = search.seconds else {
        return Ok(None);
    };
    let why = match Duration::try_from_secs_f64(seconds) {
        Ok(time) => return Ok(Some(time)),
        Err(_) if seconds > 0.0 => "is longer than any clock runs",
        Err(_) => "is no length of time",
    };
    Err(format!(
        "--seconds: {seconds:?} {why}; give a number of seconds such as 10"
    ))
}

/// Solves a problem in the way asked for.
pub fn solve(
    method: Method,
    problem: &Problem,
    limits: &Limits,
    progress: &mut dyn FnMut(&Progress),
) -> Outcome {
    match method {
        Method::Search => search::solve(problem, limits, progress),
        Method::Mip => mip::solve(problem, limits.until),
    }
}
