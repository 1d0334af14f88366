//! A small machine and a brief for the tests of compiling, written by hand.

use crate::brief::{Brief, Entry, Length, Pace, Priority};
use crate::model::apparatus::{Apparatus, ChangeCost, FacetSpec, SpringSpec};
use crate::model::catalogue::Catalogue;
use crate::model::placed::{Body, Facing, Feet, Hands, On, Placed};
use crate::model::posture::{Move, Posture, PostureGraph};
use crate::model::springs::{SpringClass, SpringSet};
use crate::rules::book::RuleBook;
use crate::rules::sample::{Sample, nowhere};

/// Two heavy springs of 2 units, one light of 0.5; a bar with three notches, one step 4 s and two 10 s (a detour by the middle is
/// shorter); supine, seated, and side-lying left and right.
pub fn machine() -> Apparatus {
    let class = |name: &str, count, load| SpringClass {
        name: name.into(),
        label: name.into(),
        count,
        load,
    };
    let posture = |base: &str, body: Body, left: Option<bool>| Posture {
        name: match left {
            None => base.to_string(),
            Some(true) => format!("{base}, left"),
            Some(false) => format!("{base}, right"),
        },
        base: base.into(),
        left,
        placed: Placed {
            on: On::Carriage,
            body,
            facing: Some(Facing::Bar),
            hands: Hands::Free,
            feet: Feet::Free,
            side_at_strap_end: false,
        },
    };
    let mut moves = Vec::new();
    for (a, b, seconds) in [(0, 1, 3.5), (1, 2, 4.0), (1, 3, 4.0)] {
        for (from, to) in [(a, b), (b, a)] {
            moves.push(Move {
                from,
                to,
                seconds,
                cue: "move".into(),
                fixes_strap: false,
                motions: Vec::new(),
            });
        }
    }
    Apparatus {
        id: "bench".into(),
        name: "the bench".into(),
        notes: Vec::new(),
        bar_locks: true,
        springs: SpringSpec {
            classes: vec![class("heavy", 2, 2.0), class("light", 1, 0.5)],
            base: 2.0,
            per_spring: 3.0,
            reach: vec!["seated".into(), "side-lying".into()],
            stop: true,
            start: SpringSet(vec![1, 0]),
            least_safe: 0.5,
        },
        facets: vec![FacetSpec {
            key: "bar".into(),
            name: "foot bar".into(),
            values: ["low", "middle", "high"].map(String::from).into(),
            labels: ["low", "middle", "high"].map(String::from).into(),
            cues: ["low", "middle", "high"].map(String::from).into(),
            off_cues: vec![None; 3],
            turn_cues: vec![None; 3],
            needs: vec![Vec::new(); 3],
            change: ChangeCost::Matrix(vec![
                vec![0.0, 4.0, 10.0],
                vec![4.0, 0.0, 4.0],
                vec![10.0, 4.0, 0.0],
            ]),
            reach: Vec::new(),
            stop: false,
            start: 0,
        }],
        postures: PostureGraph {
            postures: vec![
                posture("supine", Body::OnTheBack, None),
                posture("seated", Body::Seated, None),
                posture("side-lying", Body::OnTheSide, Some(true)),
                posture("side-lying", Body::OnTheSide, Some(false)),
            ],
            moves,
        },
        absent: vec![("board".into(), "off".into())],
        start_posture: Some("seated".into()),
    }
}

/// A brief for a class made by hand: balanced, a room of one, all rules as they are by default. The list names each movement once.
pub fn brief(sample: &Sample) -> Brief {
    Brief {
        title: "sample".into(),
        date: None,
        minutes: None,
        room: 1,
        variation: 0.25,
        pace: Pace::Usual,
        apparatus: "bench".into(),
        entries: sample
            .class
            .movements
            .iter()
            .map(|m| Entry {
                movement: m.id.clone(),
                side: None,
                repetitions: None,
                springs: None,
                facets: Vec::new(),
                teach: None,
                rounds: 1,
                block: None,
                instead: Vec::new(),
                span: nowhere(),
            })
            .collect(),
        blocks: Vec::new(),
        priority: Priority::Balanced,
        stop_seconds: 15.0,
        off_load_seconds: 15.0,
        off_value_seconds: 3.0,
        first_side: None,
        length: Length::Usual,
        conditions: Vec::new(),
        end: None,
        rules: RuleBook::default(),
        catalogue: Catalogue {
            movements: (sample.class.movements.iter().cloned())
                .map(Into::into)
                .collect(),
        },
        assumed: Vec::new(),
        span: nowhere(),
    }
}
