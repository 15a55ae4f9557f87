//! How many facts were saved since the start and how many were not, for ears: a number that no page kept is no record.

/// Both counts wrap.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct SavedOrNot {
    pub(crate) saved: u8,
    pub(crate) not: u8,
}

impl SavedOrNot {
    pub(super) const fn one_saved(&mut self) {
        self.saved = self.saved.wrapping_add(1);
    }

    pub(super) const fn one_not_saved(&mut self) {
        self.not = self.not.wrapping_add(1);
    }
}
