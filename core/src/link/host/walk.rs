//! One batch, handed out as runs of records and the gaps between them.

use super::Event;
use crate::link::RecordRun;
use crate::link::payload::Batch;

/// A batch that was checked, and how far it was handed out.
#[derive(Clone, Debug)]
pub(super) struct Walk {
    batch: Batch,
    at: u32,
}

impl Walk {
    pub(super) const fn new(batch: Batch) -> Self {
        Self { at: batch.from, batch }
    }

    /// The next run or gap, and the last number that it covers; `None` at the end.
    pub(super) fn next(&mut self) -> Option<(Event, u32)> {
        let Batch { journal, through, .. } = self.batch;
        if self.at >= through {
            return None;
        }
        let from = self.at;
        let mut records = self.batch.records.iter().skip_while(|record| record.seq < from).peekable();
        let first = records.peek().map_or(through, |record| record.seq);
        if first > from {
            self.at = first;
            return Some((Event::Gap { journal, from, to: first - 1 }, first - 1));
        }
        let mut run = RecordRun::new();
        for record in records {
            if record.seq != self.at || !run.push(&record) {
                break;
            }
            self.at += 1;
        }
        Some((Event::Records { journal, records: run }, self.at - 1))
    }

    pub(super) const fn is_done(&self) -> bool {
        self.at >= self.batch.through
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::link::tests::sample::wire_record;
    use crate::record::JournalId;
    use std::vec::Vec;

    fn walk(from: u32, seqs: &[u32], through: u32) -> Vec<(&'static str, u32, u32)> {
        let mut records = RecordRun::new();
        for seq in seqs {
            assert!(records.push(&wire_record(*seq)));
        }
        let mut walk = Walk::new(Batch { journal: JournalId(1), from, through, next: through, records });
        let mut seen = Vec::new();
        while let Some((event, last)) = walk.next() {
            match event {
                Event::Gap { from, to, .. } => seen.push(("gap", from, to)),
                Event::Records { records, .. } => {
                    let first = records.iter().next().unwrap().seq;
                    assert!(records.iter().map(|record| record.seq).eq(first..=last));
                    seen.push(("records", first, last));
                }
                other => panic!("{other:?}"),
            }
            assert_eq!(seen.last().unwrap().2, last);
        }
        assert!(walk.is_done());
        seen
    }

    #[test]
    fn gaps_stand_before_between_and_behind_the_records() {
        assert_eq!(walk(3, &[3, 4, 5], 6), [("records", 3, 5)]);
        assert_eq!(
            walk(1, &[3, 4, 7], 9),
            [("gap", 1, 2), ("records", 3, 4), ("gap", 5, 6), ("records", 7, 7), ("gap", 8, 8)]
        );
        assert_eq!(walk(5, &[], 40), [("gap", 5, 39)]);
        assert_eq!(walk(5, &[], 5), []);
    }
}
