//! How long it takes to judge an order of forty steps with given set-ups, as a face does after each edit: score, rules, and what changed
//! against the order before. Prints percentiles, beside those of planning the set-ups of a fixed order anew.

use std::time::Instant;

use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use segue::answer::class::{ClassFormat, Text};
use segue::search::budget::Limits;
use segue::session::Session;
use segue::session::studio::Studio;

const EDITS: usize = 2_000;
const OPENED: usize = 40;

fn main() {
    let text = Text::new(
        "forty-steps.txt",
        include_str!("forty-steps.txt"),
        ClassFormat::List,
    );
    let studio = Studio::built_in();
    let open = || Session::open(&studio, text.clone(), None).expect("the list is a class");
    let session = open();
    let own = session
        .as_given(&Limits::default())
        .expect("there are set-ups");
    let mut order = own.found.timeline.order.clone();
    let mut setups = own.found.timeline.setups.clone();
    println!("{} steps", order.len());
    let mut die = ChaCha8Rng::seed_from_u64(1);
    let mut before = own.found;
    let judged = timed(EDITS, || {
        // A card lifted and put down somewhere else, with its set-up.
        let (from, to) = (
            die.random_range(0..order.len()),
            die.random_range(0..order.len()),
        );
        let (step, setup) = (order.remove(from), setups.remove(from));
        order.insert(to, step);
        setups.insert(to, setup);
        let judged = session.judge(&order, &setups);
        let changed = session.compared(&before, &judged.found);
        before = judged.found;
        changed.stops
    });
    say("judged after an edit, with what changed", judged);
    let opened = timed(OPENED, || open().class.compiled.problem.steps.len() as i64);
    say("read and compiled anew", opened);
    let own = timed(OPENED, || {
        session
            .as_given(&Limits::default())
            .map_or(0, |own| own.found.score)
    });
    say("set-ups of the order as written", own);
}

/// Milliseconds of each of so many calls, ascending.
fn timed(many: usize, mut work: impl FnMut() -> i64) -> Vec<f64> {
    let mut took: Vec<f64> = (0..many)
        .map(|_| {
            let begun = Instant::now();
            std::hint::black_box(work());
            begun.elapsed().as_secs_f64() * 1000.0
        })
        .collect();
    took.sort_by(f64::total_cmp);
    took
}

fn say(what: &str, took: Vec<f64>) {
    let at = |part: usize| took[(took.len() - 1) * part / 100];
    println!(
        "{what}: {:.3} ms in the median, {:.3} ms at the 95th percentile",
        at(50),
        at(95)
    );
}
