//! What faces ask a session for: any order judged at once, and what is shared between threads.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use segue::answer::class::{ClassFormat, Text};
use segue::search::budget::Limits;
use segue::session::Session;
use segue::session::studio::Studio;

const LIST: &str = "Swan x 4\nHundred\nScooter\nElephant\nMermaid\nFace-down press\n";

fn session() -> Session {
    let text = Text::new("six.txt", LIST, ClassFormat::List);
    Session::open(&Studio::built_in(), text, None).unwrap()
}

/// Compiles only where both hold.
fn is_shared<T: Send + Sync + Clone>(_: &T) {}

#[test]
fn a_session_and_its_answers_go_from_thread_to_thread() {
    let session = session();
    is_shared(&session);
    is_shared(&session.studio);
    let answer = session.plan(&Limits::default(), &mut |_| {});
    is_shared(&answer);
    let other = session.clone();
    let there = std::thread::spawn(move || other.plan(&Limits::default(), &mut |_| {}));
    let there = there.join().unwrap();
    assert_eq!(there.outcome.plan, answer.outcome.plan);
}

#[test]
fn a_class_shares_the_movements_of_its_studio() {
    let session = session();
    let (of_class, of_studio) = (
        &session.class.brief.catalogue,
        &session.studio.known.catalogue,
    );
    assert_eq!(of_class.movements.len(), of_studio.movements.len());
    let pairs = of_class.movements.iter().zip(&of_studio.movements);
    assert!(pairs.into_iter().all(|(a, b)| std::sync::Arc::ptr_eq(a, b)));
}

#[test]
fn any_order_is_judged_with_its_rules_and_what_changed_against_another() {
    let session = session();
    let answer = session.plan(&Limits::default(), &mut |_| {});
    let best = answer.best.unwrap();
    let same = session.judge(&best.timeline.order, &best.timeline.setups);
    assert_eq!(same.found, best);
    let kept = session.compared(&best, &same.found);
    assert_eq!((kept.stops, kept.changeover), (0, 0));
    assert!(kept.gone.is_empty() && kept.new.is_empty() && kept.altered.is_empty());
    // The same steps and set-ups back to front: another order, no better than the best.
    let mut order = best.timeline.order.clone();
    let mut setups = best.timeline.setups.clone();
    order.reverse();
    setups.reverse();
    let other = session.judge(&order, &setups);
    assert!(other.found.errors.is_empty());
    assert!(!other.found.feasible() || other.found.score >= best.score);
    assert_eq!(other.rules.len(), same.rules.len());
    let changed = session.compared(&best, &other.found);
    assert!(!changed.gone.is_empty() && !changed.new.is_empty());
    // What is no order of the class has errors, and no rules to speak of.
    let none = session.judge(&order[1..], &setups[1..]);
    assert!(!none.found.errors.is_empty() && none.rules.is_empty());
}

#[test]
fn a_command_out_of_time_or_stopped_still_answers_and_says_how_it_ended() {
    use segue::answer::ending::Ending;
    let session = session();
    let stopped = Limits::default();
    stopped.stop.ask();
    let answer = session.plan(&stopped, &mut |_| {});
    assert_eq!(answer.ending(), Ending::Interrupted);
    let explained = session.explain(&stopped, 1, &mut |_| {}, &mut |_| {});
    assert_eq!(explained.ending(), Ending::Interrupted);
    let late = session.late(1, 60_000, &stopped, &mut |_| {});
    assert_eq!(late.ending(), Ending::Interrupted);
}

#[test]
fn better_plans_come_with_the_news_of_them() {
    let session = session();
    let mut last = None;
    let answer = session.plan(&Limits::default(), &mut |news| {
        if let Some(better) = &news.better {
            last = Some(better.clone());
        }
    });
    assert_eq!(last.unwrap().score, answer.outcome.plan.unwrap().score);
}
