//! The commands as a stranger types them.

use assert_cmd::Command;

fn segue() -> Command {
    Command::new(env!("CARGO_BIN_EXE_segue"))
}

#[test]
fn a_loose_list_becomes_a_sheet_that_says_nothing_better_exists() {
    let run = segue()
        .args(["plan", "scenarios/loose-list.txt"])
        .assert()
        .code(0);
    let text = String::from_utf8(run.get_output().stdout.clone()).unwrap();
    assert!(text.contains("Nothing better exists."), "{text}");
    assert!(text.contains("Set the machines"), "{text}");
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
}

#[test]
fn a_list_is_read_from_standard_input_with_repetitions() {
    let run = segue()
        .args(["plan", "-"])
        .write_stdin("Elephant x 6\nFootwork, heels\n")
        .assert()
        .code(0);
    let text = String::from_utf8(run.get_output().stdout.clone()).unwrap();
    assert!(text.contains("Elephant  6"), "{text}");
}

#[test]
fn an_unknown_movement_is_refused_with_its_place_and_a_candidate() {
    let run = segue()
        .args(["plan", "-"])
        .write_stdin("Elephant\nElephent two\n")
        .assert()
        .code(2);
    let text = String::from_utf8(run.get_output().stderr.clone()).unwrap();
    assert!(text.contains(":2:1") && text.contains("Elephant"), "{text}");
}

#[test]
fn a_file_that_is_not_there_is_refused() {
    segue().args(["plan", "no-such-file.txt"]).assert().code(2);
    segue()
        .args(["solve", "no-such-file.json"])
        .assert()
        .code(2);
}

#[test]
fn an_impossible_problem_ends_with_status_1() {
    segue()
        .args(["solve", "tests/data/problems/tight-012-impossible.json"])
        .assert()
        .code(1);
}

#[test]
fn a_solved_problem_prints_its_solution_file() {
    let run = segue()
        .args(["solve", "tests/data/problems/packed-006.json", "--json"])
        .assert()
        .code(0);
    let solution: serde_json::Value = serde_json::from_slice(&run.get_output().stdout).unwrap();
    assert_eq!(solution["score"], 12099);
    assert_eq!(solution["proven"], true);
}
