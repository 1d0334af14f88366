//! The names of a catalogue, folded once: a list of any length is looked up in the time of its lines.

use std::cell::OnceCell;
use std::collections::HashMap;
use std::sync::Arc;

use crate::model::catalogue::Catalogue;
use crate::model::movement::Movement;
use crate::read::names::{Asked, Spelt, fold, most_like};

/// Movements by id, name and other names, folded.
#[derive(Debug, Clone, Default)]
pub struct Index {
    ids: HashMap<String, usize>,
    /// By folded id, by folded name, by folded other name: what stands in a map before leads, and in each what was added last.
    folded: [HashMap<String, usize>; 3],
}

impl Index {
    /// The index of a catalogue.
    pub fn of(catalogue: &Catalogue) -> Self {
        let mut index = Self::default();
        for (k, movement) in catalogue.iter().enumerate() {
            index.add(k, movement);
        }
        index
    }

    /// Puts in the names of a movement, the `k`th of its catalogue. Its name stands before the same name of an earlier one.
    pub fn add(&mut self, k: usize, movement: &Movement) {
        self.ids.entry(movement.id.clone()).or_insert(k);
        let [ids, names, others] = &mut self.folded;
        ids.insert(fold(&movement.id), k);
        names.insert(fold(&movement.name), k);
        for name in &movement.other_names {
            others.insert(fold(name), k);
        }
    }

    /// The movement that goes by this id, name or other name.
    pub fn find(&self, name: &str) -> Option<usize> {
        // Files name movements by id, and no two ids are alike: most names end here.
        if let Some(&k) = self.ids.get(name) {
            return Some(k);
        }
        let folded = fold(name);
        let found = self.folded.iter().find_map(|names| names.get(&folded));
        found.copied()
    }

    /// A movement that has the id or the name of another that is to stand beside it.
    pub fn clash(&self, new: &Movement) -> Option<usize> {
        let [ids, names, _] = &self.folded;
        let same = [ids.get(&fold(&new.id)), names.get(&fold(&new.name))];
        same.into_iter().flatten().min().copied()
    }

    /// Whether a folded text is a name.
    pub fn is_name(&self, folded: &str) -> bool {
        self.folded.iter().any(|names| names.contains_key(folded))
    }

    /// Bytes of the longest name, folded.
    pub fn longest(&self) -> usize {
        let names = self.folded.iter().flat_map(HashMap::keys);
        names.map(String::len).max().unwrap_or(0)
    }
}

/// All names of a movement.
fn names_of(movement: &Movement) -> impl Iterator<Item = &String> {
    [&movement.id, &movement.name]
        .into_iter()
        .chain(&movement.other_names)
}

/// A catalogue with its index.
#[derive(Debug)]
pub struct Names<'c> {
    /// The movements.
    pub catalogue: &'c Catalogue,
    /// Their names.
    pub index: Index,
    /// How the names of each are spelt, for those that are not known; made when the first is asked for.
    spelt: OnceCell<Vec<Vec<Spelt>>>,
}

impl<'c> Names<'c> {
    /// The names of a catalogue.
    pub fn of(catalogue: &'c Catalogue) -> Self {
        Self {
            catalogue,
            index: Index::of(catalogue),
            spelt: OnceCell::new(),
        }
    }

    /// The movement that goes by this id, name or other name.
    pub fn find(&self, name: &str) -> Option<&'c Movement> {
        let k = self.index.find(name)?;
        Some(&self.catalogue.movements[k])
    }

    /// Names of up to three movements that come near to one that is not known, nearest first.
    pub fn near(&self, name: &str) -> Vec<&'c str> {
        let movements = &self.catalogue.movements;
        let spelt = self.spelt.get_or_init(|| {
            let spelt = |m: &Arc<Movement>| names_of(m).map(|name| Spelt::of(name)).collect();
            movements.iter().map(spelt).collect()
        });
        let asked = Asked::of(name);
        most_like(movements.iter().zip(spelt).map(|(movement, names)| {
            let score = names.iter().map(|name| asked.likeness(name));
            (score.fold(0.0, f64::max), movement.name.as_str())
        }))
    }

    /// The movement of this name, or those that come near.
    ///
    /// # Errors
    /// Names of up to three likely movements, nearest first; none if nothing is near.
    pub fn movement(&self, name: &str) -> Result<&'c Movement, Vec<&'c str>> {
        self.find(name).ok_or_else(|| self.near(name))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::built_in::models;
    use crate::rules::sample::movement;

    #[test]
    fn every_name_of_what_is_built_in_leads_to_its_movement() {
        let catalogue = models(&[]).catalogue;
        let names = Names::of(&catalogue);
        for m in catalogue.iter() {
            for name in [&m.id, &m.name, &m.name.to_uppercase()] {
                assert_eq!(names.find(name).map(|f| &f.id), Some(&m.id), "{name}");
            }
            for name in &m.other_names {
                assert!(names.find(name).is_some(), "{name}");
            }
        }
        assert!(names.find("hopscotch").is_none());
        assert_eq!(names.near("elephunt")[0], "Elephant");
    }

    #[test]
    fn an_id_stands_before_a_name_a_name_before_another_and_a_later_one_before_an_earlier() {
        let named = |id: &str, name: &str, other: &str| Movement {
            name: name.into(),
            other_names: vec![other.into()],
            ..movement(id)
        };
        let catalogue = Catalogue {
            movements: [
                named("first", "Swan", "Plank"),
                named("second", "Plank", "Swan"),
                named("third", "swan", "Bird"),
                named("bird", "Fourth", "First"),
            ]
            .map(Into::into)
            .to_vec(),
        };
        let names = Names::of(&catalogue);
        for (name, id) in [
            ("first", "first"),
            ("First", "first"),
            ("Swan", "third"),
            ("plank", "second"),
            ("Bird", "bird"),
        ] {
            assert_eq!(names.find(name).map(|m| m.id.as_str()), Some(id), "{name}");
        }
    }
}
