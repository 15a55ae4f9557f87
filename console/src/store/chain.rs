//! Digests, by which a changed or removed record is found.
//!
//! A digest is the first 16 bytes of SHA-256 (FIPS 180-4) over a word for what it is of, the digest before it in its
//! chain, and every column of the row but its position, each of a fixed width or behind its length. It is no seal:
//! whoever rewrites a whole chain is not found out, a bit that fell over and a hand in the file are.
//!
//! - Each journal's records are a chain in the order of their commits here; brought into another book they are a new
//!   one. `commits` chains the digests of all of them, which vouches for the order between journals.
//! - `conflicts` chains the records that arrived under a number already taken.
//! - The table `chain` has the count and the last digest of each, so that a missing end is found too.
//! - A name stands alone, for it may be forgotten. What is covered by no digest: `home`, and of `journal` whether it
//!   was begun here.

use super::entry::Entry;
use bevelbook_core::record::JournalId;
use sha2::{Digest as _, Sha256};

/// The digest of a row.
pub(super) type Digest = [u8; 16];

/// The digest before the first.
pub(super) const NOTHING: Digest = [0; 16];

/// The tables of chained rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Chained {
    Record,
    Conflict,
}

impl Chained {
    /// The chain that a row of this table lengthens.
    pub(super) const fn chain(self, entry: &Entry) -> Chain {
        match self {
            Self::Record => Chain::Journal(entry.id.journal),
            Self::Conflict => Chain::Conflicts,
        }
    }

    /// The digest of a row behind `before`.
    pub(super) fn digest(self, before: &Digest, entry: &Entry) -> Digest {
        let Entry { position: _, id, kind, job, payload, boot, ticks, utc_ms, apart } = entry;
        let mut sum = Sum::of(self.name());
        sum.bytes(before);
        sum.bytes(&id.journal.0.to_le_bytes());
        sum.bytes(&id.seq.to_le_bytes());
        sum.bytes(&[*kind]);
        sum.maybe(job.map(u64::to_le_bytes));
        sum.text(payload);
        sum.maybe(boot.map(u32::to_le_bytes));
        sum.maybe(ticks.map(u32::to_le_bytes));
        sum.maybe(utc_ms.map(i64::to_le_bytes));
        sum.maybe(apart.as_ref().map(|why| (why.len() as u64).to_le_bytes()));
        sum.bytes(apart.as_deref().unwrap_or_default().as_bytes());
        sum.digest()
    }

    /// The name of the table.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Record => "record",
            Self::Conflict => "conflict",
        }
    }

    pub(super) const fn insertion(self) -> &'static str {
        macro_rules! into {
            ($table:literal) => {
                concat!(
                    "INSERT INTO ",
                    $table,
                    " (position, journal, seq, kind, job, payload, boot, ticks, utc_ms, apart, digest)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)"
                )
            };
        }
        match self {
            Self::Record => into!("record"),
            Self::Conflict => into!("conflict"),
        }
    }
}

/// The digest of the order of commits up to a record that has the digest `record`.
pub(super) fn of_commit(before: &Digest, record: &Digest) -> Digest {
    let mut sum = Sum::of("commit");
    sum.bytes(before);
    sum.bytes(record);
    sum.digest()
}

/// The digest of what a record says, by its writer alone: what the receiver makes of it does not count.
pub(super) fn of_saying(entry: &Entry) -> Digest {
    let mut sum = Sum::of("saying");
    sum.bytes(&entry.id.journal.0.to_le_bytes());
    sum.bytes(&entry.id.seq.to_le_bytes());
    sum.bytes(&[entry.kind]);
    sum.text(&entry.payload);
    sum.maybe(entry.boot.map(u32::to_le_bytes));
    sum.maybe(entry.ticks.map(u32::to_le_bytes));
    sum.digest()
}

impl Entry {
    /// A digest of what it says, 32 hexadecimal digits; of another record under the same number it differs.
    pub fn saying(&self) -> String {
        of_saying(self).map(|byte| format!("{byte:02x}")).concat()
    }
}

/// The digest of a name and its reference.
pub(super) fn of_person(reference: &str, name: &str) -> Digest {
    let mut sum = Sum::of("person");
    sum.text(reference.as_bytes());
    sum.text(name.as_bytes());
    sum.digest()
}

/// What goes into a digest.
struct Sum(Sha256);

impl Sum {
    fn of(what: &'static str) -> Self {
        let mut sum = Self(Sha256::new());
        sum.text(what.as_bytes());
        sum
    }

    /// Bytes that are always as many.
    fn bytes(&mut self, bytes: &[u8]) {
        self.0.update(bytes);
    }

    fn text(&mut self, bytes: &[u8]) {
        self.bytes(&(bytes.len() as u64).to_le_bytes());
        self.bytes(bytes);
    }

    fn maybe<const N: usize>(&mut self, bytes: Option<[u8; N]>) {
        self.bytes(&[u8::from(bytes.is_some())]);
        self.bytes(bytes.as_ref().map_or(&[], |bytes| bytes.as_slice()));
    }

    fn digest(self) -> Digest {
        let whole = self.0.finalize();
        std::array::from_fn(|n| whole[n])
    }
}

/// A chain.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Chain {
    Journal(JournalId),
    Commits,
    Conflicts,
}

impl Chain {
    /// Its name in the table of chains.
    pub(super) fn name(self) -> String {
        match self {
            Self::Journal(journal) => journal.to_string(),
            Self::Commits => "commits".to_owned(),
            Self::Conflicts => "conflicts".to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevelbook_core::record::RecordId;

    fn sample() -> Entry {
        Entry {
            position: 4,
            id: RecordId { journal: JournalId(0xb0a4d), seq: 7 },
            kind: 3,
            job: Some(12),
            payload: b"cut".to_vec(),
            boot: Some(1),
            ticks: Some(2),
            utc_ms: None,
            apart: None,
        }
    }

    #[test]
    fn every_column_counts_but_the_place_of_the_row() {
        let of = |entry: &Entry| Chained::Record.digest(&NOTHING, entry);
        let change = |change: fn(&mut Entry)| {
            let mut entry = sample();
            change(&mut entry);
            of(&entry)
        };
        let whole = of(&sample());
        assert_eq!(change(|e| e.position = 5), whole);
        let mut seen = vec![
            whole,
            Chained::Record.digest(&whole, &sample()),
            Chained::Conflict.digest(&NOTHING, &sample()),
            change(|e| e.id.journal = JournalId(0xb0a4e)),
            change(|e| e.id.seq = 8),
            change(|e| e.kind = 2),
            change(|e| e.job = None),
            change(|e| e.job = Some(13)),
            change(|e| e.payload = b"cus".to_vec()),
            change(|e| e.payload.clear()),
            change(|e| e.boot = None),
            change(|e| (e.boot, e.ticks) = (Some(2), Some(1))),
            change(|e| (e.boot, e.ticks) = (Some(1), None)),
            change(|e| (e.boot, e.ticks) = (None, Some(1))),
            change(|e| e.utc_ms = Some(0)),
            change(|e| e.apart = Some(String::new())),
            change(|e| e.apart = Some("no".into())),
        ];
        let all = seen.len();
        seen.sort_unstable();
        seen.dedup();
        assert_eq!(seen.len(), all);
    }

    #[test]
    fn the_bytes_of_a_digest_stay_what_they_are() {
        // SHA-256 of Python's hashlib over the same bytes put together by hand.
        let hex = |digest: Digest| digest.map(|byte| format!("{byte:02x}")).concat();
        assert_eq!(hex(Chained::Record.digest(&NOTHING, &sample())), "d972ec4493d0a714d834a2a3265ab755");
        assert_eq!(hex(of_commit(&NOTHING, &NOTHING)), "94da365dfe1119755047968f14123e2b");
        assert_eq!(hex(of_person("p1", "Ottoline")), "e5cd5fa5da2797990cd0a4417ac2307e");
    }
}
