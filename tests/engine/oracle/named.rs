//! Small problems by name: each is built for one claim of the search that random problems hardly ever try, and says why it comes out as it does.

use segue::exchange::problem_file;
use segue::problem::Problem;

/// Dominance reads the least time to come from the table, which knows plans below a figure alone; and two plans with the same set-up may have
/// shadows with different ones. Here "peak" too early (first, then "far") costs 30 whatever follows, so that a table below 51 knows of no end of
/// that order but the one that changes the dial, which takes 20 s. With that end the other order, too, has the peak too early, and would be forgotten;
/// with the short end, which the table knows for the other order alone, it is the best plan.
pub fn whose_time_to_come() -> Problem {
    problem_file::read(
        r#"{
        "segue_problem": 1, "title": "whose time to come",
        "facets": [
            { "name": "bar", "values": ["0", "1", "2"], "change": [[0, 100, 100], [100, 0, 100], [100, 100, 0]], "reach": null, "stop": false },
            { "name": "dial", "values": ["0", "1"], "change": [[0, 2000], [2000, 0]], "reach": [0], "stop": false }
        ],
        "postures": { "names": ["there"], "path": [[0]] },
        "start": { "setup": [0, 0], "posture": 0 }, "end": null, "weights": { "time": 0, "stop": 0 },
        "steps": [
            { "id": "peak", "side": "both", "duration": 1000, "setup": [[[1, 0]], null], "posture": [0, 0], "stage": null, "group": null, "optional": null },
            { "id": "far", "side": "both", "duration": 10000, "setup": [[[2, 0]], null], "posture": [0, 0], "stage": null, "group": null, "optional": null },
            { "id": "late", "side": "both", "duration": 1000, "setup": [null, null], "posture": [0, 0], "stage": null, "group": null, "optional": null },
            { "id": "end", "side": "both", "duration": 1000, "setup": [[[0, 0]], [[0, 50], [1, 0]]], "posture": [0, 0], "stage": null, "group": null, "optional": null }
        ],
        "demands": [
            { "kind": "precede", "a": 0, "b": 2, "weight": null },
            { "kind": "precede", "a": 1, "b": 2, "weight": null },
            { "kind": "precede", "a": 2, "b": 3, "weight": null },
            { "kind": "window", "step": 2, "from": 11300, "to": 11300, "weight": null },
            { "kind": "peak", "step": 0, "from": 760, "to": 1000, "weight": 3 },
            { "kind": "fits", "total": 13300, "weight": 1000 }
        ] }"#,
    )
    .expect("it is well formed")
}

/// "peak" is to lie within the first 30 % of the class. "window" begins at 40 s sharp, for which the dial (20 s) is set before it, early: then the class
/// ends at 60 s, and "peak" as the second step ends 2 s too late (200), as the first in time, for which the order as wished is given up (1). Who thinks,
/// after "window", that the dial is still to come takes the class for one of 80 s, in which the second place would do, and which is longer than it may be.
pub fn what_has_changed_early() -> Problem {
    problem_file::read(
        r#"{
        "segue_problem": 1, "title": "what has changed early",
        "facets": [{ "name": "dial", "values": ["0", "1"], "change": [[0, 2000], [2000, 0]], "reach": null, "stop": false }],
        "postures": { "names": ["there"], "path": [[0]] },
        "start": { "setup": [0], "posture": 0 }, "end": null, "weights": { "time": 0, "stop": 0 },
        "steps": [
            { "id": "peak", "side": "both", "duration": 1000, "setup": [null], "posture": [0, 0], "stage": null, "group": null, "optional": null },
            { "id": "other", "side": "both", "duration": 1000, "setup": [null], "posture": [0, 0], "stage": null, "group": null, "optional": null },
            { "id": "window", "side": "both", "duration": 1000, "setup": [null], "posture": [0, 0], "stage": null, "group": null, "optional": null },
            { "id": "dial", "side": "both", "duration": 1000, "setup": [[[1, 0]]], "posture": [0, 0], "stage": null, "group": null, "optional": null }
        ],
        "demands": [
            { "kind": "precede", "a": 0, "b": 2, "weight": null },
            { "kind": "precede", "a": 1, "b": 2, "weight": null },
            { "kind": "precede", "a": 2, "b": 3, "weight": null },
            { "kind": "precede", "a": 1, "b": 0, "weight": 1 },
            { "kind": "window", "step": 2, "from": 4000, "to": 4000, "weight": null },
            { "kind": "peak", "step": 0, "from": 0, "to": 300, "weight": 100 },
            { "kind": "fits", "total": 6000, "weight": null }
        ] }"#,
    )
    .expect("it is well formed")
}

/// Two facets that halt the class change in one stop before "window", which begins at 20 s sharp, and long before the steps that care. In the shadow of that
/// plan the first of them waits for "one", and the second joins it there: one stop, as in the plan. Left to itself until "two" it would make another.
pub fn one_stop_for_two() -> Problem {
    problem_file::read(
        r#"{
        "segue_problem": 1, "title": "one stop for two",
        "facets": [
            { "name": "one", "values": ["0", "1"], "change": [[0, 1000], [1000, 0]], "reach": null, "stop": true },
            { "name": "two", "values": ["0", "1"], "change": [[0, 1000], [1000, 0]], "reach": null, "stop": true }
        ],
        "postures": { "names": ["there"], "path": [[0]] },
        "start": { "setup": [0, 0], "posture": 0 }, "end": null, "weights": { "time": 1, "stop": 100 },
        "steps": [
            { "id": "window", "side": "both", "duration": 1000, "setup": [null, null], "posture": [0, 0], "stage": null, "group": null, "optional": null },
            { "id": "one", "side": "both", "duration": 1000, "setup": [[[1, 0]], null], "posture": [0, 0], "stage": null, "group": null, "optional": null },
            { "id": "two", "side": "both", "duration": 1000, "setup": [null, [[1, 0]]], "posture": [0, 0], "stage": null, "group": null, "optional": null }
        ],
        "demands": [
            { "kind": "precede", "a": 0, "b": 1, "weight": null },
            { "kind": "precede", "a": 1, "b": 2, "weight": null },
            { "kind": "window", "step": 0, "from": 2000, "to": 2000, "weight": null }
        ] }"#,
    )
    .expect("it is well formed")
}

/// "first" is too long for a stretch, and so is "second", which joins the same stretch: 500, once. What "first" has paid is the sure charge of "second",
/// which the table still has.
pub fn a_stretch_paid_ahead() -> Problem {
    problem_file::read(
        r#"{
        "segue_problem": 1, "title": "a stretch paid ahead",
        "facets": [],
        "postures": { "names": ["there"], "path": [[0]] },
        "start": { "setup": [], "posture": 0 }, "end": null, "weights": { "time": 1, "stop": 0 },
        "steps": [
            { "id": "second", "side": "both", "duration": 3000, "setup": [], "posture": [0, 0], "stage": null, "group": null, "optional": null },
            { "id": "first", "side": "both", "duration": 3000, "setup": [], "posture": [0, 0], "stage": null, "group": null, "optional": null }
        ],
        "demands": [
            { "kind": "precede", "a": 1, "b": 0, "weight": null },
            { "kind": "longest", "steps": [0, 1], "limit": 2000, "rest": 100, "weight": 500 }
        ] }"#,
    )
    .expect("it is well formed")
}

/// The bar is reached where "first" starts and from nowhere else without a walk of 20 s, so it changes before "first", early; the dial, which is reached from
/// everywhere, changes in its company: one stop (500) and two changes (200).
pub fn company_of_a_bar() -> Problem {
    problem_file::read(
        r#"{
        "segue_problem": 1, "title": "company of a bar",
        "facets": [
            { "name": "bar", "values": ["0", "1"], "change": [[0, 100], [100, 0]], "reach": [1], "stop": true },
            { "name": "dial", "values": ["0", "1"], "change": [[0, 100], [100, 0]], "reach": null, "stop": true }
        ],
        "postures": { "names": ["here", "there"], "path": [[0, 1000], [1000, 0]] },
        "start": { "setup": [0, 0], "posture": 1 }, "end": null, "weights": { "time": 1, "stop": 500 },
        "steps": [
            { "id": "first", "side": "both", "duration": 1000, "setup": [null, null], "posture": [1, 0], "stage": null, "group": null, "optional": null },
            { "id": "bar", "side": "both", "duration": 1000, "setup": [[[1, 0]], null], "posture": [0, 0], "stage": null, "group": null, "optional": null },
            { "id": "dial", "side": "both", "duration": 1000, "setup": [null, [[1, 0]]], "posture": [0, 0], "stage": null, "group": null, "optional": null }
        ],
        "demands": [
            { "kind": "precede", "a": 0, "b": 1, "weight": null },
            { "kind": "precede", "a": 1, "b": 2, "weight": null }
        ] }"#,
    )
    .expect("it is well formed")
}

/// Two steps alike that may not stand beside one another, and "last" has to follow the second of them: the one order there is begins with it.
pub fn twins_but_for_what_follows() -> Problem {
    problem_file::read(
        r#"{
        "segue_problem": 1, "title": "twins but for what follows", "facets": [],
        "postures": { "names": ["there"], "path": [[0]] },
        "start": { "setup": [], "posture": 0 }, "end": null, "weights": { "time": 1, "stop": 0 },
        "steps": [
            { "id": "alike", "side": "both", "duration": 1000, "setup": [], "posture": [0, 0], "stage": null, "group": null, "optional": null },
            { "id": "alike too", "side": "both", "duration": 1000, "setup": [], "posture": [0, 0], "stage": null, "group": null, "optional": null },
            { "id": "last", "side": "both", "duration": 3000, "setup": [], "posture": [0, 0], "stage": null, "group": null, "optional": null }
        ],
        "demands": [
            { "kind": "precede", "a": 1, "b": 2, "weight": null },
            { "kind": "neighbours", "pairs": [[0, 1], [1, 0]], "least": null, "most": 0, "weight": null }
        ] }"#,
    )
    .expect("it is well formed")
}

/// The state before "window" is reached in two ways that cost the same: "one" first gives a wish up (800), "two" first takes a walk of 8 s. Only behind the
/// walk, and a change of 10 s, is it late enough for "window" (38 s): 1800. By what the other way has paid there would be no time for that.
pub fn two_ways_to_one_state() -> Problem {
    problem_file::read(
        r#"{
        "segue_problem": 1, "title": "two ways to one state",
        "facets": [{ "name": "bar", "values": ["0", "1"], "change": [[0, 1000], [1000, 0]], "reach": [3], "stop": false }],
        "postures": { "names": ["start", "one", "two", "end"],
            "path": [[0, 0, 800, 800], [800, 0, 800, 800], [800, 800, 0, 800], [800, 0, 0, 0]] },
        "start": { "setup": [0], "posture": 0 }, "end": null, "weights": { "time": 1, "stop": 0 },
        "steps": [
            { "id": "one", "side": "both", "duration": 1000, "setup": [null], "posture": [1, 3], "stage": null, "group": null, "optional": null },
            { "id": "two", "side": "both", "duration": 1000, "setup": [null], "posture": [2, 3], "stage": null, "group": null, "optional": null },
            { "id": "window", "side": "both", "duration": 100, "setup": [[[0, 0], [1, 0]]], "posture": [3, 3], "stage": null, "group": null, "optional": null }
        ],
        "demands": [
            { "kind": "precede", "a": 0, "b": 2, "weight": null },
            { "kind": "precede", "a": 1, "b": 2, "weight": null },
            { "kind": "precede", "a": 1, "b": 0, "weight": 800 },
            { "kind": "window", "step": 2, "from": 3800, "to": 4000, "weight": 5000 }
        ] }"#,
    )
    .expect("it is well formed")
}

/// Two steps that must follow each other and are alike but for what the first pays (500): a bound in which one step walks for both pays that once.
pub fn neighbours_that_pay_differently() -> Problem {
    problem_file::read(
        r#"{
        "segue_problem": 1, "title": "neighbours that pay differently",
        "facets": [{ "name": "bar", "values": ["0", "1"], "change": [[0, 100], [100, 0]], "reach": null, "stop": false }],
        "postures": { "names": ["there"], "path": [[0]] },
        "start": { "setup": [0], "posture": 0 }, "end": null, "weights": { "time": 1, "stop": 0 },
        "steps": [
            { "id": "dear", "side": "both", "duration": 1000, "setup": [[[1, 500]]], "posture": [0, 0], "stage": null, "group": null, "optional": null },
            { "id": "cheap", "side": "both", "duration": 1000, "setup": [[[1, 0]]], "posture": [0, 0], "stage": null, "group": null, "optional": null }
        ],
        "demands": [{ "kind": "contiguous", "steps": [0, 1], "ordered": false, "within": 0, "weight": null }] }"#,
    )
    .expect("it is well formed")
}
