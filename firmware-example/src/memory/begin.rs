//! Beginning a journal in a memory.
//!
//! It takes an explicit call, never an error on the way to opening one. Records that no console has are given up
//! only with consent; even then their pages stay as they are until the new journal comes to them.

use super::identity::REMEMBERED;
use super::marks::Marks;
use super::open::{fits, used, waiting};
use super::pages::{BLANK, Pages, fetch, is_blank};
use super::{Identity, Layout, OpenError, record};
use bevelbook_core::record::JournalId;
use core::fmt;

/// Whether records that no console has may be given up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Consent {
    /// No: refuse if there are any.
    KeepRecords,
    /// Yes: a person was told how many, and held the key.
    GiveUpRecords,
}

/// Why no journal was begun. Nothing was changed, except by [`BeginError::ReadBack`], [`BeginError::Storage`] and
/// [`BeginError::Open`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BeginError<E> {
    /// The journal that is there holds records that no console has.
    Unacknowledged {
        /// That journal.
        journal: JournalId,
        /// How many.
        records: u32,
    },
    /// The pages hold something, and nothing says what.
    Unidentified {
        /// How many pages.
        used: u16,
    },
    /// The id belongs to this journal or to one before it: its numbers would be given twice.
    KnownId(JournalId),
    /// Neither page for the identity takes it.
    ReadBack,
    /// The new journal was begun but does not open.
    Open(OpenError<E>),
    /// The memory does not answer.
    Storage(E),
}

impl<E: fmt::Display> fmt::Display for BeginError<E> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unacknowledged { journal, records } => {
                write!(
                    f,
                    "{records} records of journal {journal} are not in any book yet; connect the console"
                )
            }
            Self::Unidentified { used } => write!(f, "{used} pages hold something that nothing accounts for"),
            Self::KnownId(id) => write!(f, "journal {id} was begun here before; make a new id"),
            Self::ReadBack => write!(f, "the memory does not keep the journal's id"),
            Self::Open(error) => error.fmt(f),
            Self::Storage(error) => write!(f, "the memory does not answer: {error}"),
        }
    }
}

/// Notes in `pages` that journal `id` is theirs from now on.
pub(super) fn begin<P: Pages>(
    pages: &mut P,
    layout: Layout,
    id: JournalId,
    consent: Consent,
) -> Result<(), BeginError<P::Error>> {
    fits(pages, layout).map_err(BeginError::Open)?;
    let insists = consent == Consent::GiveUpRecords;
    let marks = Marks::find(pages).map_err(BeginError::Storage)?;
    let found = Identity::find(pages).map_err(BeginError::Storage)?;
    let known = found.as_ref().map(|found| found.identity.clone());
    let known = known.or_else(|| marks.newest().map(|mark| Identity::first(mark.journal, mark.layout)));
    let identity = match known {
        Some(old) if old.knows(id) => return Err(BeginError::KnownId(id)),
        Some(old) => {
            let mark = marks.newest().filter(|mark| mark.journal == old.id);
            let acknowledged = mark.map_or(0, |mark| mark.acknowledged);
            fits(pages, old.layout).map_err(BeginError::Open)?;
            let records = waiting(pages, &old, acknowledged).map_err(BeginError::Storage)?;
            if records > 0 && !insists {
                return Err(BeginError::Unacknowledged { journal: old.id, records });
            }
            tidy(pages, &old).map_err(BeginError::Storage)?;
            old.followed_by(id, layout)
        }
        None => {
            let used = used(pages).map_err(BeginError::Storage)?;
            if used > 0 && !insists {
                return Err(BeginError::Unidentified { used });
            }
            erase(pages).map_err(BeginError::Storage)?;
            Identity::first(id, layout)
        }
    };
    match identity.write(pages, found.as_ref()).map_err(BeginError::Storage)? {
        0 => Err(BeginError::ReadBack),
        _ => Ok(()),
    }
}

fn erase<P: Pages>(pages: &mut P) -> Result<(), P::Error> {
    for page in 0..pages.count() {
        if !is_blank(&fetch(pages, page)?) {
            pages.write(page, &BLANK)?;
        }
    }
    Ok(())
}

/// Erases what the new journal could only take for damage, which is records of the journal that is forgotten now, and the
/// cards. What the newest records of the old journal told was to be laid over those; it is not any more, and the guard would
/// be silent about it.
fn tidy<P: Pages>(pages: &mut P, old: &Identity) -> Result<(), P::Error> {
    let forgotten = old.previous.get(REMEMBERED - 1);
    for page in 0..old.layout.pages().min(pages.count()) {
        let content = fetch(pages, page)?;
        let card = old.layout.is_card(page) && !is_blank(&content);
        if card || forgotten.is_some_and(|id| record::from_page(&content, *id).is_some()) {
            pages.write(page, &BLANK)?;
        }
    }
    Ok(())
}
