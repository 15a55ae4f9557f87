//! What happens on the line, in words.

use super::note::Note;
use crate::work::{TimeStyle, When};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use std::fmt;

/// So many jobs are named one by one.
const TOLD: usize = 12;

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
            Self::NotAdopted { journal, why } => write!(f, "keypad with log id {journal} not added: {why}"),
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
