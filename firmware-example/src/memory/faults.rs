//! The fault model: a memory of pages whose power can be cut in the middle of a write.
//!
//! It is what the tests of this crate, and of others, trust; so it does little. Pages are an array. The write
//! numbered [`Cut::write`], counted from 0 since the power came on, leaves its page as [`Torn`] says; it and every
//! later call fail until [`FaultyPages::power_on`]. No other page changes. A page can also be stuck: it takes no
//! write and says nothing. And the bus can be disturbed: then reads are not answered
//! ([`FaultyPages::leave_unanswered`]), or it is not told whether a write took effect ([`FaultyPages::disturb_writes`]).

use super::marks::{Mark, Marks};
use super::pages::{BLANK, PAGE, Page, Pages};
use super::{Identity, Layout};
use bevelbook_core::record::JournalId;

/// What a cut write leaves in its page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Torn {
    /// The content before it: the write had not begun.
    Old,
    /// The new content: the write had ended, and nobody was told.
    New,
    /// The first so many bytes new, the rest old.
    Split,
    /// Each bit from the new or from the old content.
    Mixed,
    /// Anything.
    Garbage,
    /// The new content, but one to three of the bits that changed were half written: they read differently from
    /// one time to the next.
    Weak,
}

impl Torn {
    /// Every way.
    pub const ALL: [Self; 6] = [Self::Old, Self::New, Self::Split, Self::Mixed, Self::Garbage, Self::Weak];
}

/// When power is cut, and what that leaves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Cut {
    /// The write that is cut, counted from 0 since the power came on.
    pub write: u32,
    /// What it leaves.
    pub torn: Torn,
    /// Chooses among the ways `torn` can turn out.
    pub seed: u64,
}

/// Why a page could not be read or written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// The power is off.
    PowerOff,
    /// The chip did not answer.
    NoAnswer,
    /// There is no such page.
    NoSuchPage {
        /// The page asked for.
        page: u16,
        /// How many there are.
        count: u16,
    },
}

/// `N` pages in RAM, with faults on demand.
#[derive(Clone, Debug)]
pub struct FaultyPages<const N: usize> {
    pages: [Page; N],
    stuck: [bool; N],
    /// The half-written bits of each page.
    weak: [Page; N],
    cut: Option<Cut>,
    off: bool,
    /// One read in so many is not answered; 0 is none.
    unanswered: u64,
    /// One write in so many is disturbed; 0 is none.
    disturbed: u64,
    /// So many reads from now on are not answered.
    deaf: u64,
    writes: u32,
    chance: u64,
}

impl<const N: usize> FaultyPages<N> {
    /// Pages that were never written, with the power on.
    #[must_use]
    pub const fn blank() -> Self {
        let pages = [BLANK; N];
        let (stuck, weak) = ([false; N], [[0; PAGE]; N]);
        Self {
            pages,
            stuck,
            weak,
            cut: None,
            off: false,
            unanswered: 0,
            disturbed: 0,
            deaf: 0,
            writes: 0,
            chance: 1,
        }
    }

    /// A journal late in its numbers: `acknowledged` records and `boot` starts of it are behind, and no page holds one of
    /// them any more.
    #[must_use]
    pub fn begun_late(layout: Layout, journal: JournalId, acknowledged: u32, boot: u16) -> Self {
        let mut pages = Self::blank();
        // Nothing is in the way on pages without faults.
        let _ = Identity::first(journal, layout).write(&mut pages, None);
        let marks = Marks::find(&mut pages);
        let _ = marks.map(|mut marks| marks.write(&mut pages, Mark { journal, acknowledged, boot, layout }));
        pages.power_on();
        pages
    }

    /// Arms a cut; it replaces one that has not happened yet.
    pub const fn cut_at(&mut self, cut: Cut) {
        self.cut = Some(cut);
    }

    /// Turns the power on, with no cut armed, and counts writes from 0 again.
    pub const fn power_on(&mut self) {
        self.off = false;
        self.cut = None;
        self.writes = 0;
    }

    /// Whether the power is off.
    #[must_use]
    pub const fn is_off(&self) -> bool {
        self.off
    }

    /// The writes since the power came on, the cut one included.
    #[must_use]
    pub const fn writes(&self) -> u32 {
        self.writes
    }

    /// From now on one read in `one_in` is not answered, as on a bus that something disturbs; 0 is none.
    pub const fn leave_unanswered(&mut self, one_in: u64) {
        self.unanswered = one_in;
    }

    /// The next so many reads are not answered.
    pub const fn deafen(&mut self, reads: u64) {
        self.deaf = reads;
    }

    /// From now on one write in `one_in` meets a disturbance of the bus; 0 is none. It takes effect, or in part, or not at
    /// all, its answer may be lost, and so may those of up to three reads after it.
    pub const fn disturb_writes(&mut self, one_in: u64) {
        self.disturbed = one_in;
        self.deaf = 0;
    }

    /// Chooses among the ways everything can turn out.
    pub const fn seed(&mut self, seed: u64) {
        self.chance = seed;
    }

    /// From now on page `page` keeps what it holds, whatever is written to it. A page that does not exist cannot
    /// be stuck.
    pub fn stick(&mut self, page: u16) {
        if let Some(stuck) = self.stuck.get_mut(usize::from(page)) {
            *stuck = true;
        }
    }

    /// The whole content, as a reader would find it who has only solid bits.
    #[must_use]
    pub const fn content(&self) -> &[Page; N] {
        &self.pages
    }

    /// Puts `content` into page `page` by other means than a write, as an accident would.
    pub fn put(&mut self, page: u16, content: Page) {
        let index = usize::from(page);
        if index < N {
            self.pages[index] = content;
            self.weak[index] = [0; PAGE];
        }
    }

    fn index(&self, page: u16) -> Result<usize, Fault> {
        if self.off {
            return Err(Fault::PowerOff);
        }
        let index = usize::from(page);
        if index < N { Ok(index) } else { Err(Fault::NoSuchPage { page, count: self.count() }) }
    }

    /// A sequence of bits that looks random (splitmix64).
    fn random(&mut self) -> u64 {
        self.chance = self.chance.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut bits = self.chance;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        bits ^ (bits >> 31)
    }

    /// What a disturbance makes of the write of that number, if it meets one.
    fn disturbance(&mut self, write: u32) -> Option<Cut> {
        self.chances(self.disturbed).then(|| {
            self.deaf = self.random() % 4;
            let torn = [Torn::Old, Torn::New, Torn::Split][self.random() as usize % 3];
            Cut { write, torn, seed: self.random() }
        })
    }

    /// Once in `one_in` times; never for 0.
    fn chances(&mut self, one_in: u64) -> bool {
        one_in > 0 && self.random().is_multiple_of(one_in)
    }

    fn random_page(&mut self) -> Page {
        core::array::from_fn(|_| self.random() as u8)
    }

    fn tear(&mut self, cut: Cut, index: usize, old: &Page, new: &Page) -> Page {
        self.chance = cut.seed;
        match cut.torn {
            Torn::Old => *old,
            Torn::New => *new,
            Torn::Split => {
                let new_bytes = self.random() as usize % PAGE;
                core::array::from_fn(|n| if n < new_bytes { new[n] } else { old[n] })
            }
            Torn::Mixed => {
                let choice = self.random_page();
                core::array::from_fn(|n| (new[n] & choice[n]) | (old[n] & !choice[n]))
            }
            Torn::Garbage => self.random_page(),
            Torn::Weak => {
                for _ in 0..1 + cut.seed % 3 {
                    let at = self.random() as usize % PAGE;
                    self.weak[index][at] |= (new[at] ^ old[at]) & (1 << (self.random() % 8));
                }
                *new
            }
        }
    }
}

impl<const N: usize> Pages for FaultyPages<N> {
    type Error = Fault;

    fn count(&self) -> u16 {
        u16::try_from(N).unwrap_or(u16::MAX)
    }

    fn read(&mut self, page: u16, into: &mut Page) -> Result<(), Fault> {
        let index = self.index(page)?;
        if self.deaf > 0 {
            self.deaf -= 1;
            return Err(Fault::NoAnswer);
        }
        if self.chances(self.unanswered) {
            return Err(Fault::NoAnswer);
        }
        *into = self.pages[index];
        if self.weak[index] != [0; PAGE] {
            let noise = self.random_page();
            *into = core::array::from_fn(|n| into[n] ^ (self.weak[index][n] & noise[n]));
        }
        Ok(())
    }

    fn write(&mut self, page: u16, from: &Page) -> Result<(), Fault> {
        let index = self.index(page)?;
        let number = self.writes;
        self.writes += 1;
        let cut = self.cut.filter(|cut| cut.write == number);
        let disturbed = self.disturbance(number);
        if !self.stuck[index] {
            // A write that ends leaves no half-written bits.
            self.weak[index] = [0; PAGE];
            let old = self.pages[index];
            self.pages[index] = cut.or(disturbed).map_or(*from, |cut| self.tear(cut, index, &old, from));
        }
        self.off = cut.is_some();
        match disturbed {
            _ if self.off => Err(Fault::PowerOff),
            Some(Cut { torn, seed, .. }) if torn != Torn::New || seed % 2 == 0 => Err(Fault::NoAnswer),
            _ => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cut_spoils_its_own_page_and_turns_the_power_off() {
        for (seed, torn) in (0..60).flat_map(|seed| Torn::ALL.map(|torn| (seed, torn))) {
            let mut pages = FaultyPages::<3>::blank();
            pages.write(0, &[1; PAGE]).unwrap();
            pages.cut_at(Cut { write: 2, torn, seed });
            pages.write(1, &[2; PAGE]).unwrap();
            assert_eq!(pages.write(2, &[3; PAGE]), Err(Fault::PowerOff));
            assert_eq!(pages.read(0, &mut [0; PAGE]), Err(Fault::PowerOff));
            pages.power_on();
            let mut page = BLANK;
            pages.read(0, &mut page).unwrap();
            assert_eq!(page, [1; PAGE]);
            pages.read(1, &mut page).unwrap();
            assert_eq!(page, [2; PAGE]);
        }
    }

    #[test]
    fn half_written_bits_read_both_ways_until_they_are_written_again() {
        let mut pages = FaultyPages::<1>::blank();
        pages.cut_at(Cut { write: 0, torn: Torn::Weak, seed: 2 });
        assert!(pages.write(0, &[0; PAGE]).is_err());
        pages.power_on();
        let mut read = || {
            let mut page = BLANK;
            pages.read(0, &mut page).unwrap();
            page.iter().map(|byte| byte.count_ones()).sum::<u32>()
        };
        let seen: std::collections::HashSet<_> = (0..100).map(|_| read()).collect();
        assert!(seen.contains(&0) && seen.len() > 1, "{seen:?}");
        pages.write(0, &[0; PAGE]).unwrap();
        let mut page = BLANK;
        (0..100).for_each(|_| pages.read(0, &mut page).map(|()| assert_eq!(page, [0; PAGE])).unwrap());
    }
}
