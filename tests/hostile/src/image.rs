//! A memory chip that holds anything, with or without its seals.
//!
//! It opens or says why not. An open one takes records, or says why not; what it saved and did not give up is there after
//! the next start; and a journal can be begun in whatever it was.

use crate::input::Script;
use crate::memory::{JOURNAL, PAGES, Store, layout};
use bevelbook_core::record::JournalId;
use bevelbook_keypad::memory::{Consent, Memory, OpenError, PAGE, Page, Urgency};
use crc::{CRC_32_ISCSI, Crc};

/// What the pages of each sort are sealed with (`memory::seal`).
fn salt(page: usize) -> u64 {
    match page {
        0 | 1 => u64::from_le_bytes(*b"journal1"),
        2 | 3 => u64::from_le_bytes(*b"mark1\0\0\0"),
        5 | 6 => u64::from_le_bytes(*b"station1"),
        7 | 10 | 13 => u64::from_le_bytes(*b"card1\0\0\0"),
        _ => JOURNAL.0,
    }
}

/// The page with its seal, as its sort and place want it.
pub(crate) fn sealed(page: usize, mut content: Page) -> Page {
    let sum = Crc::<u32>::new(&CRC_32_ISCSI);
    let mut digest = sum.digest();
    digest.update(&salt(page).to_le_bytes());
    digest.update(&content[..PAGE - 4]);
    content[PAGE - 4..].copy_from_slice(&digest.finalize().to_le_bytes());
    content
}

/// The first byte says which pages are sealed: all, none, or all but one.
fn image(script: &mut Script<'_>) -> Store {
    let bare = script.byte();
    let mut store = Store::blank();
    for (page, content) in script.0.chunks(PAGE).take(PAGES).enumerate() {
        let mut whole = [0xff; PAGE];
        whole[..content.len()].copy_from_slice(content);
        let blank = whole == [0xff; PAGE];
        let seals = !blank && bare != 0xff && usize::from(bare) != page;
        store.put(page as u16, if seals { sealed(page, whole) } else { whole });
    }
    store
}

pub(crate) fn feed(bytes: &[u8]) {
    let mut script = Script(bytes);
    let store = image(&mut script);
    match Memory::open(store.clone(), layout()) {
        Ok((memory, found)) => {
            assert!(usize::from(found.journal.records) <= PAGES);
            use_it(memory, bytes.len());
        }
        Err(OpenError::Storage(fault)) => panic!("the pages answer: {fault:?}"),
        Err(why) => assert!(!format!("{why:?}").is_empty()),
    }
    let kept = Memory::begin(store.clone(), layout(), JournalId(0xabc), Consent::KeepRecords);
    if let Ok((memory, _)) = kept {
        assert_eq!((memory.journal(), memory.acknowledged()), (JournalId(0xabc), 0));
        // Damage just ahead costs numbers, no more than there are pages.
        assert!(memory.next() as usize <= PAGES, "{}", memory.next());
    }
    // With consent a journal is begun, but under an id that is known to have been used.
    if let Ok((memory, _)) = Memory::begin(store, layout(), JournalId(0xabd), Consent::GiveUpRecords) {
        use_it(memory, 3);
    }
}

/// Reads, appends, acknowledges and starts again.
fn use_it(mut memory: Memory<Store>, many: usize) {
    assert!(memory.acknowledged() < memory.next() && memory.oldest() <= memory.next());
    let mut there = Vec::new();
    for seq in memory.oldest()..memory.next() {
        there.extend(memory.read(seq).expect("the pages answer"));
    }
    assert!(there.len() <= PAGES + 1);
    for n in 0..many % 40 {
        let before = memory.next();
        let Ok(seq) = memory.append(2, &[n as u8; 20], 1, Urgency::FinishLens) else { break };
        assert!(seq >= before && memory.next() == seq + 1);
        there.push(memory.read(seq).expect("the pages answer").expect("it was saved"));
    }
    let upto = memory.next() - 1;
    if many.is_multiple_of(3) {
        memory.acknowledge(upto).expect("a number that was given");
    }
    let (known, layout) = (memory.acknowledged(), memory.layout());
    let pages = memory.into_pages();
    let (mut again, _) = Memory::open(pages, layout).expect("it was open before");
    assert!(again.acknowledged() == known && again.next() > upto, "{known} {upto}");
    for record in there.iter().filter(|record| record.seq > known) {
        assert_eq!(again.read(record.seq).expect("the pages answer").as_ref(), Some(record));
    }
}
