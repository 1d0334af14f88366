//! Why this order, in words: what the rules cost, what each transition is for, where else each movement could stand, where the savings come
//! from. Every sentence of an explanation is made here.

use super::beside::Gain;
use super::section::{Line, Section, Tone, push};
use crate::answer::explained::Explained;
use crate::answer::planned::Answer;
use crate::compile::Compiled;
use crate::explain::difference::{Difference, difference};
use crate::explain::elsewhere::{Elsewhere, Other};
use crate::explain::price::Price;
use crate::explain::savings::{Link, savings};
use crate::explain::transition::{Avoided, Changed, Common, Transition};
use crate::explain::verdict::by_then;
use crate::explain::waste::{facet_name, value_name};
use crate::explain::words::{sentence, sentences};
use crate::lesson::breach::name_of;
use crate::lesson::rule_report::{RuleReport, rule_reports};
use crate::lesson::wording::{capital, count, length};
use crate::score::{Evaluation, cost_of};

/// How many values are named one by one.
const NAMED: usize = 3;

/// The sections of an explanation.
pub fn sections(explained: &Explained, best: &Evaluation) -> Vec<Section> {
    let answer = &explained.answer;
    let compiled = &answer.compiled;
    let why = &explained.why;
    let mut sections = Vec::new();
    let rule_reports = rule_reports(compiled, best);
    push(
        &mut sections,
        "What each rule costs you",
        rules(explained, &rule_reports, best),
    );
    let lines = (why.transitions.iter())
        .map(|t| transition(compiled, best, t, &rule_reports, &why.prices))
        .collect();
    push(&mut sections, "What each transition is for", lines);
    push(
        &mut sections,
        "Where else each could stand, with all others in their order",
        (why.elsewhere.iter())
            .map(|e| elsewhere(explained, best, e))
            .collect(),
    );
    push(
        &mut sections,
        "Where the savings over your list come from",
        saved(answer, best),
    );
    sections
}

/// Seconds of the score, where the score counts seconds.
fn counted(compiled: &Compiled, score: i64) -> Option<String> {
    (compiled.score_per_second == 100).then(|| length(score))
}

/// What an order has more than another, piece by piece.
fn pieces(d: &Difference, words: [[&str; 2]; 3]) -> Vec<String> {
    let mut parts = Vec::new();
    let noun = |n: i64, words: [&str; 2]| count(n, words[0], words[1]);
    if d.stops > 0 {
        parts.push(noun(d.stops, words[0]));
    }
    if d.changeover >= 50 {
        parts.push(format!("{} {}", length(d.changeover), words[1][0]));
    }
    if d.unmet > 0 {
        parts.push(noun(d.unmet, words[2]));
    }
    parts
}

/// The name of the rule behind a price.
pub fn heading<'f>(rule_reports: &'f [RuleReport], price: &Price) -> &'f str {
    rule_reports
        .iter()
        .find(|f| f.rule == price.rule && f.line == price.line)
        .map_or("", RuleReport::heading)
}

fn at_line(line: Option<usize>) -> String {
    line.map_or_else(String::new, |n| format!(" (line {n})"))
}

fn rules(explained: &Explained, rule_reports: &[RuleReport], best: &Evaluation) -> Vec<Line> {
    let (compiled, prices) = (&explained.answer.compiled, &explained.why.prices);
    let named = |p: &Price| format!("{}{}", capital(heading(rule_reports, p)), at_line(p.line));
    let mut lines: Vec<Line> = Vec::new();
    let (mut free, mut open) = (Vec::new(), Vec::new());
    for price in prices {
        if price.at_most == Some(0) {
            let heading = heading(rule_reports, price).to_owned();
            if !free.contains(&heading) {
                free.push(heading);
            }
        } else if let Some(without) = price.without.as_ref().filter(|_| price.is_tight()) {
            let text = costs(compiled, best, price, without);
            lines.push(Line::plain(format!("{} {text}.", named(price))));
        } else {
            let most = price.at_most.and_then(|most| counted(compiled, most));
            let most = most.map_or_else(String::new, |most| format!(", at most {most}"));
            open.push(format!("{}{most}", named(price)));
        }
    }
    if !free.is_empty() {
        lines.push(Line::toned(
            Tone::Good,
            format!("These cost nothing: {}.", free.join("; ")),
        ));
    }
    if !open.is_empty() {
        let more = if explained.interrupted {
            ""
        } else {
            "; give it more with `--seconds`"
        };
        let text = format!(
            "Whether these cost anything was not settled {}{more}",
            by_then(explained.interrupted)
        );
        lines.push(Line {
            under: open,
            ..Line::toned(Tone::Heed, text)
        });
    }
    lines
}

/// What a rule costs, against the best order without it.
fn costs(compiled: &Compiled, best: &Evaluation, price: &Price, without: &Evaluation) -> String {
    let problem = &compiled.problem;
    // The order without it is not judged by it.
    let own = |e: &Evaluation| {
        let mut demands = price.demands.iter();
        i64::from(demands.any(|&k| e.counts[k] > 0 && problem.demands[k].weight.is_some()))
    };
    let mut d = difference((compiled, best), (compiled, without));
    d.unmet += own(without) - own(best);
    let words = [
        ["stop", "stops"],
        ["of transitions"; 2],
        ["other rule", "other rules"],
    ];
    let mut parts = pieces(&d, words);
    let broken: i64 = (price.demands.iter())
        .map(|&k| cost_of(problem, k, best.counts[k]))
        .sum();
    if broken > 0 {
        let counts =
            counted(compiled, broken).map_or_else(String::new, |s| format!(", which counts {s}"));
        parts.push(format!("it is not met in full{counts}"));
    }
    if parts.is_empty() {
        parts.push("springs or settings further from what suits the movements".to_owned());
    }
    let gained = Gain::from(&d).better();
    if !gained.is_empty() {
        parts.push(format!("even so you have {gained} than without it"));
    }
    let at_least = if price.settled() { "" } else { "at least " };
    let seconds = counted(compiled, price.at_least)
        .map_or_else(String::new, |s| format!(" {at_least}{s}, as it is counted"));
    format!("costs you{seconds}: {}", parts.join("; "))
}

fn named(compiled: &Compiled, step: Option<usize>, none: &str) -> String {
    step.map_or_else(|| none.to_owned(), |s| name_of(compiled, s))
}

fn transition(
    compiled: &Compiled,
    best: &Evaluation,
    t: &Transition,
    rule_reports: &[RuleReport],
    prices: &[Price],
) -> Line {
    let mut under: Vec<String> = t
        .changed
        .iter()
        .map(|c| change(compiled, best, t, c))
        .collect();
    let tied = sentences(compiled, &t.tied_by);
    if !tied.is_empty() {
        under.push(format!("kept so by: {}", tied.join("; ")));
    }
    let gone: Vec<String> = prices
        .iter()
        .filter(|p| p.is_tight() && p.without.as_ref().is_some_and(|e| !has(e, t.link)))
        .map(|p| heading(rule_reports, p).to_owned())
        .collect();
    let needed = match t.avoided {
        Avoided::Never => true,
        Avoided::Costs { at_least, .. } => at_least > 0,
        Avoided::NotSought => false,
    };
    if needed && !gone.is_empty() {
        under.push(format!("because of: {}", gone.join("; ")));
    }
    match t.avoided {
        Avoided::NotSought => {}
        Avoided::Never => under.push("every order that keeps what has to hold has it".into()),
        Avoided::Costs { at_least, at_most } => {
            let exact = at_most == Some(at_least);
            let word = if exact { "" } else { "at least " };
            under.push(match counted(compiled, at_least) {
                _ if at_least == 0 && exact => {
                    "another order, just as good, goes without it".to_owned()
                }
                _ if at_least == 0 => {
                    "whether an order without it is as good was not settled".to_owned()
                }
                Some(seconds) => format!("the best order without it counts {word}{seconds} more"),
                None => "every order without it is worse".to_owned(),
            });
        }
    }
    let stop = if t.link.stop { "ALL STOP, " } else { "" };
    let way = if t.changed.is_empty() {
        "for moving from one position to the next".to_owned()
    } else if t.way > 50 {
        format!("of which {} for moving and reaching", length(t.way))
    } else {
        String::new()
    };
    let to = match t.link.to {
        Some(step) => format!("Before {} {}", t.place, name_of(compiled, step)),
        None => "At the end".to_owned(),
    };
    let text = format!("{to}: {stop}{} {way}", length(t.link.time));
    Line {
        under,
        ..Line::toned(
            if t.link.stop { Tone::Heed } else { Tone::Plain },
            text.trim_end().to_owned(),
        )
    }
}

/// Whether an order has the same transition, at the same cost.
fn has(evaluation: &Evaluation, link: Link) -> bool {
    crate::explain::savings::links(&evaluation.timeline)
        .iter()
        .any(|l| (l.from, l.to) == (link.from, link.to) && l.stop >= link.stop)
}

/// What a movement may be done on in a facet.
fn choice(compiled: &Compiled, step: usize, facet: usize) -> String {
    let Some(choices) = &compiled.problem.steps[step].setup[facet] else {
        return String::new();
    };
    let best = choices.iter().map(|c| c.penalty).min().unwrap_or(0);
    let mut values: Vec<_> = choices.iter().collect();
    values.sort_by_key(|c| (c.penalty - best, c.value));
    let named: Vec<String> = (values.iter().take(NAMED))
        .map(|c| value_name(compiled, facet, c.value))
        .collect();
    if values.len() > NAMED {
        format!("{} or others", named.join(", "))
    } else {
        named.join(" or ")
    }
}

fn as_count(n: usize) -> i64 {
    i64::try_from(n).expect("a class has few steps and values")
}

fn change(compiled: &Compiled, best: &Evaluation, t: &Transition, c: &Changed) -> String {
    let value = |v| value_name(compiled, c.facet, v);
    let facet = facet_name(compiled, c.facet);
    let mut text = format!("{facet}, {} to {}: ", value(c.from), value(c.to));
    let order = &best.timeline.order;
    let wants = match c.needed_by {
        Some(step) => {
            let name = name_of(compiled, step);
            let at = order.iter().position(|&s| s == step).unwrap_or(0) + 1;
            let ahead = if c.early {
                format!(" (at {at}; done now, while everybody is up or halted anyway)")
            } else {
                String::new()
            };
            format!("{name} needs {}{ahead}", choice(compiled, step, c.facet))
        }
        None => "the class ends so".to_owned(),
    };
    let had = match c.since {
        Some(step) => {
            let name = name_of(compiled, step);
            format!("{name} before it {}", choice(compiled, step, c.facet))
        }
        None => format!("the machines start on {}", value(c.from)),
    };
    text.push_str(&format!("{wants}, {had}"));
    let penalty = |dearer| counted(compiled, dearer);
    match c.common {
        Common::Nothing => text.push_str("; nothing serves both"),
        Common::Value { value: v, dearer } if dearer > 0 => {
            text.push_str(&format!(
                "; both could be done on {}, further from what suits them{}",
                value(v),
                penalty(dearer).map_or_else(String::new, |s| format!(" (counts {s} more)"))
            ));
        }
        Common::Value { value: v, .. } => {
            text.push_str(&format!(
                "; both could be done on {}, but not what stands around them",
                value(v)
            ));
        }
    }
    if !c.others_could && c.needed_by.is_some() && t.link.stop && c.facet == 0 {
        text.push_str(
            "; nothing else on the list is done on these, so it takes a change wherever it stands",
        );
    }
    text
}

fn elsewhere(explained: &Explained, best: &Evaluation, e: &Elsewhere) -> Line {
    let (brief, compiled) = (&explained.answer.brief, &explained.answer.compiled);
    let mut name = match e.unit.block {
        Some(b) => brief.blocks[b].name.clone(),
        None => name_of(compiled, e.unit.steps[0]),
    };
    if e.unit.block.is_none() && e.unit.steps.len() > 1 {
        let step = &compiled.class.steps[e.unit.steps[0]];
        name = format!(
            "{}, both sides",
            compiled.class.movements[step.movement].name
        );
    }
    let what = match &e.other {
        Other::Place { place, evaluation } => {
            let d = difference((compiled, evaluation), (compiled, best));
            let costs = match Gain::from(&d).first_worse() {
                text if text.is_empty() && d.score == 0 => "just as good".to_owned(),
                text if text.is_empty() => counted(compiled, d.score).map_or_else(
                    || "further from what suits the movements".to_owned(),
                    |s| format!("counts {s} more: further from what suits the movements"),
                ),
                text => text,
            };
            format!("place {place}: {costs}")
        }
        Other::Breaks(demands) => match sentences(compiled, demands).first() {
            Some(first) => format!("nowhere: at best this would break: {first}"),
            None => "nowhere".to_owned(),
        },
        Other::Nowhere => "nowhere".to_owned(),
        Other::Open => format!("not settled {}", by_then(explained.interrupted)),
    };
    Line::plain(format!("{} {name}: {what}", e.place))
}

fn saved(answer: &Answer, best: &Evaluation) -> Vec<Line> {
    let Some(as_given) = &answer.as_given else {
        return Vec::new();
    };
    let compiled = &answer.compiled;
    let proven = as_given.proven;
    let as_given = &as_given.found;
    let s = savings((compiled, as_given), (compiled, best));
    let link = |l: &Link| {
        let stop = if l.stop { ", a stop" } else { "" };
        format!(
            "{} to {}: {}{stop}",
            named(compiled, l.from, "the start"),
            named(compiled, l.to, "the end"),
            length(l.time)
        )
    };
    let total = |links: &[Link]| links.iter().map(|l| l.time).sum::<i64>();
    let stops = |links: &[Link]| as_count(links.iter().filter(|l| l.stop).count());
    let headed = |what: &str, links: &[Link]| {
        let text = format!(
            "{what}: {}, {} in all",
            length(total(links)),
            count(stops(links), "stop", "stops")
        );
        Line {
            under: (links.iter())
                .filter(|l| l.time > 0 || l.stop)
                .map(link)
                .collect(),
            ..Line::plain(text)
        }
    };
    let mut lines = vec![super::opening::saved(&s, proven)];
    if !s.gone.is_empty() {
        lines.push(headed("Transitions of your list that are gone", &s.gone));
        lines.push(headed("Transitions that stand in their place", &s.new));
    }
    if !s.altered.is_empty() {
        let under = (s.altered.iter())
            .map(|(a, b)| format!("{}, now {}", link(a), length(b.time)))
            .collect();
        lines.push(Line {
            under,
            ..Line::plain("Transitions of both that take another time")
        });
    }
    let broken: Vec<String> = (as_given.broken.iter())
        .map(|&k| sentence(compiled, k))
        .collect();
    if !broken.is_empty() {
        lines.push(Line {
            under: broken,
            ..Line::toned(
                Tone::Wrong,
                if proven {
                    "Your list breaks what has to hold"
                } else {
                    "Your list breaks what has to hold, with the set-ups that were found for it"
                },
            )
        });
    }
    lines
}
