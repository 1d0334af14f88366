//! Standard output and standard error: colour, width, progress, and silence where the reader has gone.

use std::io::{self, IsTerminal, Write};

use anstream::{AutoStream, ColorChoice};
use indicatif::{ProgressBar, ProgressStyle};

use super::args::Colour;
use crate::diagnostic::Diagnostic;
use crate::harmless::spelt;
use crate::report::detail::{Detail, at};
use crate::report::drawn::Drawn;
use crate::report::mistakes::{Paint, draw};
use crate::report::sheet::Sheet;
use crate::report::terminal;
use crate::search::outcome::Progress;

/// Columns where nobody says how wide it is.
const COLUMNS: usize = 80;
/// The widest that a sheet is drawn.
const WIDEST: usize = 110;

/// How this run talks.
#[derive(Debug, Clone, Copy)]
pub struct Voice {
    /// When to use colour.
    pub colour: Colour,
    /// Whether to keep silent on the way.
    pub quiet: bool,
}

impl Voice {
    fn choice(self) -> ColorChoice {
        match self.colour {
            Colour::Auto => ColorChoice::Auto,
            Colour::Always => ColorChoice::Always,
            Colour::Never => ColorChoice::Never,
        }
    }

    /// Columns of standard output: those of the terminal, else `COLUMNS` of the environment, else 80.
    pub fn columns(self) -> usize {
        let asked = std::env::var("COLUMNS")
            .ok()
            .and_then(|c| c.parse::<usize>().ok());
        let terminal = io::stdout()
            .is_terminal()
            .then(terminal_size::terminal_size)
            .flatten()
            .map(|(width, _)| usize::from(width.0));
        terminal.or(asked).unwrap_or(COLUMNS).min(WIDEST)
    }

    /// Prints the answer. A closed pipe is no error: whoever reads has seen enough.
    ///
    /// # Errors
    /// What kept it from being written, a closed pipe aside.
    pub fn answer(self, text: &Drawn) -> io::Result<()> {
        let stdout = io::stdout();
        let mut out = AutoStream::new(stdout.lock(), resolved(self.choice(), &io::stdout()));
        let written = out
            .write_all(text.ansi().as_bytes())
            .and_then(|()| out.flush());
        match written {
            Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Ok(()),
            other => other,
        }
    }

    /// A run sheet in this detail, as wide as standard output.
    pub fn sheet(self, sheet: &Sheet, detail: Detail) -> Drawn {
        terminal::sheet(&at(sheet, detail), self.columns())
    }

    /// Prints diagnostics on standard error; notes only where it may talk.
    pub fn diagnostics(self, diagnostics: &[Diagnostic]) {
        let said: Vec<Diagnostic> = diagnostics
            .iter()
            .filter(|d| d.is_mistake() || !self.quiet)
            .cloned()
            .collect();
        if said.is_empty() {
            return;
        }
        let stderr = io::stderr();
        let paint = match resolved(self.choice(), &stderr) {
            ColorChoice::Always | ColorChoice::AlwaysAnsi => Paint::Coloured,
            ColorChoice::Auto | ColorChoice::Never => Paint::Plain,
        };
        let text = draw(&said, paint, COLUMNS.max(self.columns()));
        // Nothing is left to tell anybody if standard error is gone.
        let _ = stderr.lock().write_all(text.as_bytes());
    }

    /// Prints one line on standard error.
    pub fn complain(self, text: &str) {
        self.complain_of(&[text]);
    }

    /// Prints lines that belong together on standard error.
    pub fn complain_of(self, lines: &[impl AsRef<str>]) {
        let lines: Vec<String> = lines.iter().map(|line| spelt(line.as_ref())).collect();
        let _ = writeln!(io::stderr().lock(), "segue: {}", lines.join("\n       "));
    }

    /// A line that shows how a search goes, on a terminal only.
    pub fn progress(self) -> ProgressLine {
        // A line that moves would be torn by what is logged.
        let logged = tracing::enabled!(tracing::Level::INFO);
        if self.quiet || logged || !io::stderr().is_terminal() {
            return ProgressLine { bar: None };
        }
        let bar = ProgressBar::new_spinner();
        let style = ProgressStyle::with_template("{spinner} {elapsed} {msg}")
            .expect("the template of the progress line is well formed");
        bar.set_style(style);
        bar.enable_steady_tick(std::time::Duration::from_millis(120));
        ProgressLine { bar: Some(bar) }
    }
}

/// Logs on standard error: nothing, what is done, or every step of the search.
pub fn log(verbose: u8, voice: Voice) {
    let most = match verbose {
        0 => return,
        1 => tracing::Level::INFO,
        _ => tracing::Level::DEBUG,
    };
    let colour = resolved(voice.choice(), &io::stderr());
    tracing_subscriber::fmt()
        .with_max_level(most)
        .with_writer(io::stderr)
        .with_ansi(matches!(
            colour,
            ColorChoice::Always | ColorChoice::AlwaysAnsi
        ))
        .with_target(false)
        .with_timer(tracing_subscriber::fmt::time::uptime())
        .init();
}

/// What `Auto` comes to for a stream.
fn resolved<S: anstream::stream::RawStream>(choice: ColorChoice, stream: &S) -> ColorChoice {
    match choice {
        ColorChoice::Auto => AutoStream::choice(stream),
        other => other,
    }
}

/// The line that shows how a search goes; gone when dropped.
pub struct ProgressLine {
    bar: Option<ProgressBar>,
}

impl ProgressLine {
    /// Shows what is done now.
    pub fn say(&self, what: &'static str) {
        if let Some(bar) = &self.bar {
            bar.set_message(what);
        }
    }

    /// Shows news.
    pub fn show(&self, news: &Progress) {
        let Some(bar) = &self.bar else { return };
        let found = match (news.score, news.bound) {
            (Some(score), Some(bound)) if score > 0 => {
                let settled = 100 * bound.clamp(0, score) / score;
                format!("an order found, {settled} % settled")
            }
            (Some(_), _) => "an order found".to_owned(),
            (None, _) => "looking for an order".to_owned(),
        };
        bar.set_message(if news.phase.is_empty() {
            found
        } else {
            format!("{found} ({})", news.phase)
        });
    }
}

impl Drop for ProgressLine {
    fn drop(&mut self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}
