//! How the times of a job's records are known.

use crate::chance::Chance;

#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Clock {
    Console,
    Keypad,
    /// A boot that never met a console.
    Undated,
    /// Two of them.
    UndatedTwice,
    /// A few of them dated.
    NowAndThen,
}

impl Clock {
    pub(crate) const ALL: [Self; 5] =
        [Self::Console, Self::Keypad, Self::Undated, Self::UndatedTwice, Self::NowAndThen];

    /// Whether the next record has a date.
    pub(crate) fn dates(self, chance: &mut Chance) -> bool {
        match self {
            Self::Console | Self::Keypad => true,
            Self::Undated | Self::UndatedTwice => false,
            Self::NowAndThen => chance.once_in(2),
        }
    }
}
