//! A small class for the tests of what is said, written by hand and compiled as any other.

use crate::brief::Brief;
use crate::compile::Compiled;
use crate::compile::problem::compile_class;
use crate::compile::room::room_of;
use crate::compile::sample::{brief, machine};
use crate::model::movement::SpringNeed;
use crate::rules::sample::{Sample, movement};

/// A compiled class and the brief behind it.
pub struct Made {
    /// What the teacher wrote.
    pub brief: Brief,
    /// What it came to.
    pub compiled: Compiled,
}

impl Made {
    /// The value of the springs facet with one spring of this class on, or `none`.
    pub fn spring_value(&self, class: &str) -> usize {
        let classes = &self.compiled.apparatus.springs.classes;
        self.compiled
            .spring_values
            .iter()
            .position(|set| {
                set.0
                    .iter()
                    .zip(classes)
                    .all(|(&n, c)| n == u32::from(c.name == class))
            })
            .expect("the sample machine has this spring")
    }
}

/// Three presses of 90 s each on the bench, all lying on the back: one on the heavy spring, one on the light one, one on none.
pub fn compiled() -> Made {
    let press = |id: &str, springs: &[&str]| {
        let mut press = movement(id);
        let set = springs.iter().map(|s| ((*s).to_string(), 1)).collect();
        press.springs = SpringNeed::Sets(vec![set]);
        press
    };
    let sample = Sample::new()
        .both(press("heavy press", &["heavy"]))
        .both(press("light press", &["light"]))
        .both(press("free press", &[]));
    let brief = brief(&sample);
    let room = room_of(&brief);
    let compiled = compile_class(&brief, &machine(), sample.class, room)
        .expect("the sample is a class without a mistake");
    Made { brief, compiled }
}
