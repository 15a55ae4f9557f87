//! Whether facts were saved, or were not, since this was last looked at, for ears: a number that no page kept is no record.

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct SavedOrNot {
    pub(crate) saved: bool,
    pub(crate) not: bool,
}
