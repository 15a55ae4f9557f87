//! Pages that count how often each of them is written.

use bevelbook_keypad::memory::{Page, Pages};
use std::cell::RefCell;
use std::rc::Rc;

/// How often each page was written.
#[derive(Clone, Debug)]
pub(crate) struct Counts(Rc<RefCell<Vec<u32>>>);

impl Counts {
    /// The counts as they are now.
    pub(crate) fn now(&self) -> Vec<u32> {
        self.0.borrow().clone()
    }
}

#[derive(Debug)]
pub(crate) struct Worn<P> {
    pages: P,
    counts: Counts,
}

impl<P: Pages> Worn<P> {
    pub(crate) fn new(pages: P) -> Self {
        let counts = Counts(Rc::new(RefCell::new(vec![0; pages.count().into()])));
        Self { pages, counts }
    }

    pub(crate) fn counts(&self) -> Counts {
        self.counts.clone()
    }
}

impl<P: Pages> Pages for Worn<P> {
    type Error = P::Error;

    fn count(&self) -> u16 {
        self.pages.count()
    }

    fn read(&mut self, page: u16, into: &mut Page) -> Result<(), P::Error> {
        self.pages.read(page, into)
    }

    fn write(&mut self, page: u16, from: &Page) -> Result<(), P::Error> {
        self.counts.0.borrow_mut()[usize::from(page)] += 1;
        self.pages.write(page, from)
    }
}
