//! Opening a memory.

use super::cards::Cards;
use super::journal::Journal;
use super::marks::{Mark, Marks};
use super::pages::{Pages, fetch, is_blank};
use super::statement::Statement;
use super::turns::Turns;
use super::{Identity, Layout, Recovery};
use core::fmt;

/// With both marks lost, the boot number goes on so far beyond that of the newest record: more starts than that
/// without a single record between them are not expected.
pub const BOOT_LEAP: u16 = 64;

/// Why a memory does not open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OpenError<E> {
    /// The chip has fewer pages than the layout.
    TooSmall {
        /// Pages of the layout.
        needed: u16,
        /// Pages of the chip.
        have: u16,
    },
    /// Nothing was ever written: begin a journal.
    Blank,
    /// No page says which journal this is.
    Unidentified {
        /// Pages that hold something.
        used: u16,
    },
    /// The journal was begun with another division of the pages, which would have to be used.
    OtherLayout(Layout),
    /// The memory does not answer.
    Storage(E),
}

impl<E> From<E> for OpenError<E> {
    fn from(error: E) -> Self {
        Self::Storage(error)
    }
}

impl<E: fmt::Display> fmt::Display for OpenError<E> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooSmall { needed, have } => write!(f, "the memory has {have} pages; {needed} are needed"),
            Self::Blank => write!(f, "the memory is blank; begin a journal"),
            Self::Unidentified { used } => {
                write!(f, "{used} pages are in use but none says which journal it is; connect the console")
            }
            Self::OtherLayout(layout) => write!(f, "the memory is divided otherwise: {layout}"),
            Self::Storage(error) => write!(f, "the memory does not answer: {error}"),
        }
    }
}

/// An open memory without its pages.
#[derive(Debug)]
pub(super) struct Parts {
    pub(super) journal: Journal,
    pub(super) marks: Marks,
    pub(super) cards: Cards,
    pub(super) station: Turns<Statement>,
}

/// Opens what is in `pages`, into `parts`.
pub(super) fn open<P: Pages>(
    pages: &mut P,
    layout: Layout,
    parts: &mut Option<Parts>,
) -> Result<Recovery, OpenError<P::Error>> {
    fits(pages, layout)?;
    let identity = identify(pages, layout)?;
    if let Some(have) = wraps_after(pages)? {
        return Err(OpenError::TooSmall { needed: layout.pages(), have });
    }
    Ok(start(pages, identity, parts)?)
}

/// Which journal the pages hold, the pages that say so mended.
fn identify<P: Pages>(pages: &mut P, layout: Layout) -> Result<Identity, OpenError<P::Error>> {
    let agreed = Identity::agreed(pages)?;
    if let Some(found) = if agreed.is_some() { agreed } else { Identity::find(pages)? } {
        if found.identity.layout != layout {
            return Err(OpenError::OtherLayout(found.identity.layout));
        }
        if !found.both {
            Identity::repair(pages, &found)?;
        }
        return Ok(found.identity);
    }
    match Marks::find(pages)?.newest() {
        Some(mark) if mark.layout != layout => Err(OpenError::OtherLayout(mark.layout)),
        Some(mark) => {
            let identity = Identity::first(mark.journal, layout);
            identity.write(pages, None)?;
            Ok(identity)
        }
        None => Err(match used(pages)? {
            0 => OpenError::Blank,
            used => OpenError::Unidentified { used },
        }),
    }
}

fn start<P: Pages>(
    pages: &mut P,
    identity: Identity,
    parts: &mut Option<Parts>,
) -> Result<Recovery, P::Error> {
    let layout = identity.layout;
    let marks = Marks::find(pages)?;
    let mark = marks.newest().filter(|mark| mark.journal == identity.id);
    let acknowledged = mark.map_or(0, |mark| mark.acknowledged);
    let damaged_marks = marks.damaged;
    let journal = Journal::unread(identity, acknowledged);
    let (cards, station) = (Cards::none(layout), Turns::find(pages)?);
    let Parts { journal, marks, cards, .. } = parts.insert(Parts { journal, marks, cards, station });
    let (mut found, newest) = journal.survey(pages)?;
    journal.mend(pages, &mut found, newest.as_ref())?;
    journal.note_voids(pages)?;
    let last_boot = newest.as_ref().map_or(0, |record| record.boot as u16);
    let base = match mark {
        Some(mark) => mark.boot.max(last_boot),
        // Just begun.
        None if newest.is_none() && damaged_marks < 2 => 0,
        None => last_boot.saturating_add(BOOT_LEAP),
    };
    journal.boot = base.saturating_add(1);
    let mark = Mark { journal: journal.id(), acknowledged, boot: journal.boot, layout };
    let marks_written = marks.write(pages, mark)?;
    let damaged_cards = cards.find(pages)?;
    let cards = cards.held();
    Ok(Recovery { marks_written, journal: found, cards, damaged_cards })
}

pub(super) fn fits<P: Pages>(pages: &P, layout: Layout) -> Result<(), OpenError<P::Error>> {
    let (needed, have) = (layout.pages(), pages.count());
    if have < needed { Err(OpenError::TooSmall { needed, have }) } else { Ok(()) }
}

/// The pages that the chip really has, where it has fewer than its driver says: it then takes a page beyond its end for
/// one from its beginning, and the page that names the journal shows there too. Chips have a power of two of pages.
fn wraps_after<P: Pages>(pages: &mut P) -> Result<Option<u16>, P::Error> {
    /// Smaller chips are not made in pages of 64 bytes.
    const LEAST: u16 = 32;
    let [named, _] = Layout::IDENTITY;
    let content = fetch(pages, named)?;
    let mut have = pages.count().checked_next_power_of_two().unwrap_or(0) / 2;
    let mut wraps = None;
    while have >= LEAST {
        if named + have < pages.count() && fetch(pages, named + have)? == content {
            wraps = Some(have);
        }
        have /= 2;
    }
    Ok(wraps)
}

/// How many records of a journal wait for a console; nothing is written.
pub(super) fn waiting<P: Pages>(
    pages: &mut P,
    identity: &Identity,
    acknowledged: u32,
) -> Result<u32, P::Error> {
    let mut journal = Journal::unread(identity.clone(), acknowledged);
    journal.survey(pages)?;
    let mut waiting = 0;
    let first = journal.next.saturating_sub(journal.lap()).max(acknowledged + 1);
    for seq in first..journal.next {
        waiting += u32::from(journal.read(pages, seq)?.is_some());
    }
    Ok(waiting)
}

/// Pages that hold something. The identity's own are not counted: with nothing else written, a first begin was cut.
pub(super) fn used<P: Pages>(pages: &mut P) -> Result<u16, P::Error> {
    let mut used = 0;
    for page in (0..pages.count()).filter(|page| !Layout::IDENTITY.contains(page)) {
        used += u16::from(!is_blank(&fetch(pages, page)?));
    }
    Ok(used)
}
