//! A memory before it is open, in a place where it stays while it is opened.
//!
//! What opening finds takes 1.5 KiB. It is put where it belongs at once, since a value handed up through several calls
//! lies on the stack several times. And the pages stay at hand when opening fails, for another try.

use super::open::Parts;
use super::{BeginError, Consent, Layout, Memory, OpenError, Pages, Recovery};
use bevelbook_core::record::JournalId;

/// Pages, and what was found in them so far.
#[derive(Debug)]
pub struct Unopened<P> {
    pages: P,
    layout: Layout,
    parts: Option<Parts>,
}

impl<P: Pages> Unopened<P> {
    /// Pages that are divided by `layout`, or are to be.
    #[must_use]
    pub const fn new(pages: P, layout: Layout) -> Self {
        Self { pages, layout, parts: None }
    }

    /// As [`Memory::open`]; on success [`Unopened::into_memory`] gives the memory.
    ///
    /// # Errors
    /// As [`Memory::open`].
    pub fn open(&mut self) -> Result<Recovery, OpenError<P::Error>> {
        self.parts = None;
        let opened = super::open::open(&mut self.pages, self.layout, &mut self.parts);
        // What an opening that failed half way leaves is nothing to work on.
        opened.inspect_err(|_| self.parts = None)
    }

    /// As [`Memory::begin`]; on success [`Unopened::into_memory`] gives the memory.
    ///
    /// # Errors
    /// As [`Memory::begin`].
    pub fn begin(&mut self, id: JournalId, consent: Consent) -> Result<Recovery, BeginError<P::Error>> {
        self.parts = None;
        super::begin::begin(&mut self.pages, self.layout, id, consent)?;
        self.open().map_err(BeginError::Open)
    }

    /// The memory, once it is open.
    #[must_use]
    pub fn into_memory(self) -> Option<Memory<P>> {
        let Parts { journal, marks, cards, station } = self.parts?;
        Some(Memory { pages: self.pages, journal, marks, cards, station, clock: None })
    }
}

impl<P: Pages> Memory<P> {
    /// Opens the journal and the cards in `pages`, and counts this boot.
    ///
    /// # Errors
    /// There is no journal, or not one of this layout, or the memory does not answer.
    pub fn open(pages: P, layout: Layout) -> Result<(Self, Recovery), OpenError<P::Error>> {
        let mut unopened = Unopened::new(pages, layout);
        let recovery = unopened.open()?;
        unopened.into_memory().map(|memory| (memory, recovery)).ok_or(OpenError::Blank)
    }

    /// Begins journal `id` and opens it. Pages of earlier journals stay until their turn comes; cards go, since they leave
    /// out what the records of the journal before told.
    ///
    /// With [`Consent::GiveUpRecords`], a memory that does not say which journal it holds is erased: nothing in it
    /// could be verified any more.
    ///
    /// # Errors
    /// Without consent, records would be given up; `id` is not new; or the memory does not take it.
    pub fn begin(
        pages: P,
        layout: Layout,
        id: JournalId,
        consent: Consent,
    ) -> Result<(Self, Recovery), BeginError<P::Error>> {
        let mut unopened = Unopened::new(pages, layout);
        let recovery = unopened.begin(id, consent)?;
        unopened.into_memory().map(|memory| (memory, recovery)).ok_or(BeginError::Open(OpenError::Blank))
    }
}
