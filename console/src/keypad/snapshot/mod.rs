//! How much of a keypad's own records a card's state includes.
//!
//! The keypad lays its own records behind [`Snapshot::includes_upto`] over the card's state, and it can undo those.
//! So the newest few are left out of the state ([`UNDOABLE`]), under conditions that make the keypad's state the
//! same as the console's:
//!
//! - They are the last facts of the job in the order of commits: the keypad knows no other order than behind.
//! - A void among them undoes one of them: the keypad cannot take anything out of the state.
//! - They are recent ([`AGE`]): the keypad overwrites old records once it has no room left.
//! - Laid over the state they do give the console's. They would not where a lens number was begun twice, the first
//!   time undone but not what was then logged of it.
//! - They lie behind any dial the keypad stated that does not hold any more: it believes its own newest statement.
//!
//! The revision is the position in the book of the newest record that bears on the card, so it only grows.

use crate::desk::Desk;
use crate::store::{Entry, Reader};
use crate::work::{Job, WorkError, bears_on_every_card};
use bevelbook_core::record::{
    Bench, FIRST_DESK_KIND, JobId, JobState, JournalId, Logged, RecordId, StationEvent, Void, is_voided,
};

/// The most own records of a job that stay out of its card's state.
pub(super) const UNDOABLE: usize = 8;

/// Own records that so many later ones follow are included whatever happens. A journal of some 300 pages may take
/// that many records more before it overwrites one that stayed out, less these.
pub(super) const AGE: u32 = 64;

/// The state of a job for one keypad.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Snapshot {
    /// The job's state without the keypad's own records behind `includes_upto`.
    pub(super) state: JobState,
    /// The number up to which the state includes the keypad's own records.
    pub(super) includes_upto: u32,
    /// Grows with every record that bears on the card.
    pub(super) revision: u32,
}

/// What of a keypad's journal and of the station bears on its cards.
#[derive(Debug)]
pub(super) struct Ring<'r> {
    reader: &'r Reader,
    journal: JournalId,
    /// The highest number in the book.
    last: u32,
    /// Numbers up to this one are included for the sake of the dial.
    dial_floor: u32,
    /// The position of the newest record that bears on every card.
    station: i64,
}

impl<'r> Ring<'r> {
    /// For the keypad that writes `journal`, from the book as it is now.
    ///
    /// # Errors
    /// The book cannot be read.
    pub(super) fn of(reader: &'r Reader, journal: JournalId) -> Result<Self, WorkError> {
        let of_no_job = reader.entries_of_no_job()?;
        let facts: Vec<Logged> = of_no_job.iter().filter_map(logged).collect();
        let dials = || facts.iter().filter(|dial| matches!(dial.fact, Bench::Station(StationEvent::Dial(_))));
        let holds = dials().rfind(|dial| !is_voided(dial.id, facts.iter().copied())).map(|dial| dial.id);
        let superseded = dials().filter(|dial| dial.id.journal == journal && Some(dial.id) != holds);
        let station = of_no_job.iter().filter(|entry| bears_on_every_card(entry));
        Ok(Self {
            reader,
            journal,
            last: reader.last_seq(journal)?.unwrap_or(0),
            dial_floor: superseded.map(|dial| dial.id.seq).max().unwrap_or(0),
            station: station.map(|entry| entry.position).max().unwrap_or(0),
        })
    }

    /// The position of the record that made the newest of the job's own records come of age that has.
    fn aged(&self, entries: &[Entry]) -> Result<Option<i64>, WorkError> {
        let of_age = |seq: &u32| seq.checked_add(AGE).is_some_and(|by| by <= self.last);
        let own = entries.iter().filter(|entry| entry.id.journal == self.journal).map(|entry| entry.id.seq);
        let Some(newest) = own.filter(of_age).max() else { return Ok(None) };
        let later =
            self.reader.entries_of_journal(self.journal, newest + AGE..=newest.saturating_add(2 * AGE))?;
        Ok(later.iter().map(|entry| entry.position).min())
    }
}

impl Snapshot {
    /// From the records of the job and of those filed under it, in commit order; `whole` is their fold.
    ///
    /// # Errors
    /// As [`Job::fold`].
    pub(super) fn of(whole: &Job, entries: &[Entry], ring: &Ring<'_>) -> Result<Self, WorkError> {
        let id = whole.id;
        let mut left_out = left_out(id, entries, ring);
        let mut state = whole.state;
        if !left_out.is_empty() {
            let included: Vec<Entry> =
                entries.iter().filter(|e| !left_out.contains(&e.id)).cloned().collect();
            state = Job::fold(id, &included)?.state;
            if laid_over(state, entries, &left_out) != whole.state {
                (state, left_out) = (whole.state, Vec::new());
            }
        }
        let own = entries.iter().filter(|entry| entry.id.journal == ring.journal).map(|entry| entry.id.seq);
        let all = own.max().unwrap_or(0).max(ring.dial_floor);
        let positions = entries.iter().map(|entry| entry.position);
        let newest = positions.chain([ring.station]).chain(ring.aged(entries)?).max();
        Ok(Self {
            state,
            includes_upto: left_out.first().map_or(all, |first| first.seq - 1),
            revision: u32::try_from(newest.unwrap_or(0)).unwrap_or(u32::MAX),
        })
    }
}

/// `state` as the keypad sees it with its own records `left_out` over it.
fn laid_over(mut state: JobState, entries: &[Entry], left_out: &[RecordId]) -> JobState {
    let own = || entries.iter().filter(|entry| left_out.contains(&entry.id)).filter_map(logged);
    for record in own().filter(|record| !is_voided(record.id, own())) {
        state.apply(&record.fact);
    }
    state
}

/// The own records that the keypad lays over the card itself, oldest first.
fn left_out(id: JobId, entries: &[Entry], ring: &Ring<'_>) -> Vec<RecordId> {
    let oldest = ring.last.saturating_sub(AGE).max(ring.dial_floor);
    let telling: Vec<&Entry> = entries.iter().filter(|entry| bears_on_state(entry)).collect();
    // A fact that came under this job by filing is not the keypad's own fact of this job.
    let own = |entry: &Entry| entry.id.journal == ring.journal && entry.job == Some(id.0);
    let mut out: Vec<&Entry> = Vec::new();
    for entry in telling.iter().rev() {
        let rising = out.last().is_none_or(|later| entry.id.seq < later.id.seq);
        if out.len() == UNDOABLE || !own(entry) || entry.id.seq <= oldest || !rising {
            break;
        }
        out.push(entry);
    }
    out.reverse();
    let mut from = 0;
    while let Some(at) = out[from..].iter().position(|entry| undoes_another(entry, &out[from..])) {
        from += at + 1;
    }
    let out: Vec<RecordId> = out[from..].iter().map(|entry| entry.id).collect();
    // Numbers of a keypad come in order; if ever they did not, nothing is left out.
    let left = |entry: &Entry| out.contains(&entry.id);
    let behind = entries.iter().filter(|e| own(e) && !left(e)).map(|e| e.id.seq).max();
    if behind >= out.first().map(|id| id.seq) { Vec::new() } else { out }
}

/// Whether `entry` voids a record that is not among `others`.
fn undoes_another(entry: &Entry, others: &[&Entry]) -> bool {
    match logged(entry).map(|logged| logged.fact) {
        Some(Bench::Void(Void { target, .. })) => others.iter().all(|other| other.id != target),
        _ => false,
    }
}

fn bears_on_state(entry: &Entry) -> bool {
    if entry.kind < FIRST_DESK_KIND {
        return true;
    }
    matches!(Desk::decode(entry.kind, &entry.payload), Ok(Desk::Order(_) | Desk::Remake(_)))
}

fn logged(entry: &Entry) -> Option<Logged> {
    let fact = Bench::decode(entry.kind, &entry.payload).ok()?;
    Some(Logged { id: entry.id, fact })
}

#[cfg(test)]
mod tests;
