//! The memory in situations that take more than one of its parts.

mod begun;
mod cards;
mod cuts;
mod damage;
mod dated;
mod disturbed;
mod fill;
mod frozen;
mod model;
mod wear;

use super::faults::FaultyPages;
use super::*;
use bevelbook_core::record::{JobId, JournalId, Stored};
use std::vec::Vec;

const JOURNAL: JournalId = JournalId(0x51f0_77aa_0b3c_9d12);

/// 2 identity pages, 2 marks, 1 spare, 2 for the station, 3 cards of 3 pages, 32 pages of journal.
const PAGES: usize = 48;
const LAP: u32 = 32;

type Store = FaultyPages<PAGES>;

fn layout() -> Layout {
    Layout::new(PAGES as u16, 3, 3).unwrap()
}

fn begun() -> Memory<Store> {
    Memory::begin(Store::blank(), layout(), JOURNAL, Consent::KeepRecords).unwrap().0
}

fn reopen<P: Pages>(memory: Memory<P>) -> (Memory<P>, Recovery)
where
    P::Error: core::fmt::Debug,
{
    let layout = memory.layout();
    Memory::open(memory.into_pages(), layout).unwrap()
}

/// Content that no other append has: 4 to 48 bytes.
fn content(n: u32) -> Vec<u8> {
    let len = 4 + n as usize * 7 % 45;
    n.to_le_bytes().into_iter().chain((4..48).map(|at| (n as usize * 31 + at) as u8)).take(len).collect()
}

fn append<P: Pages>(memory: &mut Memory<P>, n: u32) -> Result<u32, AppendError<P::Error>> {
    memory.append(2, &content(n), n, Urgency::Ordinary)
}

/// Appends contents, each of which must be saved; the reserve may be used.
fn fill<P: Pages>(memory: &mut Memory<P>, range: core::ops::Range<u32>)
where
    P::Error: core::fmt::Debug,
{
    for n in range {
        memory.append(2, &content(n), n, Urgency::FinishLens).unwrap();
    }
}

/// The records that can be read, with numbers above `seq`.
fn records_after<P: Pages>(memory: &mut Memory<P>, seq: u32) -> Vec<Stored>
where
    P::Error: core::fmt::Debug,
{
    (seq + 1..memory.next()).filter_map(|seq| memory.read(seq).unwrap()).collect()
}

/// The numbers that can be read.
fn readable<P: Pages>(memory: &mut Memory<P>) -> Vec<u32>
where
    P::Error: core::fmt::Debug,
{
    records_after(memory, 0).into_iter().map(|record| record.seq).collect()
}
