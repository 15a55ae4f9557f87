//! What happens on the line, as it is told: here and, as it serialises, as JSON; in words by `words`.

use crate::work::Uncaused;
use bevelbook_core::link::{Reason, printable};
use bevelbook_core::record::{JournalId, RecordId};
use jiff::Timestamp;
use serde::{Serialize, Serializer};
use std::fmt;

/// Something that a person at the console should see.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "event", rename_all = "kebab-case")]
pub enum Note {
    /// A keypad is there.
    Connected {
        /// What the shop calls it.
        keypad: String,
        /// Its journal.
        #[serde(serialize_with = "shown")]
        journal: JournalId,
        /// How many of its records are not in the book yet.
        waiting: u32,
    },
    /// A keypad that is not this shop's yet.
    UnknownKeypad {
        /// What it calls itself.
        keypad: String,
        /// Its journal.
        #[serde(serialize_with = "shown")]
        journal: JournalId,
    },
    /// A keypad is none of this shop's yet, since more has to be said for that.
    NotAdopted {
        /// Its journal.
        #[serde(serialize_with = "shown")]
        journal: JournalId,
        /// What.
        why: String,
    },
    /// A keypad became this shop's.
    Adopted {
        /// What the shop calls it.
        keypad: String,
        /// Its journal.
        #[serde(serialize_with = "shown")]
        journal: JournalId,
    },
    /// A record is in the book.
    Record {
        /// Its identity.
        #[serde(serialize_with = "shown")]
        record: RecordId,
        /// When it was made, where that is known.
        at: Option<Timestamp>,
        /// Where that is not known: not earlier than then.
        #[serde(skip_serializing_if = "Option::is_none")]
        after: Option<Timestamp>,
        /// Not later than then.
        #[serde(skip_serializing_if = "Option::is_none")]
        before: Option<Timestamp>,
        /// All of it in words.
        #[serde(skip)]
        when: String,
        /// Its job, as people call it; none for the station.
        job: Option<String>,
        /// What it says.
        says: String,
    },
    /// A lens was spoiled and nobody told why.
    CauseNotTold(Uncaused),
    /// A record is in the book and does not count: no keypad can say that.
    KeptApart {
        /// Its identity.
        #[serde(serialize_with = "shown")]
        record: RecordId,
        /// What the shop calls the keypad.
        keypad: String,
        /// Why it does not count.
        why: String,
    },
    /// The keypad does not have these numbers any more, and the book does not either.
    Gap {
        /// What the shop calls the keypad.
        keypad: String,
        /// The first one.
        from: u32,
        /// The last one.
        to: u32,
    },
    /// A record arrived under a number that the book has another record for.
    Conflict {
        /// The number.
        #[serde(serialize_with = "shown")]
        record: RecordId,
    },
    /// The book has more of a keypad than the keypad itself.
    RolledBack {
        /// What the shop calls the keypad.
        keypad: String,
        /// The last number in the book.
        book_last: u32,
        /// The number that the keypad would give next.
        keypad_next: u32,
    },
    /// The keypad has a job that it did not have.
    JobSent {
        /// The job's number.
        job: u32,
        /// The frame.
        label: String,
        /// How big to cut by the book, and why; none where it tells nothing.
        #[serde(skip_serializing_if = "Option::is_none")]
        by_book: Option<String>,
    },
    /// The keypad does not show a job any more.
    JobDropped {
        /// The job, as people call it.
        job: String,
    },
    /// The keypad did not take a job.
    JobNotTaken {
        /// The job, as people call it.
        job: String,
        /// Why.
        #[serde(serialize_with = "shown")]
        why: Reason,
    },
    /// More jobs are open than the keypad holds.
    NoRoom {
        /// The numbers of those it does not hold.
        jobs: Vec<u32>,
    },
    /// The keypad does not answer, or its port is gone.
    Waiting {
        /// What is waited for.
        #[serde(rename = "for")]
        what: String,
    },
    /// The keypad speaks other versions of the protocol.
    OtherProtocol {
        /// The lowest.
        lowest: u8,
        /// The highest.
        highest: u8,
    },
    /// The keypad refused a request.
    Refused {
        /// Why.
        #[serde(serialize_with = "shown")]
        why: Reason,
    },
    /// A day's backup could not be made.
    NoBackup {
        /// Why.
        why: String,
    },
    /// The book failed; nothing is acknowledged until it is open again.
    BookFailed {
        /// What it said.
        why: String,
    },
    /// The book is open again.
    BookOpen,
    /// The server that keeps the book is away; nothing is acknowledged until it is back.
    ServerAway {
        /// Since when.
        since: Timestamp,
        /// What was met.
        why: String,
        /// How many records wait on the keypad; none where none is there.
        waiting: Option<u32>,
    },
    /// A keypad is there while the book is not.
    HeldBack {
        /// What it is called.
        keypad: String,
        /// How many records wait on it.
        records: u32,
    },
    /// The server is back, and everything that waited on the keypad is in the book.
    ServerBack {
        /// Since when it was away.
        since: Timestamp,
        /// How many records came in.
        records: u32,
    },
}

/// As people read it.
fn shown<S: Serializer>(value: &impl fmt::Display, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(value)
}

/// A keypad's own name as it may stand on a terminal; a plain word where it has none.
pub(super) fn name_of<const N: usize>(name: &heapless::String<N>) -> String {
    let shown = printable(name);
    if shown.trim().is_empty() { "keypad".into() } else { shown.trim().into() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn a_program_reads_each_note_under_the_names_it_always_had() {
        let journal = JournalId(0xb0a4d);
        let record = RecordId { journal, seq: 7 };
        let keypad = || "left".to_owned();
        for (note, read) in [
            (
                Note::UnknownKeypad { keypad: keypad(), journal },
                json!({ "event": "unknown-keypad", "keypad": "left", "journal": journal.to_string() }),
            ),
            (
                Note::Record {
                    record,
                    at: Some(Timestamp::UNIX_EPOCH),
                    after: None,
                    before: None,
                    when: "00:00:00".into(),
                    job: None,
                    says: "cut".into(),
                },
                json!({
                    "event": "record", "record": record.to_string(), "at": "1970-01-01T00:00:00Z", "job": null,
                    "says": "cut"
                }),
            ),
            (
                Note::KeptApart { record, keypad: keypad(), why: "so".into() },
                json!({
                    "event": "kept-apart", "record": record.to_string(), "keypad": "left", "why": "so"
                }),
            ),
            (
                Note::RolledBack { keypad: keypad(), book_last: 7, keypad_next: 4 },
                json!({ "event": "rolled-back", "keypad": "left", "book_last": 7, "keypad_next": 4 }),
            ),
            (
                Note::JobNotTaken { job: "job 3".into(), why: Reason::Range },
                json!({ "event": "job-not-taken", "job": "job 3", "why": Reason::Range.to_string() }),
            ),
            (Note::Waiting { what: "it".into() }, json!({ "event": "waiting", "for": "it" })),
            (Note::BookOpen, json!({ "event": "book-open" })),
            (
                Note::ServerAway { since: Timestamp::UNIX_EPOCH, why: "gone".into(), waiting: Some(3) },
                json!({ "event": "server-away", "since": "1970-01-01T00:00:00Z", "why": "gone", "waiting": 3 }),
            ),
            (
                Note::HeldBack { keypad: keypad(), records: 3 },
                json!({ "event": "held-back", "keypad": "left", "records": 3 }),
            ),
            (
                Note::ServerBack { since: Timestamp::UNIX_EPOCH, records: 3 },
                json!({ "event": "server-back", "since": "1970-01-01T00:00:00Z", "records": 3 }),
            ),
        ] {
            assert_eq!(serde_json::to_value(&note).unwrap(), read);
        }
    }
}
