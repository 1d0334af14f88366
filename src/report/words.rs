//! The words of all that is drawn, one text after the other, so that whoever draws can make every one of them harmless before it is measured.
//!
//! Each field is named here, also those that are no words: a new one is not forgotten.

use super::audit::Audit;
use super::section::{Line, Section};
use super::sheet::{OtherSprings, Sheet, SheetRow, SpringKey, Transition};
use super::timeline::{Stretch, Timeline};
use super::tried::{Cell, Picture};
use crate::harmless::line;

/// The same with nothing in its words that steers how others are shown ([`crate::harmless`]).
pub fn harmless<T: Words + Clone>(drawn: &T) -> T {
    let mut drawn = drawn.clone();
    drawn.each(&mut |words| *words = line(words));
    drawn
}

/// What is done to every text.
type Change<'a> = &'a mut dyn FnMut(&mut String);

/// Something with words in it.
pub trait Words {
    /// Changes every text of it.
    fn each(&mut self, change: Change<'_>);
}

impl Words for String {
    fn each(&mut self, change: Change<'_>) {
        change(self);
    }
}

impl<T: Words> Words for Option<T> {
    fn each(&mut self, change: Change<'_>) {
        if let Some(some) = self {
            some.each(change);
        }
    }
}

impl<T: Words> Words for Vec<T> {
    fn each(&mut self, change: Change<'_>) {
        for one in self {
            one.each(change);
        }
    }
}

/// The fields of a type: those with words, then the others.
macro_rules! words {
    ($type:ident { $($words:ident),+ ; $($other:ident),* }) => {
        impl Words for $type {
            fn each(&mut self, change: Change<'_>) {
                let Self { $($words,)+ $($other: _),* } = self;
                $($words.each(change);)+
            }
        }
    };
}

words!(Line { text, under; tone, laid_out });
words!(Section { heading, lines; });
words!(Audit { title, sections; });
words!(Transition { time, cues, machine; stop });
words!(OtherSprings { springs, effect; });
words!(SpringKey { label, class, load; count });
words!(SheetRow {
    before, clock, name, movement, side, amount, layers, lighter, heavier, options, bodies, springs, setting, marks, teaching;
    place, round
});
words!(Sheet { title, subtitle, opening, before, rows, reset, end, springs, after; date, minutes });
words!(Timeline { title, about, says, lanes, stretches, end, unmet, tight; });
words!(Stretch { clock, name, amount, time, changes, set_to; stop, effort, held });
words!(Picture { before, after; });

impl Words for Cell {
    fn each(&mut self, change: Change<'_>) {
        match self {
            Self::Stop(what) => change(what),
            Self::Step {
                name,
                place: _,
                other: _,
            } => change(name),
        }
    }
}
