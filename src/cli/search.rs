//! Limits of a search from the command line, the signal that ends it, and which way a problem is solved.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use super::args::{Method, Search};
use super::ending::{INTERRUPTED, Refusal};
use super::outputs::Voice;
use crate::mip;
use crate::problem::Problem;
use crate::search;
use crate::search::budget::Limits;
use crate::search::outcome::{Outcome, Progress};

/// The limits of a command that has so much patience where neither time nor nodes are given.
///
/// # Errors
/// What is wrong with the number of seconds.
pub fn patient(search: &Search, patience: Duration, voice: Voice) -> Result<Limits, Refusal> {
    let mut limits = limits_of(Method::Search, search, voice).map_err(Refusal::Usage)?;
    if limits.nodes.is_none() {
        limits.time.get_or_insert(patience);
    }
    Ok(limits)
}

/// The limits asked for, as far as the method can keep to them. The first signal to stop sets them off, or ends the program where the method
/// cannot be stopped.
///
/// # Errors
/// What is wrong with the number of seconds; every limit that the method cannot keep to.
pub fn limits_of(method: Method, search: &Search, voice: Voice) -> Result<Limits, String> {
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
    let time = match search.seconds.map(Duration::try_from_secs_f64) {
        None => None,
        Some(Ok(time)) => Some(time),
        Some(Err(e)) => {
            return Err(format!(
                "--seconds: {e}; give a number of seconds such as 10"
            ));
        }
    };
    let memory = match search.memory {
        None => None,
        Some(megabytes) => Some(
            megabytes
                .checked_mul(1 << 20)
                .ok_or("--memory: more than any machine has")?,
        ),
    };
    let cancel = Arc::new(AtomicBool::new(false));
    let flag = Arc::clone(&cancel);
    let heard = ctrlc::set_handler(move || {
        if flag.swap(true, Ordering::Relaxed) || method == Method::Mip {
            std::process::exit(i32::from(INTERRUPTED));
        }
    });
    if let Err(e) = heard {
        voice.complain(&format!("an interrupt will end the program at once: {e}"));
    }
    Ok(Limits {
        time,
        nodes: search.nodes,
        memory,
        cancel: Some(cancel),
        seed: search.seed,
        threads: search.threads,
    })
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
        Method::Mip => mip::solve(problem, limits.time),
    }
}
