//! The signal that asks the program to stop, and what comes of it.
//!
//! Before a search is under way there is nothing to save: the signal ends the program with one line that says so. From then on it is
//! [kept](heed) for the search, which ends with the best so far, and the command with its own exit code. A second one ends the program whatever it does.

use std::process::exit;
use std::sync::LazyLock;
use std::sync::atomic::{AtomicBool, Ordering};

use super::ending::INTERRUPTED;
use super::voice::Voice;
use crate::search::stop::Stop;

/// Set by the signal; the searches look at it.
static STOP: LazyLock<Stop> = LazyLock::new(Stop::default);
/// Whether somebody looks at it.
static HEEDED: AtomicBool = AtomicBool::new(false);

/// Listens from now on.
pub(super) fn listen(voice: Voice) {
    let heard = ctrlc::set_handler(move || {
        if !HEEDED.load(Ordering::SeqCst) {
            voice.complain("interrupted before there was an order");
            exit(i32::from(INTERRUPTED));
        }
        if STOP.ask() {
            exit(i32::from(INTERRUPTED));
        }
    });
    match heard {
        Ok(()) => tracing::info!("a signal to stop is heard from now on"),
        Err(e) => voice.complain(&format!("an interrupt will end the program at once: {e}")),
    }
}

/// From now on somebody looks at the token: the class is read, and a search begins.
pub(super) fn heed() {
    HEEDED.store(true, Ordering::SeqCst);
}

/// The token that the signal asks, once it is [heeded](heed).
pub(super) fn token() -> Stop {
    STOP.clone()
}
