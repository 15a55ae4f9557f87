//! What each key does on a screen: when it is pressed, and when it is held.

use crate::keys::Key;

/// The characters of what a key answers; more are cut off.
pub const ANSWER_COLUMNS: usize = 8;

/// What each key answers here, in at most [`ANSWER_COLUMNS`] characters; empty where it does nothing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Answers {
    /// The arrow up.
    pub up: &'static str,
    /// The arrow down.
    pub down: &'static str,
    /// The arrow to the left.
    pub left: &'static str,
    /// The arrow to the right.
    pub right: &'static str,
    /// The centre.
    pub centre: &'static str,
    /// What keys do that are held.
    pub held: HeldKeys,
}

/// What a held key does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Held {
    /// Nothing.
    #[default]
    Nothing,
    /// Back by one figure or screen.
    Back,
    /// Undoes the last record.
    Undo,
    /// Offers everything else.
    Menu,
    /// Goes past the guard.
    Insist,
    /// Tells that a cut was stopped early.
    Stopped,
}

impl Held {
    /// In a word of at most 7 letters; none where it does nothing.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Nothing => "",
            Self::Back => "back",
            Self::Undo => "undo",
            Self::Menu => "menu",
            Self::Insist => "insist",
            Self::Stopped => "stopped",
        }
    }
}

/// The keys that do something when they are held.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct HeldKeys {
    /// The arrow up.
    pub up: Held,
    /// The arrow to the left.
    pub left: Held,
    /// The centre.
    pub centre: Held,
}

impl Answers {
    /// What a key does here that is held.
    #[must_use]
    pub const fn held(&self, key: Key) -> Held {
        match key {
            Key::Up => self.held.up,
            Key::Left => self.held.left,
            Key::Centre => self.held.centre,
            Key::Down | Key::Right => Held::Nothing,
        }
    }

    /// In the order of the fields, and no key that is held.
    #[must_use]
    pub const fn new(
        up: &'static str,
        down: &'static str,
        left: &'static str,
        right: &'static str,
        centre: &'static str,
    ) -> Self {
        let held = HeldKeys { up: Held::Nothing, left: Held::Nothing, centre: Held::Nothing };
        Self { up, down, left, right, centre, held }
    }

    /// Where only the centre answers.
    #[must_use]
    pub const fn centre(centre: &'static str) -> Self {
        Self::new("", "", "", "", centre)
    }
}
