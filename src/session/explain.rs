//! Why the best order is as it is.

use super::Session;
use crate::answer::explained::Explained;
use crate::explain::allowance::Allowance;
use crate::explain::explanation::{Explanation, explanation};
use crate::search::budget::Limits;
use crate::search::outcome::Progress;

impl Session {
    /// Plans the class and finds out why its order is as it is, with this many searches at a time. The plan may take at most half of the limits.
    /// `news`: what is looked into now.
    pub fn explain(
        &self,
        limits: &Limits,
        threads: usize,
        progress: &mut dyn FnMut(&Progress),
        news: &mut dyn FnMut(&'static str),
    ) -> Explained {
        let answer = self.plan(&limits.share(2), progress);
        let why = match &answer.best {
            None => Explanation::default(),
            Some(best) => explanation(
                &answer.compiled,
                &answer.outcome,
                best,
                &mut Allowance::after(limits, &answer.outcome).on_threads(threads),
                news,
            ),
        };
        Explained {
            answer,
            why,
            interrupted: limits.cancelled(),
        }
    }
}
