//! What a demand of a problem file asks for, in words, with the names that the file gives to its steps and facets.

use crate::lesson::wording::length;
use crate::problem::Problem;
use crate::problem::demand::Kind;

/// Demand `k` in one sentence, its number first.
pub fn asked(problem: &Problem, k: usize) -> String {
    let kind = &problem.demands[k].kind;
    format!("Demand {k} ({}): {}.", kind.name(), said(problem, kind))
}

fn said(problem: &Problem, kind: &Kind) -> String {
    let name = |step: &usize| problem.steps[*step].id.clone();
    let names = |steps: &[usize]| steps.iter().map(name).collect::<Vec<_>>().join(", ");
    let facet = |f: usize| problem.facets[f].name.clone();
    match kind {
        Kind::Precede(d) => format!("{} before {}", name(&d.a), name(&d.b)),
        Kind::Contiguous(d) => format!(
            "{} together{}{}",
            names(&d.steps),
            if d.ordered { ", in this order" } else { "" },
            match d.within {
                0 => String::new(),
                n => format!(", with at most {n} others between"),
            }
        ),
        Kind::Place(d) => format!("{} at a place from {} to {}", name(&d.step), d.min, d.max),
        Kind::Window(d) => format!(
            "{} starts between {} and {}",
            name(&d.step),
            length(d.from),
            length(d.to)
        ),
        Kind::Follow(d) => format!(
            "after {} one of {} within {}",
            names(&d.trigger),
            names(&d.remedy),
            d.within
        ),
        Kind::Recovery(d) => format!("at least {} between {}", length(d.seconds), names(&d.steps)),
        Kind::Longest(d) => format!(
            "at most {} of {} without a break of {}",
            length(d.limit),
            names(&d.steps),
            length(d.rest)
        ),
        Kind::AtMost(d) => format!("{} changes at most {} times", facet(d.facet), d.changes),
        Kind::Same(d) => format!("{} all have the same {}", names(&d.steps), facet(d.facet)),
        Kind::Neighbours(d) => {
            let pairs: Vec<String> = (d.pairs.iter())
                .map(|(a, b)| format!("{} {}", name(a), name(b)))
                .collect();
            let most = d.most.map(|n| format!("at most {n}"));
            let least = d.least.map(|n| format!("at least {n}"));
            let bounds: Vec<String> = least.into_iter().chain(most).collect();
            format!(
                "{} of these pairs stand next to each other: {}",
                bounds.join(" and "),
                pairs.join("; ")
            )
        }
        Kind::Fits(d) => format!("it takes at most {}", length(d.total)),
        Kind::Fatigue(d) => format!("{} is never tired beyond {}", d.region, d.ceiling),
        Kind::Peak(d) => format!(
            "{} lies between {} and {} thousandths of the class",
            name(&d.step),
            d.from,
            d.to
        ),
    }
}
