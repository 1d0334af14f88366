//! A problem as JSON (format `segue_problem` 1).

use serde_json::{Value, json};

use super::read_problem::problem as problem_of;
use super::walk::{Node, Slips, parse};
use crate::problem::check::{ProblemError, check};
use crate::problem::demand::{Demand, Kind};
use crate::problem::facet::Facet;
use crate::problem::step::{Side, Step};
use crate::problem::{End, Problem};

/// The version that is read and written.
const VERSION: i64 = 1;

/// Reads a problem file. Unknown keys are refused: what they ask for would be passed over.
///
/// # Errors
/// Text that is no JSON: the first such place, with its line and column. Else everything that is wrong, each mistake with its place as
/// in a JSON pointer (`/steps/3/duration`): what is not of the form of a problem file and, if all of it could be read, the
/// figures that do not make a problem (see [`check`]).
pub fn read(text: &str) -> Result<Problem, Vec<ProblemError>> {
    let value = parse(text).map_err(|e| vec![ProblemError(format!("it is not JSON: {e}"))])?;
    let mut slips = Slips::default();
    let problem = versioned(&value, &mut slips);
    let mut mistakes: Vec<ProblemError> = slips.0.into_iter().map(ProblemError).collect();
    mistakes.extend(problem.iter().flat_map(check));
    match problem {
        Some(problem) if mistakes.is_empty() => Ok(problem),
        Some(_) | None => Err(mistakes),
    }
}

fn versioned(value: &Value, slips: &mut Slips) -> Option<Problem> {
    let mut file = Node::root(value).object(slips)?;
    let version = file.whole("segue_problem", slips);
    if let Some(found) = version.filter(|&v| v != VERSION) {
        slips.note(
            "/segue_problem",
            format!("it is {found}; this program reads version {VERSION}"),
        );
        // Another version may have other keys.
        return None;
    }
    problem_of(file, slips)
}

/// Writes a problem file: what [`read`] reads back as the same problem.
pub fn write(problem: &Problem) -> String {
    let end = problem
        .end
        .as_ref()
        .map(|End { setup, posture }| json!({ "setup": setup, "posture": posture }));
    let file = json!({
        "segue_problem": VERSION,
        "title": problem.title,
        "facets": problem.facets.iter().map(facet).collect::<Vec<_>>(),
        "postures": { "names": problem.postures.names, "path": problem.postures.path },
        "start": { "setup": problem.start_setup, "posture": problem.start_posture },
        "end": end,
        "weights": { "time": problem.time_weight, "stop": problem.stop_weight },
        "steps": problem.steps.iter().map(step).collect::<Vec<_>>(),
        "demands": problem.demands.iter().map(demand).collect::<Vec<_>>(),
    });
    format!("{file}\n")
}

fn facet(facet: &Facet) -> Value {
    json!({
        "name": facet.name,
        "values": facet.values,
        "change": facet.change,
        "reach": facet.reach,
        "stop": facet.stop,
    })
}

fn step(step: &Step) -> Value {
    let side = match step.side {
        Side::Both => "both",
        Side::Left => "left",
        Side::Right => "right",
    };
    let setup: Vec<Option<Vec<(usize, i64)>>> = step
        .setup
        .iter()
        .map(|choices| {
            let choices = choices.as_ref()?;
            Some(choices.iter().map(|c| (c.value, c.penalty)).collect())
        })
        .collect();
    json!({
        "id": step.id,
        "side": side,
        "duration": step.duration,
        "setup": setup,
        "posture": [step.start, step.end],
        "stage": step.stage,
        "group": step.group,
        "optional": step.optional,
    })
}

fn demand(demand: &Demand) -> Value {
    let kind = demand.kind.name();
    let mut value = match &demand.kind {
        Kind::Precede(d) => json!({ "kind": kind, "a": d.a, "b": d.b }),
        Kind::Contiguous(d) => {
            json!({ "kind": kind, "steps": d.steps, "ordered": d.ordered, "within": d.within })
        }
        Kind::Place(d) => json!({ "kind": kind, "step": d.step, "min": d.min, "max": d.max }),
        Kind::Window(d) => json!({ "kind": kind, "step": d.step, "from": d.from, "to": d.to }),
        Kind::Follow(d) => {
            json!({ "kind": kind, "trigger": d.trigger, "remedy": d.remedy, "within": d.within })
        }
        Kind::Recovery(d) => json!({ "kind": kind, "steps": d.steps, "seconds": d.seconds }),
        Kind::Longest(d) => {
            json!({ "kind": kind, "steps": d.steps, "limit": d.limit, "rest": d.rest })
        }
        Kind::AtMost(d) => json!({ "kind": kind, "facet": d.facet, "changes": d.changes }),
        Kind::Same(d) => json!({ "kind": kind, "steps": d.steps, "facet": d.facet }),
        Kind::Neighbours(d) => {
            json!({ "kind": kind, "pairs": d.pairs, "least": d.least, "most": d.most })
        }
        Kind::Fits(d) => json!({ "kind": kind, "total": d.total }),
        Kind::Fatigue(d) => json!({
            "kind": kind, "region": d.region, "loads": d.loads, "build": d.build, "recover": d.recover, "rest": d.rest,
            "start": d.start, "ceiling": d.ceiling,
        }),
        Kind::Peak(d) => json!({ "kind": kind, "step": d.step, "from": d.from, "to": d.to }),
    };
    value["weight"] = json!(demand.weight);
    value
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};

    /// A small problem file with one demand.
    fn file(demand: Value) -> Value {
        json!({
            "segue_problem": 1,
            "facets": [{ "name": "springs", "values": ["none", "one"], "change": [[0, 1200], [900, 0]], "reach": [1], "stop": false }],
            "postures": { "names": ["lying", "seated"], "path": [[0, 500], [400, 0]] },
            "start": { "setup": [0], "posture": null },
            "end": { "setup": [null], "posture": 1 },
            "weights": { "time": 1, "stop": 1500 },
            "steps": [
                { "id": "a", "side": "both", "duration": 6000, "setup": [[[1, 0], [0, 300]]], "posture": [0, 1], "stage": 1, "group": 4, "optional": 20 },
                { "side": "left", "duration": 100, "setup": [null], "posture": [0, 0] }
            ],
            "demands": [demand]
        })
    }

    fn told(file: &Value) -> Vec<String> {
        let mistakes = read(&file.to_string()).expect_err("the file has mistakes");
        mistakes.into_iter().map(|m| m.0).collect()
    }

    #[test]
    fn every_kind_of_demand_is_read_and_written_as_it_was() {
        let demands = [
            json!({ "kind": "precede", "a": 0, "b": 1 }),
            json!({ "kind": "contiguous", "steps": [1, 0], "ordered": true, "within": 2 }),
            json!({ "kind": "place", "step": 1, "min": 1, "max": -2 }),
            json!({ "kind": "window", "step": 1, "from": 10, "to": 20 }),
            json!({ "kind": "follow", "trigger": [0], "remedy": [1], "within": 1 }),
            json!({ "kind": "recovery", "steps": [0, 1], "seconds": 700 }),
            json!({ "kind": "longest", "steps": [0, 1], "limit": 700, "rest": 80 }),
            json!({ "kind": "at_most", "facet": 0, "changes": 3 }),
            json!({ "kind": "same", "steps": [0, 1], "facet": 0 }),
            json!({ "kind": "neighbours", "pairs": [[0, 1], [1, 0]], "least": null, "most": 1 }),
            json!({ "kind": "fits", "total": 180_000 }),
            json!({ "kind": "fatigue", "region": "wrists", "loads": [[0, 0.1], [1, 1.0]], "build": 0.00912, "recover": 0.000_94,
                "rest": 15.3, "start": 0.1, "ceiling": 0.300_000_000_000_000_04 }),
            json!({ "kind": "peak", "step": 0, "from": 400, "to": 700 }),
        ];
        for mut demand in demands {
            for weight in [json!(null), json!(250)] {
                demand["weight"] = weight;
                let problem = read(&file(demand.clone()).to_string());
                let problem = problem.unwrap_or_else(|e| panic!("{demand}: {e:?}"));
                assert_eq!(problem.demands[0].kind.name(), demand["kind"]);
                let written = write(&problem);
                assert_eq!(read(&written), Ok(problem), "{demand}");
                let again: Value = serde_json::from_str(&written).expect("it is JSON");
                assert_eq!(again["demands"][0], demand);
            }
        }
    }

    #[test]
    fn what_may_be_absent_is_filled_in() {
        let mut file = file(json!({ "kind": "fits", "total": 1, "weight": null }));
        let facet = file["facets"][0].as_object_mut().expect("it is there");
        facet.remove("reach");
        facet.remove("stop");
        let problem = read(&file.to_string()).expect("it is well formed");
        assert_eq!(problem.title, "");
        assert_eq!(problem.facets[0].reach, None);
        assert!(problem.facets[0].stop);
        let step = &problem.steps[1];
        assert_eq!((step.stage, step.group, step.optional), (None, None, None));
        assert_eq!(problem.start_posture, None);
    }

    #[test]
    fn a_weight_or_an_end_that_is_absent_is_not_taken_for_null() {
        let no_weight = told(&file(json!({ "kind": "fits", "total": 1 })));
        assert!(no_weight[0].contains("weight"), "{no_weight:?}");
        let mut no_end = file(json!({ "kind": "fits", "total": 1, "weight": null }));
        no_end
            .as_object_mut()
            .expect("it is an object")
            .remove("end");
        assert!(told(&no_end)[0].contains("end"));
        let no_most = json!({ "kind": "neighbours", "pairs": [], "least": 1, "weight": 3 });
        assert!(told(&file(no_most))[0].contains("most"));
    }

    #[test]
    fn another_version_an_unknown_kind_and_what_is_no_json_are_refused() {
        let mut newer = file(json!({ "kind": "fits", "total": 1, "weight": null }));
        newer["segue_problem"] = json!(2);
        assert!(told(&newer)[0].starts_with("/segue_problem: it is 2"));
        let kind = told(&file(json!({ "kind": "hover", "weight": null })));
        assert!(kind[0].contains("hover"), "{kind:?}");
        assert!(read("{ nothing").is_err());
        assert!(read("[]").is_err());
    }

    #[test]
    fn all_slips_of_the_form_are_told_at_once_with_their_places() {
        let mut file = file(json!({ "kind": "places", "step": 1, "weight": null }));
        file["facets"][0]["chnage"] = json!([]);
        file["steps"][0]["duration"] = json!("60 s");
        file["steps"][1]["posture"] = json!([0]);
        file["steps"][1]["side"] = json!("lefft");
        file["weights"] = json!({ "time": 1.5 });
        let told = told(&file);
        for part in [
            "/facets/0: the key `chnage` means nothing here; did you mean `change`?",
            "/steps/0/duration: a whole number belongs here, not the text \"60 s\"",
            "/steps/1/posture: [start, end] belongs here, a list of 2, not of 1",
            "/steps/1/side: there is no side \"lefft\"; did you mean `left`?",
            "/weights/time: a whole number belongs here, not 1.5",
            "/weights: the key `stop` is missing",
            "/demands/0: there is no kind of demand \"places\"; did you mean `place`?",
        ] {
            assert!(told.iter().any(|t| t == part), "{part}: {told:#?}");
        }
        assert_eq!(told.len(), 7, "{told:#?}");
    }

    #[test]
    fn an_unknown_key_is_told_together_with_figures_that_make_no_problem() {
        let mut file = file(json!({ "kind": "fits", "total": -1, "weight": null }));
        file["demands"][0]["wieght"] = json!(3);
        let told = told(&file);
        assert_eq!(told.len(), 2, "{told:?}");
        assert!(told[0].starts_with("/demands/0: the key `wieght`"));
        assert!(told[1].starts_with("demand 0: total is negative"));
    }

    #[test]
    fn all_that_is_wrong_with_the_figures_is_told_at_once() {
        let mut file =
            file(json!({ "kind": "place", "step": 2, "min": 0, "max": 1, "weight": -1 }));
        file["facets"][0]["change"] = json!([[0, 1200], [-5, 1]]);
        file["steps"][0]["setup"] = json!([[[1, 0], [1, 300]]]);
        file["start"]["setup"] = json!([2]);
        let told = told(&file).join("\n");
        for part in [
            "change[1][0] is negative",
            "change[1][1] is not 0",
            "start.setup[0] is 2",
            "names value 1 twice",
            "demand 0: weight is negative",
            "demand 0: step is 2",
            "demand 0: min is place 0",
        ] {
            assert!(told.contains(part), "{part} is not told:\n{told}");
        }
    }
}
