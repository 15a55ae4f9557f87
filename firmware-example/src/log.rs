//! What the firmware logs, with the feature `defmt`; nothing without it.
//!
//! For a builder in trouble: what a start found, what was begun and saved, whether a console is there, and every page and
//! every byte that went wrong. `error` is what was not done, `warn` what a person or the other end makes good, `info` what
//! keys and starts do, `debug` what the console does. No line carries a text that somebody typed, and none grows with what
//! it tells of: numbers and words of a fixed set.

use crate::device::begin::Why;
use crate::memory::eeprom::EepromError;
use crate::memory::{AppendError, CardError, Memory, Pages, Recovery};
use bevelbook_core::record::{Bench, JobId, JournalId};

/// One line, or nothing without the feature.
macro_rules! line {
    ($level:ident, $format:literal, $($value:expr),+) => {{
        #[cfg(feature = "defmt")]
        defmt::$level!($format, $($value),+);
        #[cfg(not(feature = "defmt"))]
        let _ = ($($value,)+);
    }};
}

/// A word that is sent as its number; the text itself without the feature.
macro_rules! word {
    ($word:literal) => {{
        #[cfg(feature = "defmt")]
        let word = defmt::intern!($word);
        #[cfg(not(feature = "defmt"))]
        let word = $word;
        word
    }};
}

/// A memory was opened; what its pages hold.
pub(crate) fn found(recovery: &Recovery) {
    let (journal, cards) = (&recovery.journal, recovery.cards);
    line!(
        info,
        "memory: {=u16} records, {=u16} pages damaged; {=u8} cards, {=u8} damaged",
        journal.records,
        journal.damaged,
        cards,
        recovery.damaged_cards
    );
}

/// No journal is open; the screen says more.
pub(crate) fn closed(why: Why) {
    line!(warn, "no journal open: {}", why);
}

/// A journal was begun; it is opened next.
pub(crate) fn begun(id: JournalId) {
    line!(info, "journal {=u64:016x} begun", id.0);
}

/// A journal is open.
pub(crate) fn opened<P: Pages>(memory: &Memory<P>) {
    line!(
        info,
        "journal {=u64:016x} open: boot {=u16}, record {=u32} next, {=u32} wait",
        memory.journal().0,
        memory.boot(),
        memory.next(),
        memory.unacknowledged()
    );
}

/// A fact was saved.
pub(crate) fn saved(seq: u32, fact: &Bench) {
    line!(info, "saved {=u32}: {}", seq, fact);
}

/// A fact was not saved; the screen says why.
pub(crate) fn not_saved<E>(fact: &Bench, error: &AppendError<E>, waiting: u32) {
    let why = match error {
        AppendError::TooLong(_) => word!("too long"),
        AppendError::Full { .. } => word!("no room"),
        AppendError::Spent { .. } => word!("numbers are used up"),
        AppendError::ReadBack { .. } => word!("pages do not keep it"),
        AppendError::Storage(_) => word!("no answer"),
    };
    line!(error, "not saved ({=istr}), {=u32} wait: {}", why, waiting, fact);
}

/// A page reads otherwise than it was written. What was to be in it goes elsewhere, or is refused.
pub(crate) fn not_kept(page: u16) {
    line!(warn, "page {=u16} does not keep what is written", page);
}

/// The chip did not answer, though it was asked several times.
pub(crate) fn no_answer(error: EepromError) -> EepromError {
    line!(error, "memory: {}", error);
    error
}

/// A console came, or was not heard for a while.
pub(crate) fn console(before: bool, now: bool) {
    if before != now {
        line!(info, "console here: {=bool}", now);
    }
}

/// So many runs of bytes on the line were no frame. Told when the number has doubled, so that a noisy line does not fill
/// the log.
pub(crate) fn dropped(before: u32, now: u32) {
    if before.leading_zeros() != now.leading_zeros() {
        line!(warn, "line: {=u32} runs of bytes dropped", now);
    }
}

/// The console has records up to this one in its book.
pub(crate) fn acknowledged(upto: u32) {
    line!(debug, "in the book up to {=u32}", upto);
}

/// A card came, or was refused.
pub(crate) fn card<T, E>(job: JobId, revision: u32, stored: &Result<T, CardError<E>>) {
    let how = match stored {
        Ok(_) => word!("stored"),
        Err(CardError::Full { .. } | CardError::NoSlot) => word!("no slot is free"),
        Err(_) => word!("not stored"),
    };
    line!(debug, "card of job {=u64}, revision {=u32}: {=istr}", job.0, revision, how);
}
