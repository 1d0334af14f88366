//! A multiset of springs.

/// One class of spring of an apparatus.
#[derive(Debug, Clone, PartialEq)]
pub struct SpringClass {
    /// The class: `light`, `medium`, `heavy`, ... as the apparatus names it.
    pub name: String,
    /// The studio's own label, shown on paper (a colour word, a number); the class name where the studio gives none.
    pub label: String,
    /// How many of them the machine has.
    pub count: u32,
    /// Load of one, in load units (1 unit = one medium spring, 186 N/m).
    pub load: f64,
}

/// A choice of springs: how many of each class, in the order of the apparatus.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct SpringSet(pub Vec<u32>);

impl SpringSet {
    /// How many springs go on or off from `self` to `other`.
    pub fn symmetric_difference(&self, other: &Self) -> u32 {
        self.0
            .iter()
            .zip(&other.0)
            .map(|(a, b)| a.abs_diff(*b))
            .sum()
    }

    /// Load in load units.
    pub fn load(&self, classes: &[SpringClass]) -> f64 {
        self.0
            .iter()
            .zip(classes)
            .map(|(&n, c)| f64::from(n) * c.load)
            .sum()
    }

    /// Whether there is none on.
    pub fn is_none(&self) -> bool {
        self.0.iter().all(|&n| n == 0)
    }
}
