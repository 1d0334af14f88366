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

#[cfg(test)]
impl Timeline {
    /// Steps with their start and end, for tests of definitions; the class ends with the last step.
    pub(crate) fn on_the_clock(spans: &[(usize, i64, i64)]) -> Self {
        Self {
            order: spans.iter().map(|s| s.0).collect(),
            start: spans.iter().map(|s| s.1).collect(),
            end: spans.iter().map(|s| s.2).collect(),
            finish: spans.last().map_or(0, |s| s.2),
            ..Self::default()
        }
    }

    /// An order without times, for tests of definitions that do not look at the clock.
    pub(crate) fn in_order(order: &[usize]) -> Self {
        Self {
            order: order.to_vec(),
            ..Self::default()
        }
    }
}
