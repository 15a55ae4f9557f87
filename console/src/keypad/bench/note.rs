//! What happens on the line, in words and, as it serialises, as JSON.

use crate::work::{TimeStyle, Uncaused, When};
use bevelbook_core::link::{Reason, printable};
use bevelbook_core::record::{JournalId, RecordId};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use serde::{Serialize, Serializer};
use std::fmt;

/// So many jobs are named one by one.
const TOLD: usize = 12;

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

/// Since when something is so: the hour, and the day where that is not today.
pub fn since_words(since: Timestamp) -> String {
    let zone = TimeZone::system();
    let date = |at: Timestamp| at.to_zoned_datetime(zone.clone()).date();
    let day = (date(since) != date(Timestamp::now())).then_some("%-d %b");
    When::at(Some(since)).words(&zone, TimeStyle { day, hour: "%H:%M" })
}

impl Note {
    /// So many records wait to be taken in, in words.
    pub fn waiting(records: u32) -> String {
        match records {
            0 => "nothing waiting".into(),
            1 => "1 record waiting".into(),
            many => format!("{many} records waiting"),
        }
    }
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Connected { keypad, waiting, .. } => {
                write!(f, "keypad {keypad} connected, {}", Self::waiting(*waiting))
            }
            Self::UnknownKeypad { keypad, journal } => {
                write!(f, "new keypad: it calls itself `{keypad}` (log id {journal}) and is not this shop's")
            }
            Self::Adopted { keypad, journal } => write!(f, "keypad {keypad} added (log id {journal})"),
            Self::Record { when, job, says, .. } => {
                let job = job.as_ref().map_or(String::new(), |job| format!("{job}  "));
                write!(f, "{when}  {job}{says}")
            }
            Self::CauseNotTold(lens) => lens.fmt(f),
            Self::KeptApart { record, keypad, why } => {
                write!(f, "KEPT APART: record {} of keypad {keypad}: {why}; it does not count", record.seq)
            }
            Self::Gap { keypad, from, to } if from == to => {
                write!(f, "GAP: record {from} of keypad {keypad} is lost; log again what it held")
            }
            Self::Gap { keypad, from, to } => {
                write!(f, "GAP: records {from} to {to} of keypad {keypad} are lost; log again what they held")
            }
            Self::Conflict { record } => write!(
                f,
                "CONFLICT: record {record} differs from the one in the book; both are kept, and nothing from there on is \
                 acknowledged to this keypad. `bevelbook book conflicts` shows both; decide with `bevelbook book conflicts \
                 settle {record} --keep book` (or arrived)"
            ),
            Self::RolledBack { keypad, book_last, keypad_next } => write!(
                f,
                "keypad {keypad} is at record {keypad_next}, the book has its record {book_last}: its memory was put back, and \
                 nothing is taken in. Begin a new log on the keypad"
            ),
            Self::JobSent { job, label, by_book } => {
                let book = by_book.as_ref().map_or(String::new(), |book| format!("; {book}"));
                write!(f, "job {job} ({label}) is on the keypad{book}")
            }
            Self::JobDropped { job } => write!(f, "{job} is off the keypad"),
            Self::JobNotTaken { job, why } => write!(f, "the keypad did not take {job}: {why}"),
            Self::NoRoom { jobs } => {
                let told: Vec<String> = jobs.iter().take(TOLD).map(u32::to_string).collect();
                let more = jobs.len().saturating_sub(TOLD);
                let more = if more > 0 { format!(" and {more} more") } else { String::new() };
                write!(f, "the keypad has no room for job {}{more}; close what is done", told.join(", "))
            }
            Self::Waiting { what } => write!(f, "waiting for {what}"),
            Self::OtherProtocol { lowest, highest } => write!(
                f,
                "the keypad speaks versions {lowest} to {highest} of the protocol, this console others; renew the older"
            ),
            Self::Refused { why } => write!(f, "the keypad refused: {why}"),
            Self::NoBackup { why } => write!(f, "no backup was made today: {why}"),
            Self::BookFailed { why } => write!(f, "the book failed, nothing is acknowledged: {why}"),
            Self::BookOpen => f.write_str("the book is open again"),
            Self::ServerAway { since, why, waiting } => {
                let waiting =
                    waiting.map_or(String::new(), |records| format!(", {}", Self::waiting(records)));
                write!(
                    f,
                    "server away since {} ({why}){waiting}: the keypad keeps what is logged, and all of it comes in when the \
                     server is back",
                    since_words(*since)
                )
            }
            Self::HeldBack { keypad, records } => {
                write!(f, "keypad {keypad} connected, {} until the book is open", Self::waiting(*records))
            }
            Self::ServerBack { since, records } => {
                let came = match records {
                    0 => "nothing was waiting".into(),
                    1 => "1 record came in".into(),
                    many => format!("{many} records came in"),
                };
                write!(f, "server back (away since {}), {came}", since_words(*since))
            }
        }
    }
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
        ] {
            assert_eq!(serde_json::to_value(&note).unwrap(), read);
        }
    }
}
