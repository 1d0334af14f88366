//! What people do between two movements, one act after another: the same list is said aloud and read by the spotter.

use super::springs::SpringSet;

/// One act of a change-over. Facets are indices of [`super::apparatus::Apparatus::facets`], values indices of the facet's values.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Act {
    /// Let the carriage come home and keep it there.
    Close,
    /// Go by a move, an index of [`super::posture::PostureGraph::moves`].
    Go(usize),
    /// Change the springs: what is new goes on first, what is old comes off after it.
    Springs {
        /// What is on before.
        from: SpringSet,
        /// What is on afterwards.
        to: SpringSet,
    },
    /// Set a part that is always there, such as the foot bar or the head rest.
    Set {
        /// The facet.
        facet: usize,
        /// Its value before.
        from: usize,
        /// Its value afterwards.
        to: usize,
    },
    /// Take a thing off the machine.
    TakeOff {
        /// The facet.
        facet: usize,
        /// What is there before.
        value: usize,
    },
    /// Put a thing on where nothing is.
    PutOn {
        /// The facet.
        facet: usize,
        /// What is there afterwards.
        value: usize,
    },
    /// Turn the thing that is there into another of its values, such as the box from along the carriage to across it.
    Turn {
        /// The facet.
        facet: usize,
        /// Its value before.
        from: usize,
        /// Its value afterwards.
        to: usize,
    },
}
