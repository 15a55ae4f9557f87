//! One record on one page.
//!
//! `seq u32 | boot u16 | ticks u32 | kind u8 | len u8 | data 48 | CRC-32C u32`, little-endian, the CRC mixed with
//! the journal's id. Data beyond `len` is zero.

use super::pages::{PAGE, Page, bytes_at, put_at};
use super::seal::{SEALED, is_sealed, seal};
use bevelbook_core::record::{JournalId, MAX_ENCODED, Stored};
use heapless::Vec;

const DATA: usize = 12;
const _: () = assert!(DATA + MAX_ENCODED == SEALED && PAGE == 64);

/// The page of a record of `journal`.
pub(super) fn to_page(record: &Stored, journal: JournalId) -> Page {
    let mut page = [0; PAGE];
    put_at(&mut page, 0, &record.seq.to_le_bytes());
    // A memory ends its numbers of starts long before they outgrow these two bytes.
    put_at(&mut page, 4, &(record.boot as u16).to_le_bytes());
    put_at(&mut page, 6, &record.ticks.to_le_bytes());
    // A bounded list of 48 bytes: its length fits.
    put_at(&mut page, 10, &[record.kind, record.data.len() as u8]);
    put_at(&mut page, DATA, &record.data);
    seal(&mut page, journal.0);
    page
}

/// The same, spoilt: the bits of the seal turned over, so that it is no record, but its number can be told.
pub(super) fn to_spoilt_page(record: &Stored, journal: JournalId) -> Page {
    turn_seal(&to_page(record, journal))
}

/// The number of the record that was spoilt in `page`.
pub(super) fn spoilt_number(page: &Page, journal: JournalId) -> Option<u32> {
    from_page(&turn_seal(page), journal).map(|record| record.seq)
}

/// The record of `journal` on `page`, if it is one.
pub(super) fn from_page(page: &Page, journal: JournalId) -> Option<Stored> {
    if !is_sealed(page, journal.0) {
        return None;
    }
    let [kind, len] = bytes_at(page, 10);
    let data = page[DATA..SEALED].get(..usize::from(len))?;
    let seq = u32::from_le_bytes(bytes_at(page, 0));
    // Numbers that are never given; behind the last of them there would be none.
    (1..u32::MAX).contains(&seq).then_some(())?;
    Some(Stored {
        seq,
        boot: u16::from_le_bytes(bytes_at(page, 4)).into(),
        ticks: u32::from_le_bytes(bytes_at(page, 6)),
        kind,
        data: Vec::from_slice(data).ok()?,
    })
}

fn turn_seal(page: &Page) -> Page {
    let mut turned = *page;
    turned[SEALED..].iter_mut().for_each(|byte| *byte ^= 0xff);
    turned
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevelbook_core::record::{Bench, StationEvent};
    use bevelbook_core::sizing::{Basis, Counting, Dial};
    use bevelbook_core::units::Length;

    #[test]
    fn a_bench_fact_survives_its_page() {
        let step = Length::from_milli(50);
        let dial = Dial { basis: Basis::Diameter, counting: Counting::Absolute, step };
        let fact = Bench::Station(StationEvent::Dial(dial));
        let mut buffer = [0; MAX_ENCODED];
        let data = Vec::from_slice(fact.encode(&mut buffer).unwrap()).unwrap();
        let record = Stored { seq: 70_000, boot: 300, ticks: 1 << 31, kind: fact.kind(), data };
        let page = to_page(&record, JournalId(9));
        assert_eq!(from_page(&page, JournalId(9)), Some(record.clone()));
        assert_eq!(record.logged(JournalId(9)).unwrap().fact, fact);
        assert_eq!(from_page(&page, JournalId(10)), None, "a page of another journal");
    }

    #[test]
    fn a_sealed_page_with_a_number_that_is_never_given_is_no_record() {
        for (seq, is_one) in [(0, false), (1, true), (u32::MAX - 1, true), (u32::MAX, false)] {
            let record = Stored { seq, boot: 1, ticks: 0, kind: 2, data: Vec::new() };
            assert_eq!(from_page(&to_page(&record, JournalId(9)), JournalId(9)).is_some(), is_one, "{seq}");
        }
    }

    #[test]
    fn a_sealed_page_that_claims_an_impossible_length_is_no_record() {
        let record = Stored { seq: 1, boot: 1, ticks: 0, kind: 2, data: Vec::new() };
        let mut page = to_page(&record, JournalId(9));
        page[11] = 49;
        seal(&mut page, 9);
        assert_eq!(from_page(&page, JournalId(9)), None);
    }
}
