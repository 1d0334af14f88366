//! A class as it is and with changes.

use super::Session;
use super::edit::changed;
use super::plan::judged;
use crate::answer::tried::{Tried, Wanted};
use crate::diagnostic::Diagnostic;
use crate::search::budget::Limits;
use crate::search::outcome::Progress;
use crate::search::solve;

impl Session {
    /// The class with changes.
    ///
    /// # Errors
    /// What is wrong with the changes, or with the class that they make.
    pub fn with(&self, wanted: &Wanted) -> Result<Self, Vec<Diagnostic>> {
        self.changed(changed(&self.class.brief, &self.studio.known, wanted)?)
    }

    /// Plans the class as it is and with changes, each within half of the limits.
    ///
    /// # Errors
    /// What is wrong with the changes, or with the class that they make.
    pub fn try_out(
        &self,
        wanted: &Wanted,
        limits: &Limits,
        progress: &mut dyn FnMut(&Progress),
    ) -> Result<Tried, Vec<Diagnostic>> {
        let other = self.with(wanted)?;
        let first = limits.share(2);
        let second = Limits {
            nodes: first.nodes,
            ..limits.clone()
        };
        let mut planned = |session: &Self, limits: &Limits| {
            let outcome = solve(&session.class.compiled.problem, limits, progress);
            judged(&session.class, outcome, limits).0
        };
        Ok(Tried {
            wanted: wanted.clone(),
            before: planned(self, &first),
            after: planned(&other, &second),
        })
    }
}
