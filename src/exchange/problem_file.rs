//! A problem as JSON (format `segue_problem` 1).

use serde::{Deserialize, Deserializer, Serialize};

use crate::problem::check::{ProblemError, check};
use crate::problem::demand::at_most::AtMost;
use crate::problem::demand::contiguous::Contiguous;
use crate::problem::demand::fatigue::Fatigue;
use crate::problem::demand::fits::Fits;
use crate::problem::demand::follow::Follow;
use crate::problem::demand::longest::Longest;
use crate::problem::demand::neighbours::Neighbours;
use crate::problem::demand::peak::Peak;
use crate::problem::demand::place::Place;
use crate::problem::demand::precede::Precede;
use crate::problem::demand::recovery::Recovery;
use crate::problem::demand::same::Same;
use crate::problem::demand::window::Window;
use crate::problem::demand::{Demand, Kind};
use crate::problem::facet::Facet;
use crate::problem::posture::Postures;
use crate::problem::step::{Choice, Side, Step};
use crate::problem::{End, Problem};

#[derive(Serialize, Deserialize)]
struct ProblemShape {
    segue_problem: i64,
    #[serde(default)]
    title: String,
    facets: Vec<FacetShape>,
    postures: PosturesShape,
    start: StartShape,
    #[serde(deserialize_with = "present")]
    end: Option<EndShape>,
    weights: WeightsShape,
    steps: Vec<StepShape>,
    demands: Vec<DemandShape>,
}

#[derive(Serialize, Deserialize)]
struct FacetShape {
    name: String,
    values: Vec<String>,
    change: Vec<Vec<i64>>,
    #[serde(default)]
    reach: Option<Vec<usize>>,
    #[serde(default = "halts")]
    stop: bool,
}

fn halts() -> bool {
    true
}

#[derive(Serialize, Deserialize)]
struct PosturesShape {
    names: Vec<String>,
    path: Vec<Vec<i64>>,
}

#[derive(Serialize, Deserialize)]
struct StartShape {
    setup: Vec<usize>,
    #[serde(default)]
    posture: Option<usize>,
}

#[derive(Serialize, Deserialize)]
struct EndShape {
    setup: Vec<Option<usize>>,
    #[serde(default)]
    posture: Option<usize>,
}

#[derive(Serialize, Deserialize)]
struct WeightsShape {
    time: i64,
    stop: i64,
}

#[derive(Serialize, Deserialize)]
struct StepShape {
    #[serde(default)]
    id: String,
    side: SideShape,
    duration: i64,
    setup: Vec<Option<Vec<(usize, i64)>>>,
    posture: (usize, usize),
    #[serde(default)]
    stage: Option<u8>,
    #[serde(default)]
    group: Option<i64>,
    #[serde(default)]
    optional: Option<i64>,
}

#[derive(Serialize, Deserialize, Clone, Copy)]
#[serde(rename_all = "lowercase")]
enum SideShape {
    Both,
    Left,
    Right,
}

#[derive(Serialize, Deserialize)]
struct DemandShape {
    #[serde(flatten)]
    kind: KindShape,
    #[serde(deserialize_with = "present")]
    weight: Option<i64>,
}

#[derive(Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
enum KindShape {
    Precede {
        a: usize,
        b: usize,
    },
    Contiguous {
        steps: Vec<usize>,
        ordered: bool,
        within: i64,
    },
    Place {
        step: usize,
        min: i64,
        max: i64,
    },
    Window {
        step: usize,
        from: i64,
        to: i64,
    },
    Follow {
        trigger: Vec<usize>,
        remedy: Vec<usize>,
        within: i64,
    },
    Recovery {
        steps: Vec<usize>,
        seconds: i64,
    },
    Longest {
        steps: Vec<usize>,
        limit: i64,
        rest: i64,
    },
    AtMost {
        facet: usize,
        changes: i64,
    },
    Same {
        steps: Vec<usize>,
        facet: usize,
    },
    Neighbours {
        pairs: Vec<(usize, usize)>,
        #[serde(deserialize_with = "present")]
        least: Option<i64>,
        #[serde(deserialize_with = "present")]
        most: Option<i64>,
    },
    Fits {
        total: i64,
    },
    Fatigue {
        region: String,
        loads: Vec<(usize, f64)>,
        build: f64,
        recover: f64,
        rest: f64,
        start: f64,
        ceiling: f64,
    },
    Peak {
        step: usize,
        from: i64,
        to: i64,
    },
}

/// A field that must be there, though it may be null.
fn present<'de, D: Deserializer<'de>, T: Deserialize<'de>>(
    deserializer: D,
) -> Result<Option<T>, D::Error> {
    Option::deserialize(deserializer)
}

/// Reads a problem file.
///
/// # Errors
/// Text that is no JSON or not of the form of a problem file: the first such mistake, with its line and column. A well-formed file whose
/// numbers do not make a problem: all mistakes of [`check`].
pub fn read(text: &str) -> Result<Problem, Vec<ProblemError>> {
    let shape: ProblemShape =
        serde_json::from_str(text).map_err(|e| vec![ProblemError(e.to_string())])?;
    if shape.segue_problem != 1 {
        let found = shape.segue_problem;
        return Err(vec![ProblemError(format!(
            "segue_problem is {found}; this program reads version 1"
        ))]);
    }
    let problem = problem_of(shape);
    let mistakes = check(&problem);
    if mistakes.is_empty() {
        Ok(problem)
    } else {
        Err(mistakes)
    }
}

/// Writes a problem file: what [`read`] reads back as the same problem.
pub fn write(problem: &Problem) -> String {
    serde_json::to_string(&shape_of(problem)).expect("a problem holds nothing that JSON cannot")
        + "\n"
}

fn problem_of(shape: ProblemShape) -> Problem {
    let facet = |f: FacetShape| Facet {
        name: f.name,
        values: f.values,
        change: f.change,
        reach: f.reach,
        stop: f.stop,
    };
    let step = |s: StepShape| Step {
        id: s.id,
        side: match s.side {
            SideShape::Both => Side::Both,
            SideShape::Left => Side::Left,
            SideShape::Right => Side::Right,
        },
        duration: s.duration,
        setup: s
            .setup
            .into_iter()
            .map(|list| {
                list.map(|l| {
                    l.into_iter()
                        .map(|(value, penalty)| Choice { value, penalty })
                        .collect()
                })
            })
            .collect(),
        start: s.posture.0,
        end: s.posture.1,
        stage: s.stage,
        group: s.group,
        optional: s.optional,
    };
    Problem {
        title: shape.title,
        facets: shape.facets.into_iter().map(facet).collect(),
        postures: Postures {
            names: shape.postures.names,
            path: shape.postures.path,
        },
        start_setup: shape.start.setup,
        start_posture: shape.start.posture,
        end: shape.end.map(|e| End {
            setup: e.setup,
            posture: e.posture,
        }),
        time_weight: shape.weights.time,
        stop_weight: shape.weights.stop,
        steps: shape.steps.into_iter().map(step).collect(),
        demands: shape
            .demands
            .into_iter()
            .map(|d| Demand {
                kind: kind_of(d.kind),
                weight: d.weight,
            })
            .collect(),
    }
}

fn kind_of(shape: KindShape) -> Kind {
    match shape {
        KindShape::Precede { a, b } => Kind::Precede(Precede { a, b }),
        KindShape::Contiguous {
            steps,
            ordered,
            within,
        } => Kind::Contiguous(Contiguous {
            steps,
            ordered,
            within,
        }),
        KindShape::Place { step, min, max } => Kind::Place(Place { step, min, max }),
        KindShape::Window { step, from, to } => Kind::Window(Window { step, from, to }),
        KindShape::Follow {
            trigger,
            remedy,
            within,
        } => Kind::Follow(Follow {
            trigger,
            remedy,
            within,
        }),
        KindShape::Recovery { steps, seconds } => Kind::Recovery(Recovery { steps, seconds }),
        KindShape::Longest { steps, limit, rest } => Kind::Longest(Longest { steps, limit, rest }),
        KindShape::AtMost { facet, changes } => Kind::AtMost(AtMost { facet, changes }),
        KindShape::Same { steps, facet } => Kind::Same(Same { steps, facet }),
        KindShape::Neighbours { pairs, least, most } => {
            Kind::Neighbours(Neighbours { pairs, least, most })
        }
        KindShape::Fits { total } => Kind::Fits(Fits { total }),
        KindShape::Fatigue {
            region,
            loads,
            build,
            recover,
            rest,
            start,
            ceiling,
        } => Kind::Fatigue(Fatigue {
            region,
            loads,
            build,
            recover,
            rest,
            start,
            ceiling,
        }),
        KindShape::Peak { step, from, to } => Kind::Peak(Peak { step, from, to }),
    }
}

fn shape_of(problem: &Problem) -> ProblemShape {
    let p = problem.clone();
    let step = |s: Step| StepShape {
        id: s.id,
        side: match s.side {
            Side::Both => SideShape::Both,
            Side::Left => SideShape::Left,
            Side::Right => SideShape::Right,
        },
        duration: s.duration,
        setup: s
            .setup
            .into_iter()
            .map(|l| l.map(|l| l.into_iter().map(|c| (c.value, c.penalty)).collect()))
            .collect(),
        posture: (s.start, s.end),
        stage: s.stage,
        group: s.group,
        optional: s.optional,
    };
    let facet = |f: Facet| FacetShape {
        name: f.name,
        values: f.values,
        change: f.change,
        reach: f.reach,
        stop: f.stop,
    };
    ProblemShape {
        segue_problem: 1,
        title: p.title,
        facets: p.facets.into_iter().map(facet).collect(),
        postures: PosturesShape {
            names: p.postures.names,
            path: p.postures.path,
        },
        start: StartShape {
            setup: p.start_setup,
            posture: p.start_posture,
        },
        end: p.end.map(|e| EndShape {
            setup: e.setup,
            posture: e.posture,
        }),
        weights: WeightsShape {
            time: p.time_weight,
            stop: p.stop_weight,
        },
        steps: p.steps.into_iter().map(step).collect(),
        demands: p
            .demands
            .into_iter()
            .map(|d| DemandShape {
                kind: shape_of_kind(d.kind),
                weight: d.weight,
            })
            .collect(),
    }
}

fn shape_of_kind(kind: Kind) -> KindShape {
    match kind {
        Kind::Precede(Precede { a, b }) => KindShape::Precede { a, b },
        Kind::Contiguous(Contiguous {
            steps,
            ordered,
            within,
        }) => KindShape::Contiguous {
            steps,
            ordered,
            within,
        },
        Kind::Place(Place { step, min, max }) => KindShape::Place { step, min, max },
        Kind::Window(Window { step, from, to }) => KindShape::Window { step, from, to },
        Kind::Follow(Follow {
            trigger,
            remedy,
            within,
        }) => KindShape::Follow {
            trigger,
            remedy,
            within,
        },
        Kind::Recovery(Recovery { steps, seconds }) => KindShape::Recovery { steps, seconds },
        Kind::Longest(Longest { steps, limit, rest }) => KindShape::Longest { steps, limit, rest },
        Kind::AtMost(AtMost { facet, changes }) => KindShape::AtMost { facet, changes },
        Kind::Same(Same { steps, facet }) => KindShape::Same { steps, facet },
        Kind::Neighbours(Neighbours { pairs, least, most }) => {
            KindShape::Neighbours { pairs, least, most }
        }
        Kind::Fits(Fits { total }) => KindShape::Fits { total },
        Kind::Fatigue(Fatigue {
            region,
            loads,
            build,
            recover,
            rest,
            start,
            ceiling,
        }) => KindShape::Fatigue {
            region,
            loads,
            build,
            recover,
            rest,
            start,
            ceiling,
        },
        Kind::Peak(Peak { step, from, to }) => KindShape::Peak { step, from, to },
    }
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
        assert!(told(&newer)[0].contains("segue_problem is 2"));
        let kind = told(&file(json!({ "kind": "hover", "weight": null })));
        assert!(kind[0].contains("hover"), "{kind:?}");
        assert!(read("{ nothing").is_err());
        assert!(read("[]").is_err());
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
