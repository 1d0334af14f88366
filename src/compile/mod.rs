//! Brief to problem and ledger: the only place where loads, seconds and the room become integers.
//!
//! What the conditions in the room replace is replaced ([`replaced`]), the list is expanded into steps ([`expand`]), their set-ups become values with penalties ([`setups`]), the machine and the room
//! integers ([`costs`], [`priorities`]), the rules demands; [`problem`] puts it together and says what cannot be.

pub mod circles;
pub mod compiled;
pub mod costs;
pub mod end;
pub mod equal_sides;
pub mod expand;
pub mod in_part;
pub mod priorities;
pub mod problem;
pub mod replaced;
pub mod room;
#[cfg(test)]
pub mod sample;
pub mod served;
pub mod setups;
pub mod steps;
pub mod too_large;
pub mod unmet;

pub use compiled::Compiled;

use crate::brief::Brief;
use crate::diagnostic::Diagnostic;
use crate::model::apparatus::Apparatus;

/// Compiles a brief, or says everything that is wrong with it on this apparatus.
///
/// # Errors
/// All mistakes: circles among the orders that must hold, movements that no set-up serves, sides that cannot be equal, an empty list. More steps
/// than are planned are the only one.
pub fn compile(brief: &Brief, apparatus: &Apparatus) -> Result<Compiled, Vec<Diagnostic>> {
    if let Some(large) = too_large::too_many_steps(brief) {
        return Err(vec![large]);
    }
    let replaced = replaced::with_replacements(brief, apparatus);
    let mut class = expand::expand(&replaced.brief, apparatus);
    class.left_out.splice(0..0, replaced.said);
    problem::compile_class(&replaced.brief, apparatus, class, room::room_of(brief))
}
