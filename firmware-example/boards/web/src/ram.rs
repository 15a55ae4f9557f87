//! The keypad's memory in the page's own memory.

use bevelbook_keypad::device::PAGES;
use bevelbook_keypad::memory::{PAGE, Page, Pages};
use std::cell::RefCell;
use std::rc::Rc;

/// The bytes of the whole memory.
pub(crate) const BYTES: usize = PAGES as usize * PAGE;

/// As many pages as the keypad's chip has. A clone is the same chip: it outlives the device, as a chip outlives a power cut.
#[derive(Clone)]
pub(crate) struct Ram(Rc<RefCell<Chip>>);

struct Chip {
    pages: Vec<Page>,
    writes: u32,
}

/// There is no such page.
#[derive(Debug)]
pub(crate) struct NoPage;

impl Ram {
    /// An erased chip with `kept` on it.
    pub(crate) fn holding(kept: &[u8]) -> Self {
        let mut pages = vec![[0xff; PAGE]; PAGES.into()];
        for (page, bytes) in pages.iter_mut().zip(kept.as_chunks().0) {
            *page = *bytes;
        }
        Self(Rc::new(RefCell::new(Chip { pages, writes: 0 })))
    }

    /// All that it holds.
    pub(crate) fn bytes(&self) -> Vec<u8> {
        self.0.borrow().pages.concat()
    }

    /// How many pages were written.
    pub(crate) fn writes(&self) -> u32 {
        self.0.borrow().writes
    }
}

impl Pages for Ram {
    type Error = NoPage;

    fn count(&self) -> u16 {
        PAGES
    }

    fn read(&mut self, page: u16, into: &mut Page) -> Result<(), NoPage> {
        *into = *self.0.borrow().pages.get(usize::from(page)).ok_or(NoPage)?;
        Ok(())
    }

    fn write(&mut self, page: u16, from: &Page) -> Result<(), NoPage> {
        let mut chip = self.0.borrow_mut();
        *chip.pages.get_mut(usize::from(page)).ok_or(NoPage)? = *from;
        chip.writes = chip.writes.wrapping_add(1);
        Ok(())
    }
}
