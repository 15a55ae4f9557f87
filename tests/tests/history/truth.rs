//! A shop, and what was done in it in truth.

use bevelbook_tests::Shop;

/// What something was done to, and on which day since 1970, if that is known.
#[derive(Clone, Debug)]
pub(crate) struct When {
    pub(crate) frame: &'static str,
    pub(crate) material: &'static str,
    pub(crate) day: Option<i64>,
}

/// Why a lens was spoiled, and who bears it.
pub(crate) type Told = (Option<&'static str>, Option<&'static str>);

/// What was done in truth.
#[derive(Debug, Default)]
pub(crate) struct Truth {
    /// Finished pairs, and how many seconds each took, where that is known.
    pub(crate) pairs: Vec<(When, Option<i64>)>,
    /// Fits, and how many passes each took.
    pub(crate) fits: Vec<(When, u64)>,
    /// Spoiled lenses: cause and bearer, as far as they were told.
    pub(crate) lost: Vec<(When, Told)>,
}

/// A shop and what was done in it.
pub(crate) struct Drawn {
    pub(crate) shop: Shop,
    pub(crate) truth: Truth,
}

impl Drawn {
    /// The console, where the shop is.
    pub(crate) fn command(&self) -> std::process::Command {
        let mut command = self.shop.command();
        command.env("TZ", "EST5");
        command
    }
}
