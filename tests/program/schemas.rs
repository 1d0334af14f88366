//! The JSON Schemas under `models/schema`: generated from types, complete for what the readers know, and true of every file and of what the commands print.
//!
//! What is printed is described by the types that print it, which proves nothing by itself: an independent validator holds what is printed to the
//! files, and a change of a file shows in its difference.
//!
//! `SEGUE_BLESS=1` writes them anew.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

mod given;
mod told;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use assert_cmd::prelude::*;
use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, schema_for};
use segue::exchange::solution_file;
use segue::report::json::{
    check, explained, list, own_files, own_order, plan, rest, solved, tried, varied,
};
use serde::de::DeserializeOwned;
use serde_json::{Map, Value, json};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn run(folder: &Path, args: &[&str]) -> Output {
    Command::cargo_bin("segue")
        .unwrap()
        .env("XDG_CONFIG_HOME", "no-such-folder")
        .env("COLUMNS", "2000")
        .current_dir(folder)
        .args(args)
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// All schemas by name.
fn schemas() -> Vec<(&'static str, Value)> {
    fn given<T: JsonSchema>() -> Value {
        let mut schema = schema_for!(T).to_value();
        without_null(&mut schema);
        schema
    }
    fn told<T: JsonSchema>() -> Value {
        let settings = SchemaSettings::draft2020_12().for_serialize();
        let mut schema = settings.into_generator().into_root_schema_for::<T>();
        let mut schema = schema.ensure_object().clone().into();
        closed(&mut schema);
        schema
    }
    fn old<T: JsonSchema>() -> Value {
        let mut schema = schema_for!(T).to_value();
        all_required(&mut schema);
        schema
    }
    vec![
        ("brief", given::<given::Brief>()),
        ("apparatus", given::<given::Apparatus>()),
        ("catalogue", given::<given::Catalogue>()),
        ("blocks", given::<given::Blocks>()),
        ("labels", given::<given::Labels>()),
        ("plan", told::<plan::Plan>()),
        ("check", told::<check::Check>()),
        ("explain", told::<explained::Explain>()),
        ("try", told::<tried::Try>()),
        ("vary", told::<varied::Vary>()),
        ("keep", told::<own_order::Keep>()),
        ("late", told::<rest::Late>()),
        ("list", told::<list::List>()),
        ("files", told::<own_files::Files>()),
        ("problem", old::<told::Problem>()),
        ("solution", told::<solution_file::SolutionFile>()),
        ("solved", told::<solved::Solved>()),
    ]
}

/// Calls `change` on every object of a schema, the innermost first.
fn everywhere(schema: &mut Value, change: fn(&mut Map<String, Value>)) {
    match schema {
        Value::Object(map) => {
            for value in map.values_mut() {
                everywhere(value, change);
            }
            change(map);
        }
        Value::Array(all) => all.iter_mut().for_each(|one| everywhere(one, change)),
        _ => {}
    }
}

/// TOML has no null: what may be left away is left away.
fn without_null(schema: &mut Value) {
    everywhere(schema, |map| {
        if let Some(Value::Array(types)) = map.get_mut("type") {
            types.retain(|t| t != "null");
            if let [one] = &types[..] {
                map["type"] = one.clone();
            }
        }
        if let Some(Value::Array(any)) = map.get_mut("anyOf") {
            any.retain(|one| one != &json!({ "type": "null" }));
            if let [Value::Object(one)] = &any[..] {
                let one = one.clone();
                map.remove("anyOf");
                map.extend(one);
            }
        }
    });
}

/// No key is printed that is not described, and what is printed each time needs no default.
fn closed(schema: &mut Value) {
    everywhere(schema, |map| {
        let Some(Value::Object(properties)) = map.get_mut("properties") else {
            return;
        };
        for property in properties.values_mut() {
            if let Value::Object(property) = property {
                property.remove("default");
            }
        }
        map.insert("additionalProperties".into(), false.into());
    });
}

/// Every key is printed each time, unless its type says otherwise with a default.
fn all_required(schema: &mut Value) {
    everywhere(schema, |map| {
        if map.get("additionalProperties") != Some(&Value::Bool(false)) {
            return;
        }
        let Some(Value::Object(properties)) = map.get("properties") else {
            return;
        };
        let needed = properties
            .iter()
            .filter(|(_, p)| p.get("default").is_none());
        let needed: Vec<Value> = needed.map(|(key, _)| json!(key)).collect();
        map.insert("required".into(), Value::Array(needed));
    });
}

/// Keys of what is printed that are not always there, by schema and type.
const AT_TIMES: [(&str, &str, &[&str]); 4] = [
    ("plan", "Solution", OF_A_PLAN),
    ("solution", "", OF_A_PLAN),
    ("solved", "SolvedLine", OF_A_PLAN),
    (
        "explain",
        "Elsewhere",
        &[
            "other_place",
            "costs_seconds",
            "stops",
            "changeover_seconds",
            "breaks",
        ],
    ),
];
/// Those of a solution file, which says less without a plan.
const OF_A_PLAN: &[&str] = &[
    "setups",
    "score",
    "bound",
    "changeover",
    "stops",
    "finish",
    "violations",
    "conflict",
];

#[test]
fn every_key_is_printed_each_time_but_for_those_that_are_known_not_to_be() {
    for (name, schema) in schemas() {
        let input = ["brief", "apparatus", "catalogue", "blocks", "labels"];
        if input.contains(&name) {
            continue;
        }
        let whole = ("".to_owned(), &schema);
        let parts = schema["$defs"].as_object().into_iter().flatten();
        let parts = parts.map(|(definition, part)| (definition.clone(), part));
        for (definition, part) in std::iter::once(whole).chain(parts) {
            let one_of = part["oneOf"].as_array().into_iter().flatten();
            for part in std::iter::once(part).chain(one_of) {
                let Some(properties) = part["properties"].as_object() else {
                    continue;
                };
                let at = format!("{name}, {definition}");
                assert_eq!(part["additionalProperties"], false, "{at}");
                let required: Vec<&str> = (part["required"].as_array().unwrap().iter())
                    .map(|key| key.as_str().unwrap())
                    .collect();
                let at_times: Vec<&str> = (properties.keys().map(String::as_str))
                    .filter(|key| !required.contains(key))
                    .collect();
                let known = (AT_TIMES.iter())
                    .find(|(_, type_name, _)| *type_name == definition && !definition.is_empty())
                    .or(AT_TIMES.iter().find(|(of, type_name, _)| {
                        (*of, *type_name) == (name, definition.as_str())
                    }))
                    .map_or(&[][..], |(.., keys)| keys);
                assert_eq!(at_times, known, "{at}");
            }
        }
    }
}

fn file(name: &str) -> PathBuf {
    root().join(format!("models/schema/{name}.schema.json"))
}

#[test]
fn the_files_are_what_the_types_give() {
    let mut wrong = Vec::new();
    for (name, schema) in schemas() {
        let drawn = format!("{schema:#}\n");
        if std::env::var_os("SEGUE_BLESS").is_some() {
            fs::create_dir_all(root().join("models/schema")).unwrap();
            fs::write(file(name), drawn).unwrap();
        } else if fs::read_to_string(file(name)).unwrap_or_default() != drawn {
            wrong.push(name);
        }
        jsonschema::meta::validate(&schema).unwrap();
    }
    assert!(
        wrong.is_empty(),
        "changed: {wrong:?}; run with SEGUE_BLESS=1"
    );
}

/// TOML as JSON, dates as texts.
fn as_json(value: toml::Value) -> Value {
    match value {
        toml::Value::Datetime(d) => json!(d.to_string()),
        toml::Value::Array(all) => all.into_iter().map(as_json).collect(),
        toml::Value::Table(table) => {
            let entries = table.into_iter().map(|(key, value)| (key, as_json(value)));
            Value::Object(entries.collect())
        }
        toml::Value::String(s) => json!(s),
        toml::Value::Integer(i) => json!(i),
        toml::Value::Float(f) => json!(f),
        toml::Value::Boolean(b) => json!(b),
    }
}

fn toml_of(text: &str) -> Value {
    as_json(toml::Value::Table(toml::from_str(text).unwrap()))
}

/// What a schema has against a value, as the validator sees it.
fn against_schema(schema: &Value, value: &Value) -> Vec<String> {
    let validator = jsonschema::draft202012::new(schema).unwrap();
    (validator.iter_errors(value))
        .map(|e| format!("{}: {e}", e.instance_path()))
        .collect()
}

/// The same, and what the types have against it.
fn against<T: DeserializeOwned>(schema: &Value, value: &Value) -> Vec<String> {
    let mut wrong = against_schema(schema, value);
    if let Err(e) = serde_json::from_value::<T>(value.clone()) {
        wrong.push(format!("as a type: {e}"));
    }
    wrong
}

fn schema(name: &str) -> Value {
    let all = schemas();
    all.into_iter().find(|(n, _)| *n == name).unwrap().1
}

fn toml_files(folder: &str) -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = fs::read_dir(root().join(folder))
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .collect();
    files.sort();
    assert!(!files.is_empty(), "{folder}");
    files
}

#[test]
fn every_file_of_models_and_scenarios_names_its_schema_and_is_as_it_says() {
    fn each<T: DeserializeOwned>(folder: &str, name: &str, way: &str) {
        let schema = schema(name);
        for path in toml_files(folder) {
            let text = fs::read_to_string(&path).unwrap();
            let first = text.lines().next().unwrap();
            let shown = path.display();
            assert_eq!(
                first,
                format!("#:schema {way}{name}.schema.json"),
                "{shown}"
            );
            let named = path.parent().unwrap().join(&first["#:schema ".len()..]);
            assert_eq!(named.canonicalize().unwrap(), file(name), "{shown}");
            let wrong = against::<T>(&schema, &toml_of(&text));
            assert!(wrong.is_empty(), "{shown}: {wrong:#?}");
        }
    }
    each::<given::Brief>("scenarios", "brief", "../models/schema/");
    each::<given::Apparatus>("models/apparatus", "apparatus", "../schema/");
    each::<given::Catalogue>("models/catalogue", "catalogue", "../schema/");
    let (blocks, labels) = (schema("blocks"), schema("labels"));
    let of =
        "[[series]]\nname = \"Hips\"\nlist = [\"Side splits x 8\", { movement = \"Scooter\" }]\n";
    assert!(against::<given::Blocks>(&blocks, &toml_of(of)).is_empty());
    let of = "[harbour]\nheavy = \"brick\"\n";
    assert!(against::<given::Labels>(&labels, &toml_of(of)).is_empty());
}

#[test]
fn what_is_wrong_is_refused() {
    let brief = schema("brief");
    for wrong in [
        "list = [\"Swan\"]\nminuets = 50\n",
        "list = [\"Swan\"]\nroom = 0\n",
        "list = [\"Swan\"]\npriority = \"speed\"\n",
        "list = [{ movement = \"Swan\", repetitions = \"many\" }]\n",
        "list = [\"Swan\"]\n[rules]\nrecovery = \"always\"\n",
        "list = [\"Swan\"]\n[[rules.before]]\nfirst = \"Swan\"\n",
    ] {
        assert!(
            !against::<given::Brief>(&brief, &toml_of(wrong)).is_empty(),
            "{wrong}"
        );
    }
}

/// The keys that a reader knows in a table: it lists them where one is like none of them.
fn known(files: &[(&str, String)]) -> BTreeSet<String> {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    let ended = run(folder.path(), &["check", "b.toml"]);
    let said = text(&ended.stderr);
    let (_, listed) = said
        .split_once("known here: ")
        .unwrap_or_else(|| panic!("no keys are listed for {files:?}\n{said}"));
    let listed = listed.split("\n\n").next().unwrap();
    (listed.split(|c: char| !(c.is_alphanumeric() || c == '_')))
        .filter(|k| !k.is_empty())
        .map(str::to_owned)
        .collect()
}

/// The keys that a schema has for a type.
fn keys(schema: &Value, definition: &str) -> BTreeSet<String> {
    let of = if definition.is_empty() {
        schema
    } else {
        &schema["$defs"][definition]
    };
    let properties = of["properties"].as_object();
    let properties = properties.unwrap_or_else(|| panic!("no {definition}"));
    properties.keys().cloned().collect()
}

/// A key that is like none.
const ODD: &str = "qqqqqq = 1";
const LIST: &str = "list = [\"Elephant\", \"Scooter\"]\n";

#[test]
fn the_schema_of_a_brief_has_the_keys_that_the_reader_knows_and_no_other() {
    let brief = schema("brief");
    let mut cases: Vec<(String, String)> = [
        ("", format!("{ODD}\n{LIST}")),
        ("ListTable", format!("list = [{{ movement = \"Elephant\", {ODD} }}]")),
        ("Block", format!("[[block]]\nname = \"b\"\nlist = [\"Elephant\"]\n{ODD}\n")),
        ("Cost", format!("{LIST}[cost]\n{ODD}\n")),
        ("BreathersTable", format!("{LIST}[breathers]\n{ODD}\n")),
        ("EndTable", format!("{LIST}[end]\n{ODD}\n")),
        ("ConditionTable", format!("{LIST}conditions = [{{ name = \"wrist pain\", {ODD} }}]\n")),
        ("OwnMovement", format!("{LIST}[[movement]]\nname = \"x\"\nlike = \"Scooter\"\n{ODD}\n")),
        ("Rules", format!("{LIST}[rules]\n{ODD}\n")),
        ("BodyNotes", format!("{LIST}[[movement]]\nname = \"x\"\nlike = \"Scooter\"\nnotes = {{ {ODD} }}\n")),
        ("Before", format!("{LIST}[[rules.before]]\nfirst = \"Elephant\"\nlater = \"Scooter\"\n{ODD}\n")),
        ("Together", format!("{LIST}[[rules.together]]\nmembers = [\"Elephant\", \"Scooter\"]\n{ODD}\n")),
        ("FlowsInto", format!("{LIST}[[rules.flows_into]]\nfrom = \"Elephant\"\ninto = \"Scooter\"\n{ODD}\n")),
        ("Near", format!("{LIST}[[rules.near]]\norder = [\"Elephant\", \"Scooter\"]\n{ODD}\n")),
        ("Apart", format!("{LIST}[[rules.apart]]\norder = [\"Elephant\", \"Scooter\"]\n{ODD}\n")),
        ("Pinned", format!("{LIST}[[rules.pinned]]\nwhat = \"Elephant\"\nat = 1\n{ODD}\n")),
        ("AtMost", format!("{LIST}[[rules.at_most]]\nfacet = \"springs\"\nchanges = 1\n{ODD}\n")),
        ("LoadCeiling", format!("{LIST}[[rules.load_ceiling]]\nregion = \"wrists\"\nceiling = 0.5\n{ODD}\n")),
        ("LoadedRegion", format!("{LIST}[rules.longest_load]\nregions = [{{ region = \"wrists\", seconds = 60, {ODD} }}]\n")),
    ]
    .map(|(definition, brief)| (definition.to_owned(), brief))
    .into();
    for (rule, table) in [
        ("warm_up", "PhaseTable"),
        ("cool_down", "PhaseTable"),
        ("sides_paired", "SidesPairedTable"),
        ("sides_equal", "PlainTable"),
        ("rounds", "RoundsTable"),
        ("counterpose", "CounterposeTable"),
        ("recovery", "RecoveryTable"),
        ("longest_load", "LongestLoadTable"),
        ("effort_arc", "EffortArcTable"),
        ("fits", "PlainTable"),
    ] {
        cases.push((table.to_owned(), format!("{LIST}[rules.{rule}]\n{ODD}\n")));
    }
    for (definition, text) in cases {
        let reader = known(&[("b.toml", text.clone())]);
        assert_eq!(keys(&brief, &definition), reader, "{definition}\n{text}");
    }
}

#[test]
fn the_schemas_of_machines_and_movements_have_the_keys_that_the_readers_know_and_no_other() {
    let brief = ("b.toml", LIST.to_owned());
    let machine = fs::read_to_string(root().join("models/apparatus/orchard.toml")).unwrap();
    let apparatus = schema("apparatus");
    // A key of each table, before which the odd one is put; some stand in a table that has a line of its own.
    for (definition, before, odd) in [
        ("", "name = \"Orchard\"", format!("{ODD}\n")),
        ("Springs", "per_spring =", format!("{ODD}\n")),
        ("SpringClass", "newtons_per_metre =", format!("{ODD}, ")),
        ("Posture", "body =", format!("{ODD}, ")),
        ("Move", "seconds =", format!("{ODD}, ")),
        ("Facet", "name = \"foot bar\"", format!("{ODD}\n")),
        ("FacetValue", "cue =", format!("{ODD}, ")),
    ] {
        // Cues stand in moves too, and facets come last.
        let at = match definition {
            "FacetValue" => machine.rfind(before),
            _ => machine.find(before),
        };
        let at = at.unwrap_or_else(|| panic!("no {before}"));
        // In a table of one line the keys are parted by commas, else by lines.
        let line_start = machine[..at].rfind('\n').map_or(0, |k| k + 1);
        let inline = machine[line_start..at].contains('{');
        let odd = if inline {
            format!("{ODD}, ")
        } else {
            odd.replace(", ", "\n")
        };
        let text = format!("{}{odd}{}", &machine[..at], &machine[at..]);
        let mut reader = known(&[brief.clone(), ("segue/apparatus/m.toml", text.clone())]);
        if definition == "SpringClass" {
            // A class gives its rate or its load, and the reader looks for one of them.
            let rate = text.split("newtons_per_metre = ").nth(1).unwrap();
            let rate = rate.split([' ', '}']).next().unwrap();
            let text = text.replace(&format!("newtons_per_metre = {rate}"), "load = 0.45");
            reader.append(&mut known(&[
                brief.clone(),
                ("segue/apparatus/m.toml", text),
            ]));
        }
        assert_eq!(keys(&apparatus, definition), reader, "{definition}");
    }
    let catalogue = schema("catalogue");
    let family = fs::read_to_string(root().join("models/catalogue/long-box-lying.toml")).unwrap();
    for (definition, before, odd) in [
        ("", "family =", format!("{ODD}\n")),
        ("Movement", "how =", format!("{ODD}\n")),
        ("Repetitions", "fewest =", format!("{ODD}, ")),
        ("SpringRange", "from =", format!("{ODD}, ")),
    ] {
        let at = family.find(before).unwrap();
        let text = format!("{}{odd}{}", &family[..at], &family[at..]);
        let reader = known(&[brief.clone(), ("segue/catalogue/m.toml", text)]);
        assert_eq!(keys(&catalogue, definition), reader, "{definition}");
    }
}

#[test]
fn what_the_commands_print_is_as_the_schemas_say() {
    fn holds(name: &str, args: &[&str], lines: bool) {
        let ended = run(root(), args);
        let printed = text(&ended.stdout);
        assert!(!printed.is_empty(), "{args:?}: {}", text(&ended.stderr));
        let values: Vec<&str> = if lines {
            printed.lines().collect()
        } else {
            vec![printed.as_str()]
        };
        let schema = schema(name);
        for value in values {
            let value: Value = serde_json::from_str(value).unwrap();
            let wrong = against_schema(&schema, &value);
            assert!(wrong.is_empty(), "{args:?}: {wrong:#?}");
        }
    }
    for scenario in [
        "quick-six",
        "two-series",
        "tight-rest",
        "cannot-be",
        "second-machine",
    ] {
        let brief = format!("scenarios/{scenario}.toml");
        holds("plan", &["-q", "plan", &brief, "--json"], false);
        holds("problem", &["-q", "export", &brief], false);
        holds("check", &["-q", "check", &brief, "--json"], true);
        holds("explain", &["-q", "explain", &brief, "--json"], false);
        if scenario != "cannot-be" {
            holds(
                "vary",
                &["-q", "vary", &brief, "--json", "--count", "2"],
                false,
            );
        }
    }
    let packed = "scenarios/packed-noon.toml";
    holds("plan", &["-q", "plan", packed, "--json"], false);
    holds("problem", &["-q", "export", packed], false);
    holds("check", &["-q", "check", packed, "--json"], true);
    let other = [
        "-q",
        "plan",
        "scenarios/quick-six.toml",
        "--json",
        "--apparatus",
        "models/apparatus/lantern.toml",
    ];
    holds("plan", &other, false);
    let six = "scenarios/quick-six.toml";
    holds(
        "try",
        &["-q", "try", six, "--without", "Mermaid", "--json"],
        false,
    );
    holds("keep", &["-q", "keep", six, "--json"], false);
    let late = [
        "-q",
        "late",
        "scenarios/two-series.toml",
        "--from",
        "11",
        "--left",
        "6",
        "--json",
    ];
    holds("late", &late, false);
    holds("list", &["list", "--json"], false);
    holds("files", &["files", six, "--json"], false);
    let problems: Vec<PathBuf> = fs::read_dir(root().join("tests/data/problems"))
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "json"))
        .collect();
    let first = problems[0].to_str().unwrap();
    holds(
        "solution",
        &["-q", "solve", first, "--json", "--nodes", "20000"],
        false,
    );
    let mut lines = vec!["-q", "solve", "--lines", "--nodes", "2000", "README.md"];
    lines.extend(problems.iter().take(6).map(|p| p.to_str().unwrap()));
    holds("solved", &lines, true);
}
