//! What comes in from outside: files, standard input, the interrupt key.

use std::io::Read;
use std::path::Path;
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::BAD_INPUT;

/// The text of a file, or of standard input for `-`.
///
/// # Errors
/// It cannot be read, or is not text.
pub fn read(file: &Path) -> std::io::Result<String> {
    if file.as_os_str() == "-" {
        let mut text = String::new();
        std::io::stdin().read_to_string(&mut text)?;
        return Ok(text);
    }
    std::fs::read_to_string(file)
}

/// Says why nothing was done.
pub fn refuse(why: &str) -> ExitCode {
    eprintln!("{why}");
    ExitCode::from(BAD_INPUT)
}

/// A flag that the first interrupt sets; the second ends the program at once.
pub fn interrupt() -> Arc<AtomicBool> {
    let cancel = Arc::new(AtomicBool::new(false));
    let flag = Arc::clone(&cancel);
    let heard = ctrlc::set_handler(move || {
        if flag.swap(true, Ordering::Relaxed) {
            std::process::exit(130);
        }
    });
    if let Err(e) = heard {
        eprintln!("segue: an interrupt will end the program at once: {e}");
    }
    cancel
}
