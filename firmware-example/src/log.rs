//! What the firmware logs, with the feature `defmt`; nothing without it.

use bevelbook_core::record::Bench;

/// A fact was saved.
pub(crate) fn saved(seq: u32, fact: &Bench) {
    #[cfg(feature = "defmt")]
    defmt::info!("saved {}: {}", seq, fact);
    #[cfg(not(feature = "defmt"))]
    let _ = (seq, fact);
}

/// A fact was not saved; the screen says why.
pub(crate) fn not_saved(fact: &Bench, waiting: u32) {
    #[cfg(feature = "defmt")]
    defmt::error!("not saved, {} wait: {}", waiting, fact);
    #[cfg(not(feature = "defmt"))]
    let _ = (fact, waiting);
}

/// A card of the job in hand came or went.
pub(crate) fn card(revision: Option<u32>) {
    #[cfg(feature = "defmt")]
    defmt::debug!("card of the job in hand, revision {}", revision);
    #[cfg(not(feature = "defmt"))]
    let _ = revision;
}
