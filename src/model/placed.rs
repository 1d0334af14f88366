//! Where a body is and what its hands and feet hold: the plain facts of a position, as a machine's file states them.
//!
//! What may be changed from where, and whether a change-over is safe, is read from these facts and never from a position's name.

/// What carries the body.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum On {
    /// The floor beside the machine.
    Floor,
    /// The carriage, which rolls.
    Carriage,
    /// One foot on the carriage, the other on the floor.
    CarriageAndFloor,
    /// Partly on the carriage, partly on the standing platform.
    CarriageAndPlatform,
    /// The box along the carriage.
    LongBox,
    /// The box across the carriage.
    ShortBox,
}

/// How the body is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Body {
    /// Upright on the feet.
    Standing,
    /// Seated.
    Seated,
    /// Upright on the knees.
    Kneeling,
    /// On the knees, the weight partly on the hands.
    HandsAndKnees,
    /// The weight on hands or forearms and feet, to the front, the back or the side.
    Plank,
    /// Lying on the back.
    OnTheBack,
    /// Lying face down.
    FaceDown,
    /// Lying on the side.
    OnTheSide,
}

/// What somebody upright looks at; where the head points, of somebody who lies along the long box face down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Facing {
    /// The end with the foot bar and the springs.
    Bar,
    /// The end with the straps.
    StrapEnd,
    /// Across the machine.
    Side,
}

/// What the hands hold or lean on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hands {
    /// Nothing.
    Free,
    /// The foot bar.
    Bar,
    /// The straps, one or both.
    Straps,
    /// The frame at the strap end.
    Frame,
    /// The carriage.
    Carriage,
    /// The box.
    Box,
}

/// What the feet are in or on, beside what carries the body.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Feet {
    /// Nothing.
    Free,
    /// On the foot bar.
    Bar,
    /// On the jump board.
    Board,
    /// In the straps, one or both, or the straps round the thighs.
    Straps,
    /// On the foot bar, with the straps round the thighs.
    StrapsAndBar,
    /// Under the strap that holds somebody on the short box.
    SafetyStrap,
}

/// The facts of one position.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placed {
    /// What carries the body.
    pub on: On,
    /// How it is held.
    pub body: Body,
    /// Where it looks; `None` where that makes no difference.
    pub facing: Option<Facing>,
    /// What the hands hold.
    pub hands: Hands,
    /// What the feet are in.
    pub feet: Feet,
    /// Of a position across the machine with a left and a right form: whether the side that the form names is at the strap end, as it is where
    /// the nearer hand takes a strap; else it is at the bar.
    pub side_at_strap_end: bool,
}

/// Each value with its word in a machine's file.
pub type Words<T> = &'static [(&'static str, T)];

impl On {
    /// The words of a machine's file.
    pub const WORDS: Words<Self> = &[
        ("floor", Self::Floor),
        ("carriage", Self::Carriage),
        ("carriage and floor", Self::CarriageAndFloor),
        ("carriage and platform", Self::CarriageAndPlatform),
        ("long box", Self::LongBox),
        ("short box", Self::ShortBox),
    ];
}

impl Body {
    /// The words of a machine's file.
    pub const WORDS: Words<Self> = &[
        ("standing", Self::Standing),
        ("seated", Self::Seated),
        ("kneeling", Self::Kneeling),
        ("hands and knees", Self::HandsAndKnees),
        ("plank", Self::Plank),
        ("on the back", Self::OnTheBack),
        ("face down", Self::FaceDown),
        ("on the side", Self::OnTheSide),
    ];
}

impl Facing {
    /// The words of a machine's file.
    pub const WORDS: Words<Self> = &[
        ("bar", Self::Bar),
        ("strap end", Self::StrapEnd),
        ("side", Self::Side),
    ];
}

impl Hands {
    /// The words of a machine's file.
    pub const WORDS: Words<Self> = &[
        ("free", Self::Free),
        ("bar", Self::Bar),
        ("straps", Self::Straps),
        ("frame", Self::Frame),
        ("carriage", Self::Carriage),
        ("box", Self::Box),
    ];
}

impl Feet {
    /// The words of a machine's file.
    pub const WORDS: Words<Self> = &[
        ("free", Self::Free),
        ("bar", Self::Bar),
        ("board", Self::Board),
        ("straps", Self::Straps),
        ("straps and bar", Self::StrapsAndBar),
        ("safety strap", Self::SafetyStrap),
    ];
}

impl Placed {
    /// Somebody who stands on the floor with free hands.
    pub const BESIDE: Self = Self {
        on: On::Floor,
        body: Body::Standing,
        facing: None,
        hands: Hands::Free,
        feet: Feet::Free,
        side_at_strap_end: false,
    };

    /// Whether nothing is held and both feet are free.
    pub fn free(&self) -> bool {
        self.hands == Hands::Free && self.feet == Feet::Free
    }

    /// Whether somebody stands on the floor with free hands.
    pub fn on_the_floor(&self) -> bool {
        self.free() && self.on == On::Floor
    }

    /// Whether somebody is where springs and bar are changed: on the floor, or seated or kneeling on the carriage facing the bar, hands and
    /// feet free (common practice, no source).
    pub fn before_the_springs(&self) -> bool {
        let before = self.on == On::Carriage
            && self.facing == Some(Facing::Bar)
            && matches!(self.body, Body::Seated | Body::Kneeling);
        self.free() && (before || self.on == On::Floor)
    }

    /// Whether the body is on the box.
    pub fn on_box(&self) -> bool {
        matches!(self.on, On::LongBox | On::ShortBox)
    }

    /// Whether the hands or the feet are in the straps.
    pub fn in_straps(&self) -> bool {
        self.hands == Hands::Straps || self.legs_in_straps()
    }

    /// Whether the feet or the thighs are in the straps.
    pub fn legs_in_straps(&self) -> bool {
        matches!(self.feet, Feet::Straps | Feet::StrapsAndBar)
    }

    /// Whether hands or feet are on the foot bar.
    pub fn at_the_bar(&self) -> bool {
        self.hands == Hands::Bar || matches!(self.feet, Feet::Bar | Feet::StrapsAndBar)
    }

    /// Whether the body kneels or stands on the box, a height to fall from.
    pub fn high(&self) -> bool {
        self.on_box()
            && matches!(
                self.body,
                Body::Standing | Body::Kneeling | Body::HandsAndKnees | Body::Plank
            )
    }
}
