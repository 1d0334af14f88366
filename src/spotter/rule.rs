//! The rules, each in a sentence with its reason. Common practice, no source, wherever nothing else is said.

/// A rule of the spotter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rule {
    /// Springs: from where.
    SpringsFrom,
    /// The foot bar: from where.
    BarFrom,
    /// Box, board and platform: from where.
    ThingsFrom,
    /// Both hands are free.
    HandsFree,
    /// The feet are free.
    FeetFree,
    /// Closed before anything of weight is changed.
    ClosedFirst,
    /// The last spring.
    LastSpring,
    /// Bar and foot end go together.
    Fits,
    /// Things on things.
    OneAtATime,
    /// An act starts from what is.
    AsItStands,
    /// What carries the body is there.
    CarriedByWhatIsThere,
    /// Closed for every move.
    MovesClosed,
    /// A spring holds what is got on to.
    HeldBySprings,
    /// What is held is there.
    BarThere,
    /// Feet into straps and out of them, lying.
    FeetLying,
    /// Straps away first.
    StrapsFirst,
    /// Straps taken at the right place.
    StrapsTaken,
    /// No turning on the box.
    NoTurnOnTheBox,
    /// Rolling on the box.
    RollHeld,
    /// The safety strap.
    SafetyStrap,
    /// Turning on the knees.
    KneesOnALightSpring,
    /// Nothing is missing at the end.
    Ready,
}

impl Rule {
    /// All of them.
    pub const ALL: [Self; 22] = [
        Self::SpringsFrom,
        Self::BarFrom,
        Self::ThingsFrom,
        Self::HandsFree,
        Self::FeetFree,
        Self::ClosedFirst,
        Self::LastSpring,
        Self::Fits,
        Self::OneAtATime,
        Self::AsItStands,
        Self::CarriedByWhatIsThere,
        Self::MovesClosed,
        Self::HeldBySprings,
        Self::BarThere,
        Self::FeetLying,
        Self::StrapsFirst,
        Self::StrapsTaken,
        Self::NoTurnOnTheBox,
        Self::RollHeld,
        Self::SafetyStrap,
        Self::KneesOnALightSpring,
        Self::Ready,
    ];

    /// What is asked, as one sentence.
    pub fn sentence(self) -> &'static str {
        match self {
            Self::SpringsFrom => {
                "Springs are changed by somebody who stands on the floor, or who sits or kneels on the carriage facing the bar."
            }
            Self::BarFrom => {
                "The foot bar is set by somebody who stands on the floor, or who sits or kneels on the carriage facing it."
            }
            Self::ThingsFrom => "Box, jump board and platform go on and come off from the floor.",
            Self::HandsFree => "Whoever changes something holds nothing and leans on nothing.",
            Self::FeetFree => {
                "Whoever changes something has the feet out of the straps and off the bar."
            }
            Self::ClosedFirst => {
                "The carriage is closed before springs, bar, box, board or platform are touched."
            }
            Self::LastSpring => {
                "Springs never come off below what the machine calls safe with somebody on the carriage."
            }
            Self::Fits => "Board and platform are there only while the bar stands as they need it.",
            Self::OneAtATime => {
                "A thing goes on only where nothing is, and comes off only where it is."
            }
            Self::AsItStands => {
                "Every act starts from where people are and from what is on the machine."
            }
            Self::CarriedByWhatIsThere => {
                "Nobody gets on a box or a platform that is not there, or on a carriage that a box covers."
            }
            Self::MovesClosed => {
                "Nobody gets on, off, up, down, round or over, and nothing goes on to bar, board or straps or off them, while the carriage is open."
            }
            Self::HeldBySprings => {
                "People get on and off, and move about on the carriage, only while springs hold it, no less than the machine calls safe."
            }
            Self::BarThere => {
                "Hands and feet go on to the bar only while it stands up and nothing is fitted before it, and on to the board only while it is fitted."
            }
            Self::FeetLying => "Feet go into the straps and out of them lying.",
            Self::StrapsFirst => {
                "Straps are hung up, and feet are out of them, before anybody moves elsewhere or touches anything; who gets down from the box hangs them up from the floor."
            }
            Self::StrapsTaken => {
                "Straps are taken where the next movement starts, or on the floor before the box is climbed."
            }
            Self::NoTurnOnTheBox => {
                "Nobody turns round or changes ends on top of a box: down, round, up."
            }
            Self::RollHeld => {
                "Rolling on the long box is done lying, the carriage closed and a hand on the bar."
            }
            Self::SafetyStrap => {
                "The safety strap is fixed on every way on to the short box that needs it."
            }
            Self::KneesOnALightSpring => "Nobody turns on the knees on one light spring.",
            Self::Ready => {
                "At the end everything is as the next movement asks: place, straps, springs, bar, head rest, box, foot end."
            }
        }
    }

    /// Why.
    pub fn reason(self) -> &'static str {
        match self {
            Self::SpringsFrom => {
                "They hang at the foot end below the edge: who stands on the carriage, lies, sits sideways or on a box must lean out for them while the carriage may roll."
            }
            Self::BarFrom => {
                "It is heavy, moves towards the body, and is out of reach from elsewhere."
            }
            Self::ThingsFrom => {
                "They are heavy and wide, and what carries a person is what they change."
            }
            Self::HandsFree => {
                "A held strap pulls the carriage; a bar that carries weight gives way when it is moved."
            }
            Self::FeetFree => "A foot that pushes or is caught moves the carriage under the hands.",
            Self::ClosedFirst => {
                "A stretched spring snaps back, and fingers are between carriage and frame."
            }
            Self::LastSpring => {
                "A carriage that no spring holds rolls away under whoever is on it."
            }
            Self::Fits => "A raised bar strikes the board, and stands where the platform lies.",
            Self::OneAtATime => "There is one box, and one thing at a time at the foot end.",
            Self::AsItStands => "What cannot be done as it is said is done in some other way.",
            Self::CarriedByWhatIsThere => "There would be nothing to stand, sit or lie on.",
            Self::MovesClosed => {
                "A carriage that is open rolls home under the foot, the knee or the hips that no longer hold it."
            }
            Self::HeldBySprings => "A carriage that no spring holds rolls away under the foot.",
            Self::BarThere => "There would be nothing to hold.",
            Self::FeetLying => "Whoever sits or stands is pulled over by the first spring.",
            Self::StrapsFirst => "A strap round a hand or a foot catches whoever gets up.",
            Self::StrapsTaken => "Straps that are taken early are in the way of the next move.",
            Self::NoTurnOnTheBox => "It is narrow and high, and slides with the carriage.",
            Self::RollHeld => "The bar is the only thing there that does not roll.",
            Self::SafetyStrap => "It is all that keeps somebody who leans back from falling.",
            Self::KneesOnALightSpring => "The carriage swings away under the turning knee.",
            Self::Ready => {
                "What nobody says is not done, or is done in the middle of the movement."
            }
        }
    }

    /// Whether it only says how somebody is placed who changes something, which a machine's file may widen.
    pub fn of_place(self) -> bool {
        matches!(
            self,
            Self::SpringsFrom | Self::BarFrom | Self::ThingsFrom | Self::HandsFree | Self::FeetFree
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_rule_is_one_sentence_with_its_reason() {
        for rule in Rule::ALL {
            for text in [rule.sentence(), rule.reason()] {
                assert!(
                    text.ends_with('.') && text.matches(". ").count() == 0,
                    "{text}"
                );
            }
        }
    }
}
