//! What is still to come, at least: the figures that every bound gives.

/// Above every cost and time.
pub const INFINITE: i64 = i64::MAX / 4;

/// What is still to come from a state of the relaxed problem, at least. Each figure has a completion of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ToGo {
    /// Cost.
    pub cost: i64,
    /// Cost without the time of change-overs: stops, penalties, demands.
    pub other: i64,
    /// Time, steps included.
    pub time: i64,
}

impl ToGo {
    /// Nothing can come.
    pub const NONE: Self = Self {
        cost: INFINITE,
        other: INFINITE,
        time: INFINITE,
    };

    /// Takes over each figure that is less.
    pub fn least(&mut self, cost: i64, other: i64, time: i64) {
        self.cost = self.cost.min(cost);
        self.other = self.other.min(other);
        self.time = self.time.min(time);
    }
}
