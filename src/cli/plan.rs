//! `segue plan`: a list in, the run sheet out.

use std::io::Write;
use std::process::ExitCode;
use std::sync::Arc;
use std::time::Duration;

use super::BAD_INPUT;
use super::args::Plan;
use super::inputs::{interrupt, read, refuse};
use crate::answer::{Form, Texts, plan, prepare};
use crate::read::brief::Known;
use crate::read::built_in;
use crate::report::mistakes::{Paint, draw};
use crate::report::sheet::sheet;
use crate::report::terminal::{self, Look};
use crate::search::budget::Limits;
use crate::search::outcome::Ended;
use crate::source::Source;

/// Columns where the terminal does not tell.
const COLUMNS: usize = 80;

/// Reads, plans, prints.
pub fn run(args: &Plan) -> ExitCode {
    let name = args.list.display().to_string();
    let text = match read(&args.list) {
        Ok(text) => text,
        Err(e) => return refuse(&format!("{name}: cannot be read as text: {e}")),
    };
    let time = match Duration::try_from_secs_f64(args.seconds) {
        Ok(time) => time,
        Err(e) => {
            return refuse(&format!(
                "--seconds: {e}; give a number of seconds such as 10"
            ));
        }
    };
    let models = built_in::models(&[], &[]);
    let known = Known {
        catalogue: models.catalogue,
        apparatus: models.apparatus,
        kept_blocks: Vec::new(),
    };
    let class = Arc::new(Source { name, text });
    let texts = Texts {
        class,
        form: Form::List,
        known,
        apparatus: args.machine.clone(),
    };
    let columns = terminal_size::terminal_size().map_or(COLUMNS, |(w, _)| usize::from(w.0));
    let prepared = match prepare(&texts) {
        Ok(prepared) => prepared,
        Err(mistakes) => {
            eprint!("{}", draw(&mistakes, Paint::Plain, columns));
            return ExitCode::from(BAD_INPUT);
        }
    };
    let limits = Limits {
        time: Some(time),
        cancel: Some(interrupt()),
        ..Limits::default()
    };
    let answer = plan(&prepared, &limits, &mut |_| {});
    if let Some(bug) = &answer.outcome.disagreement {
        return refuse(&format!(
            "this is a mistake in segue itself, please report it: {bug}"
        ));
    }
    let drawn = terminal::sheet(
        &sheet(&answer),
        Look {
            columns,
            teaching: true,
        },
    );
    // A closed pipe is no error: whoever reads has seen enough. Colour is left out unless it is wanted.
    let _ = anstream::stdout().write_all(drawn.as_bytes());
    match answer.outcome.ended {
        Ended::Cancelled => ExitCode::from(130),
        _ if answer.best.is_some() => ExitCode::SUCCESS,
        _ => ExitCode::from(1),
    }
}
