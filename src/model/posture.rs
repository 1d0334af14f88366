//! The posture graph: how the body is placed, and the moves from one way to another.

/// A posture. One with sides stands for two nodes, `NAME, left` and `NAME, right`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Posture {
    /// Full name of the node, with its side if it has one: "side-lying, left".
    pub name: String,
    /// Name without the side; movements name this one.
    pub base: String,
    /// `None` for a posture without sides; else `Some(true)` for left, `Some(false)` for right.
    pub left: Option<bool>,
    /// On what the body is: a carriage that rolls, or not. A move between two postures of which either is `rolling` wants a spring on.
    pub rolling: bool,
}

/// A move that a person makes in one go.
#[derive(Debug, Clone, PartialEq)]
pub struct Move {
    /// Node it starts from.
    pub from: usize,
    /// Node it ends in.
    pub to: usize,
    /// Seconds for one person.
    pub seconds: f64,
    /// What the teacher says: "sit up".
    pub cue: String,
}

/// All postures of a machine and the moves between them (each direction its own move).
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PostureGraph {
    /// The nodes.
    pub postures: Vec<Posture>,
    /// The moves.
    pub moves: Vec<Move>,
}

impl PostureGraph {
    /// The node for a base name and a side (`left`: `Some(true)` left, `Some(false)` right, `None` neither). A posture without sides
    /// serves every side.
    pub fn node(&self, base: &str, left: Option<bool>) -> Option<usize> {
        self.postures
            .iter()
            .position(|p| p.base == base && (p.left.is_none() || p.left == left))
    }
}
