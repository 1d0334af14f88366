//! What an order with set-ups looks like on the clock: plain data, made by `score`, read by the definitions of demands.

/// A finished order on the clock. All slices have one entry for each step in use, in the order done.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Timeline {
    /// The steps in use, in order.
    pub order: Vec<usize>,
    /// The set-up of each: one value for each facet.
    pub setups: Vec<Vec<usize>>,
    /// When the change-over before each begins, hundredths.
    pub changeover_start: Vec<i64>,
    /// When each starts, hundredths.
    pub start: Vec<i64>,
    /// When each ends, hundredths.
    pub end: Vec<i64>,
    /// Whether the change-over before each halts the class.
    pub stops: Vec<bool>,
    /// Time of the final change-over, hundredths; 0 if there is none.
    pub final_changeover: i64,
    /// Whether the final change-over halts the class.
    pub final_stop: bool,
    /// How often each facet changes, first and final change-over included.
    pub facet_changes: Vec<i64>,
    /// End of the class, final change-over included, hundredths.
    pub finish: i64,
}

impl Timeline {
    /// Place (index from 0) of a step, if it is in use.
    pub fn index_of(&self, step: usize) -> Option<usize> {
        self.order.iter().position(|&s| s == step)
    }
}
