//! `segue guide`: the chapters of the guide, by name.

use super::args::Guide;
use super::ending::Refusal;
use super::voice::Voice;
use crate::answer::ending::Ending;
use crate::guide::CHAPTERS;
use crate::read::names::{either, nearest};
use crate::report::drawn::Drawn;

/// Prints a chapter, or which there are.
///
/// # Errors
/// A name that is none.
pub fn run(args: &Guide, voice: Voice) -> Result<Ending, Refusal> {
    let Some(asked) = &args.name else {
        let lines = CHAPTERS
            .iter()
            .map(|chapter| format!("{:<10} {}\n", chapter.name, chapter.title));
        voice.answer(&Drawn::text(&lines.collect::<String>()))?;
        return Ok(Ending::Done);
    };
    match CHAPTERS.iter().find(|chapter| chapter.name == asked) {
        Some(chapter) => {
            voice.answer(&Drawn::text(chapter.text))?;
            Ok(Ending::Done)
        }
        None => Err(Refusal::Several(unknown(asked).into())),
    }
}

/// What to say of a name that is none: the nearest, and all.
fn unknown(asked: &str) -> [String; 2] {
    let all: Vec<&str> = CHAPTERS.iter().map(|chapter| chapter.name).collect();
    let near = nearest(asked, &all);
    let mend = if near.is_empty() {
        String::new()
    } else {
        format!("; did you mean {}?", either(&near))
    };
    [
        format!("the guide has no chapter `{asked}`{mend}"),
        format!("chapters: {}", all.join(", ")),
    ]
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use clap::CommandFactory;

    use crate::cli::args::Args;

    /// The rows of the table below a heading of the chapter on commands, as cells.
    fn rows(heading: &str) -> Vec<Vec<&'static str>> {
        let text = crate::guide::CHAPTERS
            .iter()
            .find(|chapter| chapter.name == "commands")
            .map(|chapter| chapter.text)
            .expect("there is such a chapter");
        let (_, text) = text.split_once(heading).expect("it has this heading");
        text.lines()
            .skip_while(|line| !line.starts_with('|'))
            .take_while(|line| line.starts_with('|'))
            .skip(2)
            .map(|line| line.split('|').map(str::trim).collect())
            .collect()
    }

    /// Asserts that both name the same, and that the guide says of each at least what the help says.
    fn agree(guide: &BTreeMap<String, &str>, help: &BTreeMap<String, String>) {
        let named: Vec<&String> = guide.keys().collect();
        assert_eq!(named, help.keys().collect::<Vec<_>>());
        for (what, said) in help {
            assert!(guide[what].starts_with(said.as_str()), "{what}: {said}");
        }
    }

    #[test]
    fn the_chapter_on_commands_says_of_each_command_what_its_help_says() {
        let guide = rows("# All commands\n").into_iter().map(|row| {
            let name = row[1].trim_matches('`').split(' ').next().unwrap_or("");
            (name.to_owned(), row[2])
        });
        let help = Args::command();
        let help = help.get_subcommands().map(|command| {
            let about = command.get_about().expect("every command has its help");
            (command.get_name().to_owned(), about.to_string())
        });
        agree(&guide.collect(), &help.collect());
    }

    #[test]
    fn the_chapter_on_commands_says_of_each_option_what_its_help_says() {
        // An option, what it takes and the command that has it.
        let mut guide = BTreeMap::new();
        for row in rows("## Options\n") {
            let option = row[1]
                .split('`')
                .nth(1)
                .expect("an option is in code marks");
            for command in row[2].split(", ") {
                guide.insert(format!("{option} {}", command.trim_matches('`')), row[3]);
            }
        }
        let args = Args::command();
        let mut help = BTreeMap::new();
        let all = std::iter::once(("all", &args));
        let each = args.get_subcommands().map(|c| (c.get_name(), c));
        for (command, args) in all.chain(each) {
            for arg in args.get_arguments() {
                let Some(long) = arg.get_long() else { continue };
                let mut option = format!("--{long}");
                if arg.get_action().takes_values() {
                    for value in arg.get_value_names().unwrap_or_default() {
                        option.push(' ');
                        option.push_str(value);
                    }
                }
                let said = arg.get_help().expect("every option has its help");
                help.insert(format!("{option} {command}"), said.to_string());
            }
        }
        agree(&guide, &help);
    }
}
