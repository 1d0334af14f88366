//! What the people in the room change: how slow the slowest is, and whether wrists need care.

use crate::brief::Brief;
use crate::model::caution::Caution;
use crate::model::room;

/// What the room adds to a brief and its class.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// (1 + v e(N)) times the pace: by how much the slowest of the room is slower.
    pub factor: f64,
    /// Whether a condition of somebody in the room touches weight on bent wrists.
    pub wrist_care: bool,
}

/// The room of a brief.
pub fn room_of(brief: &Brief) -> Room {
    let wrist_care = brief.cautions().contains(&Caution::WristLoad);
    Room {
        factor: room::factor(brief.room, brief.variation) * brief.pace.factor(),
        wrist_care,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::{Condition, Treatment};
    use crate::compile::sample::brief;
    use crate::rules::sample::{Sample, movement, nowhere};

    #[test]
    fn ten_people_are_slower_than_one_and_a_wrist_condition_asks_for_care() {
        let sample = Sample::new().both(movement("a"));
        let mut brief = brief(&sample);
        brief.room = 10;
        // 1 + 0.25 x 1.53875, published to five decimals (see `model::room` for the source).
        assert!((room_of(&brief).factor - 1.384_687_5).abs() < 1.3e-6);
        assert!(!room_of(&brief).wrist_care);
        brief.conditions.push(Condition {
            name: "wrist pain".into(),
            said: None,
            treatment: Treatment::Shown,
            span: nowhere(),
        });
        assert!(room_of(&brief).wrist_care);
    }
}
