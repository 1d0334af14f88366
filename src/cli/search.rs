//! Limits of a search from the command line, and the signal that ends it.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use super::args::Search;
use super::ending::INTERRUPTED;
use super::outputs::Voice;
use crate::search::budget::Limits;

/// The limits asked for. The first signal to stop sets them off; the second ends the program.
///
/// # Errors
/// What is wrong with the number of seconds.
pub fn limits(search: &Search, voice: Voice) -> Result<Limits, String> {
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
        if flag.swap(true, Ordering::Relaxed) {
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
