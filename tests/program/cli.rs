//! The commands as a stranger runs them: what they print, where, and how they end.

use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

use assert_cmd::prelude::*;

/// A list that keeps every rule that holds unasked.
const LIST: &str = "footwork on the balls of the feet\nprone press\nswan\nshort spine\n";

fn segue() -> Command {
    let mut command = Command::cargo_bin("segue").expect("the program is built with its tests");
    command.env("XDG_CONFIG_HOME", "no-such-folder");
    command.env_remove("NO_COLOR").env_remove("COLUMNS");
    command.env_remove("CLICOLOR_FORCE");
    command
}

/// Runs it on a text on standard input.
fn fed(args: &[&str], text: &[u8]) -> Output {
    use std::io::Write;
    let mut child = segue()
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut stdin = child.stdin.take().expect("standard input is piped");
    // The program may refuse its arguments and be gone before it reads.
    let _ = stdin.write_all(text);
    drop(stdin);
    child.wait_with_output().expect("the program ends")
}

fn run(args: &[&str]) -> Output {
    segue().args(args).output().expect("the program runs")
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("the answer is text")
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("the complaint is text")
}

fn scenario(name: &str) -> String {
    let path: PathBuf = [env!("CARGO_MANIFEST_DIR"), "scenarios", name]
        .iter()
        .collect();
    path.display().to_string()
}

/// A shared problem file of the tests.
fn problem(name: &str) -> String {
    let path: PathBuf = [env!("CARGO_MANIFEST_DIR"), "tests/data/problems", name]
        .iter()
        .collect();
    path.display().to_string()
}

#[test]
fn a_list_on_standard_input_is_planned_and_proven() {
    let made = fed(&["plan", "-"], LIST.as_bytes());
    assert_eq!(made.status.code(), Some(0), "{}", err(&made));
    let sheet = out(&made);
    for said in [
        "Nothing better exists.",
        "Set the machines",
        "The class",
        "Swan",
        "End",
        "Kept: ",
    ] {
        assert!(sheet.contains(said), "{said} is missing in\n{sheet}");
    }
    assert_eq!(err(&made), "");
}

#[test]
fn no_line_is_wider_than_the_columns_asked_for() {
    for columns in [40, 80, 100] {
        let mut command = segue();
        let list = tempfile::NamedTempFile::with_suffix(".txt").expect("a file can be made");
        std::fs::write(list.path(), LIST).expect("the file can be written");
        let made = command
            .env("COLUMNS", columns.to_string())
            .args(["plan", "--cues"])
            .arg(list.path())
            .output()
            .expect("the program runs");
        let sheet = out(&made);
        assert!(sheet.lines().count() > 20, "{sheet}");
        for line in sheet.lines() {
            assert!(line.chars().count() <= columns, "{columns}: {line}");
        }
    }
}

#[test]
fn colour_is_there_only_when_it_is_asked_for_and_says_nothing_new() {
    let plain = fed(&["plan", "-"], LIST.as_bytes());
    let never = fed(&["--color", "never", "plan", "-"], LIST.as_bytes());
    let always = fed(&["--color", "always", "plan", "-"], LIST.as_bytes());
    assert!(!out(&plain).contains('\u{1b}'));
    assert_eq!(out(&plain), out(&never));
    assert!(out(&always).contains('\u{1b}'));
    let stripped = anstream::adapter::strip_str(&out(&always)).to_string();
    assert_eq!(stripped, out(&plain));
}

#[test]
fn no_color_in_the_environment_is_honoured() {
    let made = segue()
        .env("NO_COLOR", "1")
        .env("CLICOLOR_FORCE", "1")
        .args(["show", "swan"])
        .output()
        .expect("the program runs");
    assert!(!out(&made).contains('\u{1b}'));
}

#[test]
fn json_is_all_that_stands_on_standard_output_and_holds_the_solution() {
    let made = fed(&["plan", "-", "--json"], LIST.as_bytes());
    let value: serde_json::Value = serde_json::from_str(&out(&made)).expect("it is JSON");
    assert_eq!(value["segue_plan"], 1);
    assert_eq!(value["answer"], "best");
    let solution = &value["solution"];
    assert_eq!(solution["proven"], true);
    assert_eq!(solution["score"], solution["bound"]);
    let rows = value["class"]["rows"].as_array().expect("rows");
    assert_eq!(rows.len(), 4);
    // The clock of the rows is the clock of the solution: seconds against hundredths.
    let finish = solution["finish"].as_i64().expect("a number") as f64 / 100.0;
    assert_eq!(value["class"]["finish_seconds"].as_f64(), Some(finish));
    for row in rows {
        let before = &row["before"];
        let cued: f64 = before["cues"]
            .as_array()
            .expect("cues")
            .iter()
            .map(|c| c["seconds"].as_f64().expect("seconds"))
            .sum();
        let whole = before["seconds"].as_f64().expect("seconds");
        assert!((cued - whole).abs() < 1e-6, "{row:#}");
    }
}

#[test]
fn repetitions_in_json_are_the_same_as_numbers_and_in_words() {
    let mut seen = [0; 5];
    for name in [
        "packed-noon",
        "second-machine",
        "tight-rest",
        "calm-evening",
    ] {
        let made = run(&["-q", "check", &scenario(&format!("{name}.toml")), "--json"]);
        let value: serde_json::Value = serde_json::from_str(&out(&made)).expect("it is JSON");
        for row in value["class"]["rows"].as_array().expect("rows") {
            let (mut work, length) = (0.0, |key: &str| row[key].as_f64().expect("seconds"));
            for layer in row["layers"].as_array().expect("layers") {
                let count = layer["count"].as_u64().expect("a number");
                let (each_way, by_turns) = (layer["each_way"] == true, layer["by_turns"] == true);
                let (kind, mut words) = match layer["unit"].as_str().expect("a word") {
                    "repetition" => (0, format!("x {count}")),
                    "breath" if count == 1 => (1, "1 breath".to_owned()),
                    "breath" => (1, format!("{count} breaths")),
                    "second" => (2, format!("hold {count} s")),
                    other => panic!("{other}"),
                };
                words += if each_way { " each way" } else { "" };
                words += if by_turns { " by turns" } else { "" };
                assert_eq!(layer["amount"], words, "{layer:#}");
                let seconds = layer["seconds"].as_f64().expect("seconds");
                if kind == 2 && !each_way {
                    assert_eq!(seconds, count as f64, "{layer:#}");
                }
                assert!(seconds > 0.0, "{layer:#}");
                work += seconds;
                seen[kind] += 1;
                seen[3] += usize::from(each_way);
                seen[4] += usize::from(by_turns);
            }
            // The rest is teaching.
            assert!(work <= length("end") - length("clock") + 0.01, "{row:#}");
        }
    }
    assert!(seen.iter().all(|&n| n > 0), "{seen:?}");
}

#[test]
fn the_same_list_gives_the_same_bytes() {
    let first = fed(&["plan", "-"], LIST.as_bytes());
    let second = fed(&["plan", "-"], LIST.as_bytes());
    assert_eq!(first.stdout, second.stdout);
}

#[test]
fn an_exported_list_is_solved_to_the_score_of_its_plan() {
    let exported = fed(&["export", "-"], LIST.as_bytes());
    assert_eq!(exported.status.code(), Some(0), "{}", err(&exported));
    let solved = fed(&["solve", "-", "--json"], &exported.stdout);
    let planned = fed(&["plan", "-", "--json"], LIST.as_bytes());
    let value =
        |o: &Output| -> serde_json::Value { serde_json::from_str(&out(o)).expect("it is JSON") };
    assert_eq!(
        value(&solved)["score"],
        value(&planned)["solution"]["score"]
    );
}

#[test]
fn the_graph_of_a_list_has_its_steps_as_nodes_and_seconds_on_its_edges() {
    let made = fed(&["export", "-", "--format", "dot"], LIST.as_bytes());
    let dot = out(&made);
    assert!(dot.starts_with("digraph {"), "{dot}");
    assert!(dot.contains("label=\"Swan\""), "{dot}");
    // Four movements, and the two rest folds that may be put in unasked.
    assert_eq!(dot.matches(" -> ").count(), 6 * 5);
}

#[test]
fn check_says_how_each_rule_fared_and_where_set_ups_are_wasted() {
    // The full form before its preparation.
    let made = fed(
        &["check", "-"],
        b"swan\nfootwork on the balls of the feet\nprone press\n",
    );
    assert_eq!(made.status.code(), Some(0), "{}", err(&made));
    let audit = out(&made).split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        "Work begins at once",
        "Your order as written",
        "Everything that has to hold does.",
        "Not kept: Preparation before the full form",
        "stands at place 3, Swan at place 1",
        "Stops",
        "Where set-ups are wasted",
    ] {
        assert!(audit.contains(said), "{said} is missing in\n{audit}");
    }
}

#[test]
fn a_problem_file_is_solved_and_an_impossible_one_is_a_no() {
    let solved = run(&["solve", &problem("studio-008.json")]);
    assert_eq!(solved.status.code(), Some(0));
    assert!(out(&solved).contains("Nothing better exists."));
    let impossible = run(&["solve", &problem("tight-012-impossible.json")]);
    assert_eq!(impossible.status.code(), Some(1));
    assert!(out(&impossible).contains("There is no order"));
}

#[test]
fn the_mixed_integer_model_gives_the_score_of_the_search() {
    let file = problem("packed-006.json");
    let score = |method: &str| {
        let solved = run(&["solve", &file, "--json", "--method", method]);
        assert_eq!(solved.status.code(), Some(0), "{}", err(&solved));
        let value: serde_json::Value = serde_json::from_str(&out(&solved)).expect("it is JSON");
        assert_eq!(value["proven"], true, "{method}");
        value["score"].clone()
    };
    assert_eq!(score("mip"), score("search"));
}

#[test]
fn the_mixed_integer_model_names_all_that_it_cannot_state() {
    let refused = run(&["solve", &problem("packed-012.json"), "--method", "mip"]);
    assert_eq!(refused.status.code(), Some(2));
    let said = err(&refused);
    for demand in ["demand 7", "demand 8"] {
        let lines = said
            .lines()
            .map(|line| line.trim_start_matches("segue:").trim_start());
        let told = lines.clone().find(|line| line.starts_with(demand));
        assert!(told.is_some_and(|l| l.contains("`fatigue`")), "{said}");
    }
    let unkept = ["--method", "mip", "--memory", "100", "--nodes", "5"];
    let refused = run(&[&["solve", &problem("packed-006.json")], &unkept[..]].concat());
    assert_eq!(refused.status.code(), Some(2));
    let said = err(&refused);
    assert!(said.contains("--memory and --nodes"), "{said}");
}

#[test]
fn a_search_that_is_stopped_at_once_says_so() {
    let made = run(&["solve", &problem("studio-012.json"), "--nodes", "1"]);
    let said = out(&made);
    assert!(said.contains("topped before it was settled"), "{said}");
    assert!(!said.contains("Nothing better exists"), "{said}");
}

#[test]
fn the_catalogue_is_listed_whole_or_by_filter() {
    let all = out(&run(&["list"])).lines().count();
    assert!(all >= 120, "{all}");
    for filter in [
        ["--phase", "cool-down"],
        ["--region", "wrists"],
        ["--load", "0.5..1"],
        ["--box", "long"],
        ["--level", "3"],
        ["--spine", "extension"],
        ["--caution", "wrist load"],
    ] {
        let made = run(&["list", filter[0], filter[1]]);
        assert_eq!(made.status.code(), Some(0), "{filter:?}");
        let some = out(&made).lines().count();
        assert!(0 < some && some < all, "{filter:?}: {some} of {all}");
    }
    let none = run(&[
        "list", "--phase", "warm-up", "--level", "3", "--box", "long",
    ]);
    assert_eq!(none.status.code(), Some(1));
    assert_eq!(out(&none), "");
}

#[test]
fn a_movement_is_shown_by_any_of_its_names_and_an_unknown_one_gets_the_nearest() {
    let made = run(&["show", "SWAN"]);
    assert_eq!(made.status.code(), Some(0));
    assert!(out(&made).starts_with("Swan (swan)"));
    let unknown = run(&["show", "swann"]);
    assert_eq!(unknown.status.code(), Some(2));
    assert!(err(&unknown).contains("did you mean"), "{}", err(&unknown));
    assert_eq!(out(&unknown), "");
}

#[test]
fn help_starts_with_two_examples_and_bad_usage_is_refused() {
    for command in [
        vec!["--help"],
        vec!["plan", "--help"],
        vec!["check", "--help"],
        vec!["list", "--help"],
        vec!["show", "--help"],
        vec!["export", "--help"],
        vec!["solve", "--help"],
    ] {
        let help = out(&run(&command));
        let lines: Vec<&str> = help.lines().collect();
        assert_eq!(lines[0], "Examples:", "{command:?}");
        assert!(lines[1].starts_with("  segue "), "{command:?}");
        assert!(lines[2].starts_with("  segue "), "{command:?}");
    }
    for bad in [
        vec![],
        vec!["plan"],
        vec!["dance"],
        vec!["plan", "-", "--seconds", "soon"],
        vec!["list", "--level", "7"],
        vec!["list", "--load", "2..1"],
        vec!["list", "--region", "elbow room"],
    ] {
        let made = run(&bad);
        assert_eq!(made.status.code(), Some(2), "{bad:?}");
        assert_eq!(out(&made), "", "{bad:?}");
        assert!(!err(&made).is_empty(), "{bad:?}");
    }
}

#[test]
fn a_closed_pipe_is_silent() {
    let mut child = segue()
        .args(["list"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    drop(child.stdout.take());
    let ended = child.wait_with_output().expect("the program ends");
    assert_eq!(err(&ended), "");
    assert_eq!(ended.status.code(), Some(0));
}

#[test]
#[cfg(unix)]
fn an_interrupt_prints_the_best_so_far_and_ends_with_130() {
    let mut child = segue()
        .args(["solve", "-", "--json"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts");
    // The handler is there before the input is read, so the signal that comes first is not lost.
    std::thread::sleep(std::time::Duration::from_millis(500));
    Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status()
        .expect("kill runs");
    let text = std::fs::read(problem("studio-012.json")).expect("the problem is there");
    std::io::Write::write_all(&mut child.stdin.take().expect("piped"), &text).expect("it reads");
    let ended = child.wait_with_output().expect("the program ends");
    assert_eq!(ended.status.code(), Some(130));
    let value: serde_json::Value = serde_json::from_slice(&ended.stdout).expect("it is JSON");
    assert_eq!(value["segue_solution"], 1);
    assert_eq!(value["proven"], false);
}

#[test]
fn an_interrupt_ends_the_mixed_integer_model_at_once_with_130() {
    let mut child = segue()
        .args(["solve", "-", "--method", "mip"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts");
    // It waits for its input, which does not end before the signal.
    let input = child.stdin.take().expect("piped");
    std::thread::sleep(std::time::Duration::from_millis(500));
    Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status()
        .expect("kill runs");
    let ended = child.wait_with_output().expect("the program ends");
    drop(input);
    assert_eq!(ended.status.code(), Some(130));
    assert!(ended.stdout.is_empty());
}

/// Ten kinds of broken input: a name, the file's ending, the text, what the place and the remedy must say.
fn broken() -> Vec<(&'static str, &'static str, Vec<u8>, &'static [&'static str])> {
    let brief = |text: &str| text.as_bytes().to_vec();
    vec![
        (
            "an empty list",
            ".txt",
            brief("# nothing yet\n"),
            &["mend:"],
        ),
        (
            "an unknown movement",
            ".txt",
            brief("prone press\nswann dive\n"),
            &["swann dive", ":2:", "^", "mend:"],
        ),
        (
            "a file that is not text",
            ".toml",
            b"title = \"a\"\nlist = [\"\xff\xfe\"]\n".to_vec(),
            &["not text", ":2:", "mend:"],
        ),
        (
            "a text that is not well formed",
            ".toml",
            brief("title = \"a\nlist = [\"swan\"]\n"),
            &[":1:", "^"],
        ),
        (
            "an unknown key",
            ".toml",
            brief("titel = \"a\"\nlist = [\"swan\"]\n"),
            &["titel", "title", ":1:", "^"],
        ),
        (
            "a value of the wrong type",
            ".toml",
            brief("title = \"a\"\nminutes = \"fifty\"\nlist = [\"swan\"]\n"),
            &["minutes", ":2:", "^"],
        ),
        (
            "a number out of range",
            ".toml",
            brief("title = \"a\"\nminutes = -5\nlist = [\"swan\"]\n"),
            &[":2:", "^"],
        ),
        (
            "a machine that is not known",
            ".toml",
            brief("apparatus = \"harbor\"\nlist = [\"swan\"]\n"),
            &["harbor", "harbour", ":1:", "^"],
        ),
        (
            "a rule on a movement that is not on the list",
            ".toml",
            brief(
                "list = [\"swan\", \"prone press\"]\n\n[[rules.before]]\nfirst = \"hundred\"\nthen = \"swan\"\n",
            ),
            &["hundred", "^"],
        ),
        (
            "orders that go in a circle",
            ".toml",
            brief(
                "list = [\"swan\", \"prone press\"]\n\n[[rules.before]]\nfirst = \"swan\"\nthen = \"prone press\"\nneed = \"must\"\n\n[[rules.before]]\nfirst = \"prone press\"\nthen = \"swan\"\nneed = \"must\"\n",
            ),
            &["wan", "rone press", "^"],
        ),
    ]
}

#[test]
fn ten_kinds_of_broken_input_are_refused_with_place_and_remedy() {
    for (kind, ending, text, said) in broken() {
        let file = tempfile::NamedTempFile::with_suffix(ending).expect("a file can be made");
        std::fs::write(file.path(), &text).expect("the file can be written");
        let path = file.path().display().to_string();
        for command in ["plan", "check", "export"] {
            let made = run(&[command, &path]);
            assert_eq!(made.status.code(), Some(2), "{kind}: {}", err(&made));
            assert_eq!(out(&made), "", "{kind}");
            for words in said {
                let complaint = err(&made);
                assert!(complaint.contains(words), "{kind}: {words}\n{complaint}");
            }
        }
    }
}

#[test]
fn every_mistake_of_a_file_is_told_at_once() {
    let made = fed(&["plan", "-"], b"swann dive\nprone pres of\nhundret zzz\n");
    let complaint = err(&made);
    assert_eq!(complaint.matches("mistake:").count(), 3, "{complaint}");
}

#[test]
fn what_is_done_is_logged_where_it_is_asked_for_and_never_among_the_answer() {
    let plain = fed(&["plan", "-"], LIST.as_bytes());
    let logged = fed(&["plan", "-", "-v"], LIST.as_bytes());
    let more = fed(&["-vv", "plan", "-"], LIST.as_bytes());
    assert_eq!(out(&plain), out(&logged));
    assert_eq!(out(&plain), out(&more));
    assert!(!err(&plain).contains("INFO"), "{}", err(&plain));
    assert!(err(&logged).contains("search ended") && !err(&logged).contains("DEBUG"));
    assert!(err(&more).contains("DEBUG"), "{}", err(&more));
    assert_eq!(run(&["plan", "-", "-v", "-q"]).status.code(), Some(2));
}

#[test]
fn a_missing_file_is_named() {
    let made = run(&["plan", "no-such-class.toml"]);
    assert_eq!(made.status.code(), Some(2));
    assert!(err(&made).contains("no-such-class.toml cannot be read"));
}

#[test]
fn a_file_for_another_command_is_named_as_what_it_is() {
    let made = run(&["check", &problem("tight-006.json")]);
    assert_eq!(made.status.code(), Some(2));
    assert!(err(&made).contains("`segue solve`"), "{}", err(&made));
    let made = run(&["solve", &scenario("quick-six.toml")]);
    assert_eq!(made.status.code(), Some(2));
    assert!(err(&made).contains("`segue plan FILE`"), "{}", err(&made));
}

#[test]
fn a_broken_problem_file_tells_each_slip_with_its_place() {
    let text = std::fs::read_to_string(problem("tight-006.json")).expect("the file is there");
    let broken =
        text.replacen("\"duration\"", "\"durations\"", 1)
            .replacen("\"weights\"", "\"wieghts\"", 1);
    let made = fed(&["solve", "-"], broken.as_bytes());
    assert_eq!(made.status.code(), Some(2));
    let told = err(&made);
    for part in [
        "/steps/0: the key `duration` is missing",
        "did you mean `duration`?",
        "the key `weights` is missing",
        "did you mean `weights`?",
    ] {
        assert!(told.contains(part), "{part}: {told}");
    }
}

#[test]
fn a_broken_problem_file_is_refused() {
    let made = fed(&["solve", "-"], b"{ \"segue_problem\": 1 }");
    assert_eq!(made.status.code(), Some(2));
    assert!(err(&made).contains("standard input"), "{}", err(&made));
}

#[test]
fn a_class_that_cannot_be_is_a_no() {
    let made = run(&["plan", &scenario("cannot-be.toml")]);
    assert_eq!(made.status.code(), Some(1), "{}", err(&made));
    assert!(out(&made).contains("There is no order"), "{}", out(&made));
}

#[test]
fn the_same_class_on_another_machine_says_what_changed() {
    let machine: PathBuf = [env!("CARGO_MANIFEST_DIR"), "models/apparatus/orchard.toml"]
        .iter()
        .collect();
    let made = fed(
        &["plan", "-", "--apparatus", &machine.display().to_string()],
        b"footwork on the balls of the feet\nhundred\nshort spine\n",
    );
    assert_eq!(made.status.code(), Some(0), "{}", err(&made));
    assert!(out(&made).contains("What changed with the machine"));
}

#[test]
fn a_folder_of_ones_own_that_holds_nothing_is_refused() {
    let folder = tempfile::tempdir().expect("a folder can be made");
    let path = folder.path().display().to_string();
    let made = run(&["list", "--models", &path]);
    assert_eq!(made.status.code(), Some(2));
    assert!(err(&made).contains("holds no files of your own"));
}

/// A folder of one's own with these files.
fn own_models(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder can be made");
    for (name, text) in files {
        let path = folder.path().join(name);
        let parent = path.parent().expect("each file is in a folder");
        std::fs::create_dir_all(parent).expect("a folder can be made");
        std::fs::write(path, text).expect("a file can be written");
    }
    folder
}

/// A whole entry of the catalogue under another id and name.
fn own_catalogue() -> String {
    let text = include_str!("../../models/catalogue/rest-and-closing.toml");
    let head = text.find("[[movement]]").expect("the file has movements");
    let entry = &text[head..];
    let end = entry[1..]
        .find("[[movement]]")
        .map_or(entry.len(), |e| e + 1);
    let mut lines: Vec<String> = vec!["family = \"own\"".into(), String::new()];
    for line in entry[..end].lines() {
        lines.push(match line.split_once(" = ") {
            Some(("id", _)) => "id = \"slow-fold\"".into(),
            Some(("name", _)) => "name = \"Slow fold of mine\"".into(),
            Some(("other_names", _)) => "other_names = []".into(),
            _ => line.into(),
        });
    }
    lines.join("\n") + "\n"
}

#[test]
fn movements_machines_and_blocks_of_ones_own_are_read_beside_those_that_come_with_it() {
    let machine = include_str!("../../models/apparatus/orchard.toml")
        .replace("id = \"orchard\"", "id = \"attic\"")
        .replace("name = \"Orchard\"", "name = \"Attic\"");
    let folder = own_models(&[
        ("catalogue/mine.toml", &own_catalogue()),
        ("apparatus/attic.toml", &machine),
        (
            "blocks/mine.toml",
            "[[block]]\nname = \"My ending\"\nlist = [\"slow fold of mine\", \"elephant\"]\n",
        ),
        ("catalogue/notes.md", "not read"),
    ]);
    let path = folder.path().display().to_string();
    let listed = run(&["list", "--models", &path]);
    assert_eq!(listed.status.code(), Some(0), "{}", err(&listed));
    assert!(out(&listed).contains("Slow fold of mine"));
    let made = fed(
        &["plan", "-", "--models", &path],
        b"apparatus = \"attic\"\nlist = [\"hundred\", \"My ending\"]\n",
    );
    assert_eq!(made.status.code(), Some(0), "{}", err(&made));
    let said = out(&made);
    assert!(
        said.contains("Attic") && said.contains("Slow fold of mine"),
        "{said}"
    );
    let plain = fed(&["check", "-", "--models", &path], b"hundred\nMy ending\n");
    assert_eq!(plain.status.code(), Some(0), "{}", err(&plain));
    assert!(out(&plain).contains("Slow fold of mine"));
}

#[test]
fn an_id_that_stands_twice_in_one_folder_is_refused_with_both_places() {
    let machine = include_str!("../../models/apparatus/orchard.toml");
    let folder = own_models(&[
        ("catalogue/a.toml", &own_catalogue()),
        ("catalogue/b.toml", &own_catalogue()),
        ("apparatus/a.toml", machine),
        ("apparatus/b.toml", machine),
    ]);
    let path = folder.path().display().to_string();
    let made = run(&["list", "--models", &path]);
    assert_eq!(made.status.code(), Some(2));
    let told = err(&made);
    for part in [
        "there are two machines `orchard`",
        "apparatus/b.toml:",
        "apparatus/a.toml:",
        "there are two movements `Slow fold of mine`",
        "catalogue/b.toml:",
        "catalogue/a.toml:",
    ] {
        assert!(told.contains(part), "{part}: {told}");
    }
}

/// Optimum of ESC07: P, S and T in the list of best-known values, tests/data/sop/README.md.
#[test]
fn a_sequential_ordering_file_is_solved_to_its_published_tour_cost() {
    let solved = run(&["solve", "tests/data/sop/ESC07.sop", "--json"]);
    assert_eq!(solved.status.code(), Some(0));
    let value: serde_json::Value = serde_json::from_str(&out(&solved)).expect("it is JSON");
    assert_eq!(value["score"], 2125);
    assert_eq!(value["bound"], 2125);
    assert_eq!(value["proven"], true);
    let order = value["order"].as_array().unwrap();
    assert_eq!(order.len(), 9);
    assert_eq!(order[0], 0);
    assert_eq!(order[8], 8);
    // The same as text on standard input, where the first word tells.
    let text = std::fs::read("tests/data/sop/ESC07.sop").unwrap();
    let said = fed(&["solve", "-"], &text);
    assert!(out(&said).contains("Score 2125."), "{}", out(&said));
    assert!(out(&said).contains("Nothing better exists."));
}

#[test]
fn a_broken_sequential_ordering_file_is_told_with_all_its_mistakes_and_their_places() {
    let made = fed(
        &["solve", "-"],
        b"NAME: x\nTYPE: SOP\nDIMENSION: 3\nEDGE_WEIGHT_TYPE: GEO\nEDGE_WEIGHT_FORMAT: FULL_MATRIX\nEDGE_WEIGHT_SECTION\n3\n0 1 two\n-1 0 1\n-1 -1 0\nEOF\n",
    );
    assert_eq!(made.status.code(), Some(2));
    let said = err(&made);
    assert!(said.contains("standard input:4:1"), "{said}");
    assert!(said.contains("standard input:8:5"), "{said}");
    assert!(said.contains("EXPLICIT"), "{said}");
}

#[test]
fn several_problems_give_a_line_each_and_a_summary_and_a_bad_one_hinders_none() {
    let folder = tempfile::tempdir().expect("a folder can be made");
    let bad = folder.path().join("bad.json");
    std::fs::write(&bad, "{\"segue_problem\": 1}").expect("a file can be written");
    let bad = bad.display().to_string();
    let good = "tests/data/sop/ESC07.sop";
    let none = "tests/data/problems/tight-012-impossible.json";
    let lines = |text: &str| -> Vec<serde_json::Value> {
        text.lines()
            .map(|line| serde_json::from_str(line).expect("each line is JSON"))
            .collect()
    };
    let solved = run(&["solve", good, none, "--threads", "2"]);
    assert_eq!(solved.status.code(), Some(1), "{}", err(&solved));
    let mut told = lines(&out(&solved));
    told.sort_by_key(|line| line["file"].to_string());
    assert_eq!(told.len(), 2);
    assert!(told[0]["order"].is_null() && told[0]["proven"] == true);
    // Optimum of ESC07: tests/data/sop/README.md.
    assert_eq!(told[1]["score"], 2125);
    assert_eq!(told[1]["ended"], "proof");
    let incumbents = told[1]["incumbents"].as_array().expect("a list");
    let figures = |key: &str| -> Vec<f64> {
        let figure = |i: &serde_json::Value| i[key].as_f64().expect("a number");
        incumbents.iter().map(figure).collect()
    };
    let (seconds, scores) = (figures("seconds"), figures("score"));
    assert!(seconds.is_sorted() && scores.is_sorted_by(|a, b| a > b));
    assert_eq!(scores.last(), Some(&2125.0));
    assert_eq!(told[0]["incumbents"], serde_json::json!([]));
    let said = err(&solved);
    assert!(said.contains("2 problems: 1 proven best, 1 proven to have no order"));
    let mixed = run(&["solve", &bad, good]);
    assert_eq!(mixed.status.code(), Some(2));
    let told = lines(&out(&mixed));
    assert!(told[0]["error"].as_str().is_some_and(|e| !e.is_empty()));
    assert_eq!(told[1]["score"], 2125);
    assert!(err(&mixed).contains("not read: 1 of 2"));
    let single = run(&["solve", good, "--lines", "--quiet"]);
    assert_eq!(lines(&out(&single)).len(), 1);
    assert_eq!(err(&single), "");
}
