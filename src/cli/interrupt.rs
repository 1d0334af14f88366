//! The signal that asks the program to stop, and what comes of it.
//!
//! Before a search is under way there is nothing to save: the signal ends the program with one line that says so. From then on it is
//! [kept](heeded) for the search, which ends with the best so far, and the command with its own exit code. A second one ends the program whatever it does.

use std::process::exit;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, LazyLock};

use super::ending::INTERRUPTED;
use super::voice::Voice;

/// Set by the signal; the searches look at it.
static ASKED: LazyLock<Arc<AtomicBool>> = LazyLock::new(Arc::default);
/// Whether somebody looks at it.
static HEEDED: AtomicBool = AtomicBool::new(false);

/// Listens from now on.
pub(super) fn listen(voice: Voice) {
    let heard = ctrlc::set_handler(move || {
        if !HEEDED.load(Ordering::SeqCst) {
            voice.complain("interrupted before there was an order");
            exit(i32::from(INTERRUPTED));
        }
        if ASKED.swap(true, Ordering::SeqCst) {
            exit(i32::from(INTERRUPTED));
        }
    });
    match heard {
        Ok(()) => tracing::info!("a signal to stop is heard from now on"),
        Err(e) => voice.complain(&format!("an interrupt will end the program at once: {e}")),
    }
}

/// The flag that the signal sets, for a search that looks at it from now on.
pub(super) fn heeded() -> Arc<AtomicBool> {
    HEEDED.store(true, Ordering::SeqCst);
    Arc::clone(&ASKED)
}

/// Whether somebody asked to stop, in whatever part of the work.
pub(super) fn asked() -> bool {
    ASKED.load(Ordering::SeqCst)
}
