//! A multiset of springs.

/// Newtons per metre in one load unit: a medium spring, 0.19 kgf/cm. "Influence of the spring constant change on the electromyography
/// activity of muscles of the powerhouse and shoulder during the long stretch exercise", Fisioter Pesqui (2023) 30:e22015123, abstract.
pub const NEWTONS_PER_METRE_IN_A_UNIT: f64 = 0.19 * KGF_PER_CM;

/// Newtons per metre in one kilogram-force per centimetre.
pub const KGF_PER_CM: f64 = 980.665;

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

#[cfg(test)]
mod tests {
    use super::*;

    fn class(name: &str, kgf_per_cm: f64) -> SpringClass {
        SpringClass {
            name: name.into(),
            label: name.into(),
            count: 2,
            load: kgf_per_cm * KGF_PER_CM / NEWTONS_PER_METRE_IN_A_UNIT,
        }
    }

    /// Measured constants of one medium (0.19), medium and light (0.27) and two medium (0.38 kgf/cm): Fisioter Pesqui (2023)
    /// 30:e22015123, abstract. The light one is known by difference only, so two medium is the independent check.
    #[test]
    fn springs_side_by_side_add_as_measured() {
        let classes = [class("medium", 0.19), class("light", 0.27 - 0.19)];
        let kgf =
            |m, l| SpringSet(vec![m, l]).load(&classes) * NEWTONS_PER_METRE_IN_A_UNIT / KGF_PER_CM;
        assert!((kgf(1, 1) - 0.27).abs() < 1e-12);
        assert!((kgf(2, 0) - 0.38).abs() < 1e-12);
        assert!((classes[1].load / classes[0].load - 0.42).abs() < 0.005);
        assert!((NEWTONS_PER_METRE_IN_A_UNIT - 186.3).abs() < 0.05);
    }

    #[test]
    fn a_swap_of_one_spring_for_another_counts_as_two() {
        assert_eq!(
            SpringSet(vec![1, 0]).symmetric_difference(&SpringSet(vec![0, 1])),
            2
        );
    }
}
