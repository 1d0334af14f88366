//! Movements of the catalogue: `list --json`.

use serde::Serialize;

use crate::exchange::version::{VERSION, Version};
use crate::model::movement::Movement;
use crate::report::card;

/// Movements: what `list --json` prints.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct List {
    /// The version of this format.
    pub segue_list: Version,
    /// Those that pass the filters.
    pub movements: Vec<Listed>,
}

impl List {
    /// These movements.
    pub fn new(movements: &[&Movement]) -> Self {
        Self {
            segue_list: VERSION,
            movements: movements.iter().map(|&m| Listed::from(m)).collect(),
        }
    }
}

/// A movement in short.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schemas", derive(schemars::JsonSchema))]
pub struct Listed {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// The family that it belongs to.
    pub family: String,
    /// Phases of a class in which it may stand.
    pub phases: Vec<String>,
    /// 1 to 3.
    pub level: u8,
    /// Springs that it allows, in load units.
    pub springs: String,
    /// What about it calls for care.
    pub cautions: Vec<String>,
}

impl From<&Movement> for Listed {
    fn from(m: &Movement) -> Self {
        let phases = m.phases.iter().map(|&p| card::phase(p).to_owned());
        Self {
            id: m.id.clone(),
            name: m.name.clone(),
            family: m.family.clone(),
            phases: phases.collect(),
            level: m.level,
            springs: card::springs(&m.springs),
            cautions: m.cautions.iter().map(|c| c.word().to_owned()).collect(),
        }
    }
}
