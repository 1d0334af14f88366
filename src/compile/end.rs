//! The set-up that the class must end in, in the machine's terms.

use super::served::no_setup;
use super::setups::index_of;
use crate::brief::Brief;
use crate::diagnostic::Diagnostic;
use crate::model::apparatus::Apparatus;
use crate::model::fitting::{Allowed, fitting};
use crate::model::placed::Placed;
use crate::model::springs::SpringSet;
use crate::problem::definition::End;

/// The end of the class in the machine's terms.
#[derive(Debug, Clone, PartialEq)]
pub struct EndOnMachine {
    /// The springs; `None`: as they are.
    pub springs: Option<SpringSet>,
    /// For each other facet its value; `None`: as it is.
    pub facets: Vec<Option<usize>>,
    /// The posture; `None`: anywhere.
    pub posture: Option<usize>,
}

impl EndOnMachine {
    /// The end as the problem states it; `values`: those of the springs facet.
    pub fn problem_end(self, values: &[SpringSet]) -> End {
        let mut setup = vec![self.springs.map(|s| index_of(values, &s))];
        setup.extend(self.facets);
        End {
            setup,
            posture: self.posture,
        }
    }
}

/// The end that the brief asks for, if it asks for one.
///
/// # Errors
/// Springs, values or a position that the machine lacks.
pub fn end_of(
    brief: &Brief,
    apparatus: &Apparatus,
) -> Result<Option<EndOnMachine>, Vec<Diagnostic>> {
    let Some(end) = &brief.end else {
        return Ok(None);
    };
    let mut mistakes = Vec::new();
    let mut missing = |what: String| {
        mistakes.push(no_setup(
            end.span.clone().unwrap_or_else(|| brief.span.clone()),
            format!(
                "the class cannot end like this on {}: {what}",
                apparatus.name
            ),
            "not on this machine",
            "change the end set-up, or plan on another machine",
        ));
    };
    let springs = end.springs.as_ref().and_then(|counts| {
        let set = apparatus.spring_set(counts);
        if set.is_none() {
            missing("it lacks these springs".to_string());
        }
        set
    });
    let mut facets = vec![None; apparatus.facets.len()];
    for (key, value) in &end.facets {
        let found = apparatus.facet(key).and_then(|f| {
            let value = apparatus.facets[f].values.iter().position(|v| v == value)?;
            Some((f, value))
        });
        match found {
            Some((f, v)) => facets[f] = Some(v),
            None if apparatus.absent.iter().any(|(k, v)| k == key && v == value) => {}
            None => missing(format!("it has no {key} at {value}")),
        }
    }
    let posture = end.posture.as_ref().and_then(|base| {
        let node = apparatus.postures.nodes_of(base).first().copied();
        if node.is_none() {
            missing(format!("the position {base} is not known on it"));
        }
        node
    });
    let mut missing = |what: String| {
        mistakes.push(no_setup(
            end.span.clone().unwrap_or_else(|| brief.span.clone()),
            format!(
                "the class cannot end like this on {}: {what}",
                apparatus.name
            ),
            "does not go together",
            "change the end set-up",
        ));
    };
    match going_together(apparatus, &facets, posture) {
        Ok(all) => facets = all,
        Err(why) => missing(why.replace("its ", "the ")),
    }
    if mistakes.is_empty() {
        Ok(Some(EndOnMachine {
            springs,
            facets,
            posture,
        }))
    } else {
        Err(mistakes)
    }
}

/// What is asked for at the end, and what that wants of other facets: a box for somebody who ends on it, the bar low below a board, nothing at
/// the foot end where what may stand there does not go with the bar.
fn going_together(
    apparatus: &Apparatus,
    facets: &[Option<usize>],
    posture: Option<usize>,
) -> Result<Vec<Option<usize>>, String> {
    let asked: Allowed = facets.iter().map(|f| f.map(|v| vec![v])).collect();
    let placed: Vec<Placed> = (posture.iter())
        .map(|&node| apparatus.postures.postures[node].placed)
        .collect();
    let fits = fitting(apparatus, asked, &placed)?;
    let mut found: Vec<Option<usize>> = (fits.into_iter())
        .map(|values| values?.first().copied())
        .collect();
    for (k, spec) in apparatus.facets.iter().enumerate() {
        let against = |needs: &Vec<(String, Vec<String>)>| {
            needs.iter().any(|(key, good)| {
                let other = apparatus.facet(key);
                other.is_some_and(|o| {
                    found[o].is_some_and(|v| !good.contains(&apparatus.facets[o].values[v]))
                })
            })
        };
        if found[k].is_none() && spec.needs.iter().any(against) {
            found[k] = Some(0);
        }
    }
    Ok(found)
}
