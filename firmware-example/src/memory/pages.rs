//! The pages below everything: what a memory chip must offer, and the careful ways to use it.

use crate::log;
use core::ops::Range;

/// Bytes in a page.
pub const PAGE: usize = 64;

/// The content of one page.
pub type Page = [u8; PAGE];

/// An erased page as this module writes it.
pub(super) const BLANK: Page = [0xff; PAGE];

/// How often a page that makes no sense is read before it is called damaged.
pub(super) const READS: u8 = 4;

/// How many readings agree before a page is called steady. One half-written bit that falls either way each time
/// passes with a chance of 2⁻¹⁵.
const AGREE: u8 = 16;

/// A memory of 64-byte pages that keeps them without power.
///
/// A write that is cut short may leave anything at all in the page that was being written, and only there; cells
/// that were half written may even read differently each time. A write that returned `Ok` has ended: an EEPROM's
/// busy time is waited for inside.
pub trait Pages {
    /// What can go wrong on the way to the chip.
    type Error;

    /// The number of pages.
    fn count(&self) -> u16;

    /// Reads page number `page`, counted from 0.
    ///
    /// # Errors
    /// There is no such page, or the chip does not answer.
    fn read(&mut self, page: u16, into: &mut Page) -> Result<(), Self::Error>;

    /// Writes page number `page`, whole.
    ///
    /// # Errors
    /// There is no such page, or the chip does not answer; the page may then hold anything.
    fn write(&mut self, page: u16, from: &Page) -> Result<(), Self::Error>;

    /// Reads on from the beginning of page `first`, over the pages behind it, until `into` is full: for a chip that reads
    /// out page behind page when it was asked for the first.
    ///
    /// # Errors
    /// As [`Pages::read`] of any of these pages; what `into` then holds is nothing, and no word about the others.
    fn read_on(&mut self, first: u16, into: &mut [u8]) -> Result<(), Self::Error> {
        page_by_page(self, first, into)
    }
}

/// Reads on by reading each page for itself.
pub(super) fn page_by_page<P: Pages + ?Sized>(
    pages: &mut P,
    first: u16,
    into: &mut [u8],
) -> Result<(), P::Error> {
    let mut content = BLANK;
    for (page, piece) in (first..).zip(into.chunks_mut(PAGE)) {
        pages.read(page, &mut content)?;
        piece.copy_from_slice(&content[..piece.len()]);
    }
    Ok(())
}

impl<P: Pages + ?Sized> Pages for &mut P {
    type Error = P::Error;

    fn count(&self) -> u16 {
        (**self).count()
    }

    fn read(&mut self, page: u16, into: &mut Page) -> Result<(), Self::Error> {
        (**self).read(page, into)
    }

    fn write(&mut self, page: u16, from: &Page) -> Result<(), Self::Error> {
        (**self).write(page, from)
    }

    fn read_on(&mut self, first: u16, into: &mut [u8]) -> Result<(), Self::Error> {
        (**self).read_on(first, into)
    }
}

/// How many pages are read at once where many are looked at one behind the other. It spares the bus the place of each page
/// but one in so many; more would take stack for little.
const RUN: u16 = 4;

/// Pages that are looked at one behind the other, each once.
pub(super) struct Run {
    first: u16,
    left: Range<u16>,
    read: [Page; RUN as usize],
}

impl Run {
    pub(super) const fn over(pages: Range<u16>) -> Self {
        Self { first: pages.start, left: pages, read: [BLANK; RUN as usize] }
    }

    /// The next page and what it holds.
    pub(super) fn next<P: Pages>(&mut self, pages: &mut P) -> Result<Option<(u16, &Page)>, P::Error> {
        let Some(page) = self.left.next() else { return Ok(None) };
        let at = (page - self.first) % RUN;
        if at == 0 {
            let many = RUN.min(self.left.end - page);
            pages.read_on(page, self.read[..usize::from(many)].as_flattened_mut())?;
        }
        Ok(self.read.get(usize::from(at)).map(|content| (page, content)))
    }
}

/// One reading of a page.
pub(super) fn fetch<P: Pages>(pages: &mut P, page: u16) -> Result<Page, P::Error> {
    let mut content = BLANK;
    pages.read(page, &mut content)?;
    Ok(content)
}

/// What `make_out` gets from the page, read again a few times as long as it gets nothing.
pub(super) fn fetch_until<P: Pages, T>(
    pages: &mut P,
    page: u16,
    mut make_out: impl FnMut(&Page) -> Option<T>,
) -> Result<Option<T>, P::Error> {
    // Read in place: a start reads some 500 pages, and handing each up would copy it.
    let mut content = BLANK;
    for _ in 0..READS {
        pages.read(page, &mut content)?;
        if let Some(found) = make_out(&content) {
            return Ok(Some(found));
        }
    }
    Ok(None)
}

/// The page if several readings of it agree.
pub(super) fn fetch_steady<P: Pages>(pages: &mut P, page: u16) -> Result<Option<Page>, P::Error> {
    let first = fetch(pages, page)?;
    let mut again = BLANK;
    for _ in 1..AGREE {
        pages.read(page, &mut again)?;
        if again != first {
            return Ok(None);
        }
    }
    Ok(Some(first))
}

/// Writes, reads back and compares: whether the page now holds `content`.
pub(super) fn write_back<P: Pages>(pages: &mut P, page: u16, content: &Page) -> Result<bool, P::Error> {
    pages.write(page, content)?;
    let kept = fetch(pages, page)? == *content;
    if !kept {
        log::line!(warn, "page {=u16} does not keep what is written", page);
    }
    Ok(kept)
}

/// Whether the page was never written: all ones (EEPROM), or all zeros (some FRAM as delivered).
pub(super) fn is_blank(page: &Page) -> bool {
    [0x00, 0xff].iter().any(|fill| page.iter().all(|byte| byte == fill))
}

/// The `N` bytes of `page` from `at`; zeros stand for what lies beyond its end.
pub(super) fn bytes_at<const N: usize>(page: &Page, at: usize) -> [u8; N] {
    core::array::from_fn(|n| page.get(at + n).copied().unwrap_or(0))
}

/// Puts `bytes` into `page` from `at`, as far as they fit.
pub(super) fn put_at(page: &mut Page, at: usize, bytes: &[u8]) {
    for (place, byte) in page.iter_mut().skip(at).zip(bytes) {
        *place = *byte;
    }
}
