//! A machine and its facets, with what each change costs in seconds.

use super::movement::{FacetNeed, SpringNeed};
use super::posture::PostureGraph;
use super::springs::{SpringClass, SpringSet};

/// Key of the foot bar.
pub const BAR: &str = "bar";
/// Values of [`BAR`] at which it lies flat, hangs out of the way or is not there: nobody can hold it or put a foot on it.
pub const BAR_AWAY: [&str; 4] = ["low", "under", "none", "off"];
/// Key of the box.
pub const BOX: &str = "box";
/// Values of [`BOX`].
pub const LONG: &str = "long";
/// Values of [`BOX`].
pub const SHORT: &str = "short";
/// Key of the head rest.
pub const HEAD: &str = "head";
/// Key of what stands at the foot end.
pub const FOOT_END: &str = "foot_end";
/// Values of [`FOOT_END`].
pub const BOARD: &str = "board";
/// Values of [`FOOT_END`].
pub const PLATFORM: &str = "platform";
/// The first value of a facet that holds things: nothing is there.
pub const NOTHING: &str = "none";

/// What a change of a facet other than the springs costs, seconds for one person.
#[derive(Debug, Clone, PartialEq)]
pub enum ChangeCost {
    /// One number for any change.
    Flat(f64),
    /// `[from][to]`, a full matrix in the order of the values.
    Matrix(Vec<Vec<f64>>),
}

/// A facet other than the springs.
#[derive(Debug, Clone, PartialEq)]
pub struct FacetSpec {
    /// Its key, by which movements name it: [`BAR`], [`BOX`], [`HEAD`], [`FOOT_END`] or one of the machine's own.
    pub key: String,
    /// Its name on paper: "foot bar".
    pub name: String,
    /// Keys of its values, in order.
    pub values: Vec<String>,
    /// What each value is called on paper, one for each value ("foot bar at its middle notch").
    pub labels: Vec<String>,
    /// What to say when the facet is changed to this value, one for each value ("raise the bar to its middle notch"). Of a thing: when it
    /// is put on; of nothing: when whatever is there comes off.
    pub cues: Vec<String>,
    /// What to say when this value, a thing, comes off, if the cue of nothing does not say it.
    pub off_cues: Vec<Option<String>>,
    /// What to say when the thing that is there is turned into this value; `None`: it comes off and this one goes on.
    pub turn_cues: Vec<Option<String>>,
    /// What this value needs of other facets: for each its key and the keys of the values that will do.
    pub needs: Vec<Vec<(String, Vec<String>)>>,
    /// Cost of changes.
    pub change: ChangeCost,
    /// Base names of the postures from which it can be changed; empty: from every posture.
    pub reach: Vec<String>,
    /// Whether a change halts the class.
    pub stop: bool,
    /// Index of the value that the class starts with.
    pub start: usize,
}

impl FacetSpec {
    /// Whether its values are things that are put on the machine and taken off, the first of them none at all. A movement that does not name
    /// such a facet is done with nothing there.
    pub fn holds_things(&self) -> bool {
        self.values.first().is_some_and(|v| v == NOTHING)
    }
}

/// The springs of a machine and what changing them costs.
#[derive(Debug, Clone, PartialEq)]
pub struct SpringSpec {
    /// The classes, heaviest first by convention of the files.
    pub classes: Vec<SpringClass>,
    /// Seconds for any change.
    pub base: f64,
    /// Seconds for each spring put on or taken off.
    pub per_spring: f64,
    /// Base names of the postures from which they can be changed; empty: from every posture.
    pub reach: Vec<String>,
    /// Whether a change halts the class.
    pub stop: bool,
    /// What is on when the class starts.
    pub start: SpringSet,
    /// The least load, in units, that is left on for a step that does not care.
    pub least_safe: f64,
}

/// A machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Apparatus {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What to know about it (rope length, no lock on the bar, ...), for the sheet.
    pub notes: Vec<String>,
    /// Whether the foot bar locks. Without a lock the sheet says how to be safe.
    pub bar_locks: bool,
    /// The springs.
    pub springs: SpringSpec,
    /// The other facets.
    pub facets: Vec<FacetSpec>,
    /// Postures and moves.
    pub postures: PostureGraph,
    /// Facets that this machine does not have, each with the value at which it stands for good (`board`, `off`). A movement that
    /// wants another value cannot be done here; a facet that is neither here nor among `facets` cannot be asked for at all.
    pub absent: Vec<(String, String)>,
    /// Base name of the posture in which people wait for the class to start; `None`: anywhere.
    pub start_posture: Option<String>,
}

impl Apparatus {
    /// Index of the facet with this key among `facets` (the springs are not among them).
    pub fn facet(&self, key: &str) -> Option<usize> {
        self.facets.iter().position(|f| f.key == key)
    }
}

/// What a facet's need comes to on a machine.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Served {
    /// Indices of the allowed values that the machine has, in the movement's order (the first is preferred).
    Values {
        /// Index among [`Apparatus::facets`].
        facet: usize,
        /// Indices among the facet's values, at least one.
        values: Vec<usize>,
    },
    /// The machine lacks the facet and stands for good at a value that will do: nothing to set.
    Always,
    /// No value of this machine will do.
    Never,
}

/// Two loads nearer than this are the same: sums of a few decimal fractions.
const SAME_LOAD: f64 = 1e-9;

impl Apparatus {
    /// Every choice of springs, `none` included, from none to all, in the order of an odometer whose last class turns fastest.
    pub fn spring_sets(&self) -> Vec<SpringSet> {
        let mut sets = vec![Vec::new()];
        for class in &self.springs.classes {
            sets = sets
                .into_iter()
                .flat_map(|set: Vec<u32>| {
                    (0..=class.count).map(move |n| {
                        let mut longer = set.clone();
                        longer.push(n);
                        longer
                    })
                })
                .collect();
        }
        sets.into_iter().map(SpringSet).collect()
    }

    /// All springs on.
    pub fn all_springs(&self) -> SpringSet {
        SpringSet(self.springs.classes.iter().map(|c| c.count).collect())
    }

    /// The choice of springs with the given number of each class named (by class or by the studio's label); `None` if the machine has fewer.
    pub fn spring_set(&self, counts: &[(String, u32)]) -> Option<SpringSet> {
        let mut set = vec![0; self.springs.classes.len()];
        for (name, count) in counts {
            let class = self
                .springs
                .classes
                .iter()
                .position(|c| &c.name == name || &c.label == name)?;
            set[class] += count;
            if set[class] > self.springs.classes[class].count {
                return None;
            }
        }
        Some(SpringSet(set))
    }

    /// The choices of springs that serve a need on this machine, empty if none does. For explicit combinations in the order as given,
    /// else in the order of [`Self::spring_sets`].
    pub fn springs_for(&self, need: &SpringNeed) -> Vec<SpringSet> {
        let classes = &self.springs.classes;
        let from_load = |from: f64, to: f64| -> Vec<SpringSet> {
            self.spring_sets()
                .into_iter()
                .filter(|s| {
                    let load = s.load(classes);
                    from - SAME_LOAD <= load && load <= to + SAME_LOAD
                })
                .collect()
        };
        match need {
            SpringNeed::Any { free: true } => self.spring_sets(),
            SpringNeed::Any { free: false } => from_load(self.springs.least_safe, f64::INFINITY),
            SpringNeed::Range { from, to, .. } => from_load(*from, *to),
            SpringNeed::Locked => vec![self.all_springs()],
            SpringNeed::Sets(sets) => sets.iter().filter_map(|s| self.spring_set(s)).collect(),
        }
    }

    /// What the need of a facet comes to here.
    pub fn serve(&self, need: &FacetNeed) -> Served {
        if let Some(facet) = self.facet(&need.facet) {
            let have = &self.facets[facet].values;
            let values: Vec<usize> = need
                .allowed
                .iter()
                .filter_map(|a| have.iter().position(|v| v == a))
                .collect();
            if values.is_empty() {
                return Served::Never;
            }
            return Served::Values { facet, values };
        }
        let stands = self.absent.iter().find(|(key, _)| *key == need.facet);
        if stands.is_some_and(|(_, value)| need.allowed.contains(value)) {
            Served::Always
        } else {
            Served::Never
        }
    }
}
