//! Whether the machine can serve what is on the list, and what is missing where it cannot.

use crate::brief::Brief;
use crate::diagnostic::{Code, Diagnostic};
use crate::model::apparatus::Apparatus;
use crate::model::class::Class;
use crate::model::movement::Movement;
use crate::problem::step::Side;
use crate::source::Span;

/// One mistake for each movement of the list that this machine cannot serve.
pub fn not_served(brief: &Brief, apparatus: &Apparatus, class: &Class) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for (m, movement) in class.movements.iter().enumerate() {
        let mut reasons = apparatus.cannot_serve(movement);
        let mut steps = class.steps.iter().filter(|s| s.movement == m);
        if reasons.is_empty()
            && steps
                .clone()
                .any(|s| ends_of(movement, s.side, apparatus).is_none())
        {
            reasons.push(
                "its position has a left and a right form, and it is done on neither side"
                    .to_string(),
            );
        }
        let Some(step) = steps.next() else { continue };
        if reasons.is_empty() {
            continue;
        }
        let span = step.span.clone().unwrap_or_else(|| brief.span.clone());
        found.push(no_setup(
            span,
            format!(
                "{} cannot be done on {}: {}",
                movement.name,
                apparatus.name,
                reasons.join("; ")
            ),
            "not on this machine",
            "leave it out, give it another set-up, or plan on another machine",
        ));
    }
    found
}

/// A mistake: the machine cannot serve something.
pub fn no_setup(span: Span, message: String, label: &str, mend: &str) -> Diagnostic {
    Diagnostic::mistake(Code::NoSetup, span, message, label, mend)
}

/// A mistake: nothing is on the list, or nothing is left of it.
pub fn empty_list(class: &Class, span: &Span) -> Diagnostic {
    let mend = if class.left_out.is_empty() {
        "write at least one movement".to_string()
    } else {
        format!(
            "write at least one movement that the conditions in the room allow ({})",
            class.left_out.join("; ")
        )
    };
    Diagnostic::mistake(
        Code::EmptyList,
        span.clone(),
        "there is nothing on the list",
        "no movement here",
        mend,
    )
}

/// Nodes of the start and end posture on a side.
pub fn ends_of(movement: &Movement, side: Side, apparatus: &Apparatus) -> Option<(usize, usize)> {
    let left = match side {
        Side::Both => None,
        Side::Left => Some(true),
        Side::Right => Some(false),
    };
    Some((
        apparatus.postures.node(&movement.start, left)?,
        apparatus.postures.node(&movement.end, left)?,
    ))
}
