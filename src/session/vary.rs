//! Different classes from one list, with movements swapped where the class allows it.

use std::sync::Arc;

use super::Session;
use crate::answer::class::Class;
use crate::answer::varied::{Choice, Listed, Variants, Varied};
use crate::compile::{Compiled, compile};
use crate::orders::swaps::{lists, swapped};
use crate::orders::vary::{List, Wish, vary_any};
use crate::search::budget::Limits;
use crate::search::outcome::Progress;

impl Session {
    /// Different classes from the list, as many as wished for where there are so many. `swaps`: movements that may be swapped in each.
    pub fn vary(
        &self,
        wish: &Wish,
        swaps: usize,
        limits: &Limits,
        progress: &mut dyn FnMut(&Progress),
    ) -> Variants {
        let choice = self.choice(swaps, limits.seed);
        let lists: Vec<List<'_>> = (choice.lists.iter())
            .map(|listed| List {
                problem: &listed.class.compiled.problem,
                names: listed.names.clone(),
            })
            .collect();
        let all = choice.lists.len() == choice.ways;
        match vary_any(&lists, all, wish, limits, progress) {
            Ok(week) => Variants::Found(Box::new(Varied {
                choice,
                week,
                wish: *wish,
            })),
            // Without an order there is nothing to vary: what planning says of it.
            Err(outcome) => {
                let own = self.as_given(limits);
                Variants::NoPlan(Box::new(self.concluded(own, *outcome, limits)))
            }
        }
    }

    /// The class, and the same with at most `most` movements swapped for others that it allows in their place. A list that cannot be compiled (the
    /// machine has not what a movement needs) is left out.
    pub fn choice(&self, most: usize, seed: u64) -> Choice {
        let class = &self.class;
        let found = lists(&class.brief, most, seed);
        let mut ids = Vec::new();
        let mut listed = Vec::new();
        for swaps in found.swaps {
            let other = if swaps.is_empty() {
                Some(class.clone())
            } else {
                let brief = swapped(&class.brief, &swaps);
                let compiled = compile(&brief, &class.compiled.apparatus).ok();
                compiled.map(|compiled| Class {
                    brief: Arc::new(brief),
                    compiled: Arc::new(compiled),
                    ..class.clone()
                })
            };
            if let Some(class) = other {
                listed.push(Listed {
                    names: movements(&class.compiled, &mut ids),
                    class,
                    swaps,
                });
            }
        }
        Choice {
            lists: listed,
            ways: found.ways,
        }
    }
}

/// For each step the number of its movement, the same in all lists that share `ids`: two sides and two rounds of one are the same.
pub fn movements(compiled: &Compiled, ids: &mut Vec<String>) -> Vec<usize> {
    let class = &compiled.class;
    let mut number = |id: &String| {
        ids.iter().position(|known| known == id).unwrap_or_else(|| {
            ids.push(id.clone());
            ids.len() - 1
        })
    };
    (class.steps.iter())
        .map(|s| number(&class.movements[s.movement].id))
        .collect()
}
