//! What happens on the line, in words and as JSON.

use bevelbook_core::link::{Reason, printable};
use bevelbook_core::record::{JournalId, RecordId};
use jiff::{Timestamp, tz::TimeZone};
use serde_json::{Value, json};
use std::fmt;

/// Something that a person at the console should see.
#[derive(Clone, Debug, PartialEq)]
pub enum Note {
    /// A keypad is there.
    Connected {
        /// What the shop calls it.
        name: String,
        /// Its journal.
        journal: JournalId,
        /// How many of its records are not in the book yet.
        waiting: u32,
    },
    /// A keypad that is not this shop's yet.
    Unknown {
        /// What it calls itself.
        name: String,
        /// Its journal.
        journal: JournalId,
    },
    /// A keypad became this shop's.
    Adopted {
        /// What the shop calls it.
        name: String,
        /// Its journal.
        journal: JournalId,
    },
    /// A record is in the book.
    Record {
        /// Its identity.
        id: RecordId,
        /// When it was made, where that is known.
        at: Option<Timestamp>,
        /// Its job, as people call it; none for the station.
        job: Option<String>,
        /// What it says.
        says: String,
    },
    /// The keypad does not have these numbers any more, and the book does not either.
    Gap {
        /// What the shop calls the keypad.
        name: String,
        /// The first one.
        from: u32,
        /// The last one.
        to: u32,
    },
    /// A record arrived under a number that the book has another record for.
    Conflict {
        /// The number.
        id: RecordId,
    },
    /// The book has more of a keypad than the keypad itself.
    RolledBack {
        /// What the shop calls the keypad.
        name: String,
        /// The last number in the book.
        last: u32,
        /// The number that the keypad would give next.
        next: u32,
    },
    /// The keypad has a job that it did not have.
    Sent {
        /// The job's number.
        number: u32,
        /// The frame.
        label: String,
    },
    /// The keypad does not show a job any more.
    Dropped {
        /// The job, as people call it.
        job: String,
    },
    /// The keypad did not take a job.
    NotTaken {
        /// The job, as people call it.
        job: String,
        /// Why.
        reason: Reason,
    },
    /// More jobs are open than the keypad holds.
    NoRoom {
        /// The numbers of those it does not hold.
        numbers: Vec<u32>,
    },
    /// The keypad does not answer, or its port is gone.
    Waiting {
        /// What is waited for.
        what: String,
    },
    /// The keypad speaks other versions of the protocol.
    Protocol {
        /// The lowest.
        lowest: u8,
        /// The highest.
        highest: u8,
    },
    /// The keypad refused a request.
    Refused {
        /// Why.
        reason: Reason,
    },
    /// The book failed; nothing is acknowledged until it is open again.
    Book {
        /// What it said.
        error: String,
    },
    /// The book is open again.
    BookBack,
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Connected { name, waiting, .. } => {
                write!(f, "keypad {name} is here; {waiting} records to take in")
            }
            Self::Unknown { name, journal } => {
                write!(
                    f,
                    "a keypad that calls itself `{name}` (journal {journal}) is not one of this shop's yet"
                )
            }
            Self::Adopted { name, journal } => write!(f, "keypad {name} adopted (journal {journal})"),
            Self::Record { at, job, says, .. } => {
                let job = job.as_ref().map_or(String::new(), |job| format!("{job}  "));
                write!(f, "{}  {job}{says}", time(*at))
            }
            Self::Gap { name, from, to } if from == to => {
                write!(f, "GAP: record {from} of keypad {name} is lost; log again what it held")
            }
            Self::Gap { name, from, to } => {
                write!(f, "GAP: records {from} to {to} of keypad {name} are lost; log again what they held")
            }
            Self::Conflict { id } => write!(
                f,
                "CONFLICT: record {id} differs from the one in the book; both are kept, and nothing more is \
                 acknowledged to this keypad. `bevelbook book check` counts conflicts; begin a new journal on the keypad"
            ),
            Self::RolledBack { name, last, next } => write!(
                f,
                "keypad {name} is at record {next}, the book has its record {last}: its memory was put back, and \
                 nothing is taken in. Begin a new journal on the keypad"
            ),
            Self::Sent { number, label } => write!(f, "job {number} ({label}) is on the keypad"),
            Self::Dropped { job } => write!(f, "{job} is off the keypad"),
            Self::NotTaken { job, reason } => write!(f, "the keypad did not take {job}: {reason}"),
            Self::NoRoom { numbers } => {
                let numbers: Vec<String> = numbers.iter().map(u32::to_string).collect();
                write!(f, "the keypad has no room for job {}; close what is done", numbers.join(", "))
            }
            Self::Waiting { what } => write!(f, "waiting for {what}"),
            Self::Protocol { lowest, highest } => write!(
                f,
                "the keypad speaks versions {lowest} to {highest} of the protocol, this console others; renew the older"
            ),
            Self::Refused { reason } => write!(f, "the keypad refused: {reason}"),
            Self::Book { error } => write!(f, "the book failed, nothing is acknowledged: {error}"),
            Self::BookBack => f.write_str("the book is open again"),
        }
    }
}

fn time(at: Option<Timestamp>) -> String {
    at.map_or("undated ".into(), |at| {
        at.to_zoned_datetime(TimeZone::system()).strftime("%H:%M:%S").to_string()
    })
}

impl Note {
    /// The same for programs.
    #[must_use]
    pub fn json(&self) -> Value {
        let journal = |journal: &JournalId| journal.to_string();
        match self {
            Self::Connected { name, journal: id, waiting } => {
                json!({ "event": "connected", "keypad": name, "journal": journal(id), "waiting": waiting })
            }
            Self::Unknown { name, journal: id } => {
                json!({ "event": "unknown-keypad", "keypad": name, "journal": journal(id) })
            }
            Self::Adopted { name, journal: id } => {
                json!({ "event": "adopted", "keypad": name, "journal": journal(id) })
            }
            Self::Record { id, at, job, says } => json!({
                "event": "record",
                "record": id.to_string(),
                "at": at.map(|at| at.to_string()),
                "job": job,
                "says": says,
            }),
            Self::Gap { name, from, to } => json!({ "event": "gap", "keypad": name, "from": from, "to": to }),
            Self::Conflict { id } => json!({ "event": "conflict", "record": id.to_string() }),
            Self::RolledBack { name, last, next } => {
                json!({ "event": "rolled-back", "keypad": name, "book_last": last, "keypad_next": next })
            }
            Self::Sent { number, label } => json!({ "event": "job-sent", "job": number, "label": label }),
            Self::Dropped { job } => json!({ "event": "job-dropped", "job": job }),
            Self::NotTaken { job, reason } => {
                json!({ "event": "job-not-taken", "job": job, "why": reason.to_string() })
            }
            Self::NoRoom { numbers } => json!({ "event": "no-room", "jobs": numbers }),
            Self::Waiting { what } => json!({ "event": "waiting", "for": what }),
            Self::Protocol { lowest, highest } => {
                json!({ "event": "other-protocol", "lowest": lowest, "highest": highest })
            }
            Self::Refused { reason } => json!({ "event": "refused", "why": reason.to_string() }),
            Self::Book { error } => json!({ "event": "book-failed", "why": error }),
            Self::BookBack => json!({ "event": "book-open" }),
        }
    }
}

/// A keypad's own name as it may stand on a terminal; a plain word where it has none.
pub(super) fn name_of<const N: usize>(name: &heapless::String<N>) -> String {
    let shown = printable(name);
    if shown.trim().is_empty() { "keypad".into() } else { shown.trim().into() }
}
