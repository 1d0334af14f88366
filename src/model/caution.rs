//! Conditions in the room and the movements that meet them. Wording and sources: section 6 of the facts that the project is built on.

/// What about a movement calls for care. One condition in the room may touch several.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Caution {
    /// Deep or loaded rounding of the back.
    DeepFlexion,
    /// Lying on the back.
    LyingOnBack,
    /// Lying face down.
    LyingFaceDown,
    /// Long hard holds, breath holding.
    HardHold,
    /// Head lower than the heart.
    HeadDown,
    /// Back bending.
    BackBend,
    /// Loaded or repeated rounding or twisting.
    DiscLoad,
    /// Weight on bent wrists.
    WristLoad,
    /// Loaded arms above the shoulder, weight on the hands.
    ShoulderLoad,
    /// Kneeling, deep bending of the knee.
    KneeLoad,
    /// Head and chest lifted, weight near the neck.
    NeckLoad,
    /// Standing or kneeling on a carriage that moves.
    Balance,
    /// Jumping.
    Impact,
}
