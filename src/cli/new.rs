//! `segue new`: a brief to start from. `segue completions` and `segue manual`: what a shell and a reader of manuals ask for, made from the one
//! definition of the command line.

use std::path::Path;

use clap::CommandFactory as _;

use super::args::{Args, Completions, New};
use super::ending::Refusal;
use super::outputs;
use super::voice::Voice;
use crate::answer::ending::Ending;
use crate::report::drawn::Drawn;

/// The brief that is written.
const BRIEF: &str = include_str!("../read/new_brief.toml");

/// Writes it, or prints it where no file is named.
///
/// # Errors
/// What kept it from being written.
pub fn brief(args: &New, voice: Voice) -> Result<Ending, Refusal> {
    let Some(file) = &args.file else {
        voice.answer(&Drawn::text(BRIEF))?;
        return Ok(Ending::Done);
    };
    if file.extension().is_none_or(|e| e != "toml") {
        return Err(Refusal::Usage(format!(
            "{}: the name of a class file ends in .toml",
            file.display()
        )));
    }
    if file.exists() && !args.force {
        return Err(Refusal::Usage(format!(
            "{} already exists; --force overwrites it",
            file.display()
        )));
    }
    outputs::put(file, BRIEF.as_bytes(), args.force)
        .map_err(|why| Refusal::Usage(format!("{} could not be written: {why}", file.display())))?;
    voice.answer(&next(file))?;
    Ok(Ending::Done)
}

fn next(file: &Path) -> Drawn {
    let name = file.display();
    let lines = [
        format!("Written: {name}"),
        format!("Change it in any editor, then: segue plan {name}"),
    ];
    lines.iter().map(|line| Drawn::line(line)).collect()
}

/// Prints completions for a shell.
///
/// # Errors
/// What kept them from being printed.
pub fn completions(args: &Completions, voice: Voice) -> Result<Ending, Refusal> {
    let mut out = Vec::new();
    clap_complete::generate(args.shell, &mut Args::command(), "segue", &mut out);
    voice.answer(&Drawn::text(&String::from_utf8_lossy(&out)))?;
    Ok(Ending::Done)
}

/// Prints the manual page: the program, then each command.
///
/// # Errors
/// What kept it from being printed.
pub fn manual(voice: Voice) -> Result<Ending, Refusal> {
    let mut program = Args::command();
    program.build();
    let mut out = Vec::new();
    clap_mangen::Man::new(program.clone()).render(&mut out)?;
    let mut text = String::from_utf8_lossy(&out).into_owned();
    for command in program.get_subcommands().filter(|c| c.get_name() != "help") {
        let man = clap_mangen::Man::new(command.clone());
        let mut part = Vec::new();
        man.render_synopsis_section(&mut part)?;
        man.render_description_section(&mut part)?;
        man.render_options_section(&mut part)?;
        // Its sections stand one level below its own heading.
        let part = String::from_utf8_lossy(&part).replace(".SH ", ".SS ");
        let name = command.get_name().to_uppercase();
        text.push_str(&format!(".SH \"SEGUE {name}\"\n{part}"));
    }
    voice.answer(&Drawn::text(&text))?;
    Ok(Ending::Done)
}
