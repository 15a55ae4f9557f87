//! What the console said of the station: `generation u32 | journal id u64 | statement 48 | CRC-32C`, on two pages in turn.
//!
//! It holds for the journal that it was said to: another one begins with none, and the console says it again.

use super::Layout;
use super::pages::{PAGE, Page, bytes_at, put_at};
use super::seal::{SEALED, STATION, is_sealed, seal};
use super::turns::InTurn;
use bevelbook_core::link::Station;
use bevelbook_core::record::JournalId;

const SAID: usize = 12;

/// What was said, and to which journal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Statement {
    pub(super) journal: JournalId,
    pub(super) station: Station,
}

impl InTurn for Statement {
    const PAGES: [u16; 2] = Layout::STATION;

    fn to_page(self, generation: u32) -> Page {
        let mut page = [0; PAGE];
        put_at(&mut page, 0, &generation.to_le_bytes());
        put_at(&mut page, 4, &self.journal.0.to_le_bytes());
        // Lengths take three bytes at most, so that it fits; a test tries the longest.
        if self.station.encode(&mut page[SAID..SEALED]).is_some() {
            seal(&mut page, STATION);
        }
        page
    }

    fn from_page(page: &Page) -> Option<(u32, Self)> {
        if !is_sealed(page, STATION) {
            return None;
        }
        let journal = JournalId(u64::from_le_bytes(bytes_at(page, 4)));
        let station = Station::decode(&page[SAID..SEALED])?;
        Some((u32::from_le_bytes(bytes_at(page, 0)), Self { journal, station }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevelbook_core::record::Flow;
    use bevelbook_core::sizing::{Basis, Counting, Dial, Habit, Rim};
    use bevelbook_core::units::Length;

    #[test]
    fn the_longest_statement_fits_its_page() {
        let most = Length::from_milli(-Length::LIMIT);
        let dial = Dial { basis: Basis::Girth, counting: Counting::TakeOff { from: most }, step: most };
        let habit =
            Habit { basis: Basis::Girth, first: [most; Rim::ALL.len()], step_far: most, step_just: most };
        let flow = Flow { left_first: true, hundredths: true, left_out: u8::MAX };
        let station = Station { revision: u32::MAX, includes_upto: u32::MAX, dial: Some(dial), habit, flow };
        let statement = Statement { journal: JournalId(u64::MAX), station };
        assert_eq!(Statement::from_page(&statement.to_page(7)), Some((7, statement)));
    }
}
