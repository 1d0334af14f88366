//! All rules of a class posted, in one fixed order.

use super::book::RuleBook;
use super::posting::Posting;
use super::subject::Subject;

/// Posts every rule of the book. `free[step][facet]`: whether the two sides of the step's movement could differ in the facet.
pub fn post_all(book: &RuleBook, subject: &Subject, free: &[Vec<bool>]) -> Posting {
    let mut posting = Posting::default();
    let p = &mut posting;
    book.warm_up.post(subject, p);
    book.cool_down.post(subject, p);
    book.blocks.post(subject, p);
    book.rounds.post(subject, p);
    book.sides_paired.post(subject, p);
    book.sides_equal.post(subject, free, p);
    book.first_side.post(subject, p);
    book.preparation.post(subject, p);
    book.easier_first.post(subject, p);
    book.counterpose.post(subject, p);
    book.recovery.post(subject, p);
    book.longest_load.post(subject, p);
    book.load_ceiling.iter().for_each(|r| r.post(subject, p));
    book.before.iter().for_each(|r| r.post(subject, p));
    book.together.iter().for_each(|r| r.post(subject, p));
    book.flows_into.iter().for_each(|r| r.post(subject, p));
    book.near.iter().for_each(|r| r.post(subject, p));
    book.apart.iter().for_each(|r| r.post(subject, p));
    book.pinned.iter().for_each(|r| r.post(subject, p));
    book.at_most.iter().for_each(|r| r.post(subject, p));
    book.breathers.post(subject, p);
    book.effort_arc.post(subject, p);
    book.fits.post(subject, p);
    posting
}
