//! What every rule of the trade says of itself, in its own file.

use super::ledger::RuleName;
use super::posting::Posting;
use super::subject::Subject;
use super::target::Target;

/// What is done with each target of a rule.
pub type Visit<'v> = &'v mut dyn FnMut(&mut Target);

/// A rule of the trade.
pub trait Rule {
    /// How it is called.
    const NAME: RuleName;

    /// Visits every movement, side and block that it names, so that it can be made to name others.
    fn targets_mut(&mut self, visit: Visit<'_>);

    /// Puts in what it asks of a class.
    fn post(&self, subject: &Subject, posting: &mut Posting);
}

/// A rule that may be given many times.
impl<R: Rule> Rule for Vec<R> {
    const NAME: RuleName = R::NAME;

    fn targets_mut(&mut self, visit: Visit<'_>) {
        self.iter_mut().for_each(|rule| rule.targets_mut(visit));
    }

    fn post(&self, subject: &Subject, posting: &mut Posting) {
        self.iter().for_each(|rule| rule.post(subject, posting));
    }
}
