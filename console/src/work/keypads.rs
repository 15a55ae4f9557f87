//! Keypads: which journals are this shop's, what they were told, and taking in what they send.

use super::append::{Writing, append_desk_of_no_job};
use super::change::write;
use super::gate::Gate;
use super::holding::{Fact, Holding, Line};
use super::settled::{first_unsettled, unsettled};
use super::starts;
use super::stations::{Stations, here, next_of};
use super::{Work, WorkError};
use crate::desk::{Adoption, Choices, Desk, Met, Placement};
use crate::settings::Settings;
use crate::store::{Imported, Reader, Received};
use bevelbook_core::record::{Bench, JournalId, RecordId, Stored};
use std::ops::RangeInclusive;

impl Work {
    /// The keypads of this shop, oldest first; a later adoption of the same journal renames it.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn keypads(&self) -> Result<Vec<Adoption>, WorkError> {
        Ok(adopted(&Holding::of_no_job(&self.book)?))
    }

    /// What a keypad logged, in its own order.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn log_of(&self, journal: JournalId) -> Result<Vec<Line>, WorkError> {
        let mut lines = Holding::of_journal(&self.book, journal)?;
        starts::tell(&self.book, &mut lines)?;
        Ok(lines)
    }

    /// Puts down the choices of the settings where they differ from those put down last: what keypads hold was made by
    /// those, and is made anew.
    ///
    /// # Errors
    /// The book refuses.
    pub fn note_choices(&mut self) -> Result<(), WorkError> {
        let judged_by = self.settings.tolerances()?.fingerprint();
        let Settings { sizing: habit, bench: flow, advice, .. } = &self.settings;
        let choices = Choices { habit: *habit, flow: *flow, judged_by, advised_by: advice.words() };
        self.change(|tx| {
            if choices_in(tx)?.as_ref() != Some(&choices) {
                append_desk_of_no_job(tx, &Desk::Choices(choices.clone()))?;
            }
            Ok(())
        })
    }

    /// Makes the keypad that writes `journal` one of this shop's. Where there are several stations it stands at the one that is
    /// said here.
    ///
    /// # Errors
    /// There are several stations and none was said; or the book refuses.
    pub fn adopt(&mut self, journal: JournalId, name: &str) -> Result<RecordId, WorkError> {
        let Self { settings, book, .. } = self;
        write(book, settings, |tx| {
            place_new(tx, settings, journal)?;
            append_desk_of_no_job(tx, &Desk::Adoption(Adoption { journal, name: name.into() }))
        })
    }

    /// Puts down when keypads were here, which bounds when what is not dated was made.
    ///
    /// # Errors
    /// The book refuses.
    pub fn note_met(&mut self, met: &[Met]) -> Result<(), WorkError> {
        self.change(|tx| met.iter().try_for_each(|met| append_desk_of_no_job(tx, &Desk::Met(*met)).map(drop)))
    }

    /// Those records of a journal with what is known of when they were made, whatever else bears on them.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn lines_of(&self, journal: JournalId, numbers: &[u32]) -> Result<Vec<Line>, WorkError> {
        let mut lines = Vec::new();
        for seq in numbers {
            lines.extend(self.book.entry(RecordId { journal, seq: *seq })?.map(|entry| Line::new(&entry)));
        }
        starts::tell(&self.book, &mut lines)?;
        Ok(lines)
    }

    /// Takes in records of a keypad's journal, each with its wall time where that is known; when this returns they are
    /// on the disk. Each is found under the job that it names; a kind that this version does not know is kept as it came,
    /// and what a keypad cannot say is kept apart ([`Imported::apart`]).
    ///
    /// # Errors
    /// The book refuses; nothing was taken in.
    pub fn take_in(
        &mut self,
        journal: JournalId,
        records: impl IntoIterator<Item = (Stored, Option<i64>)>,
    ) -> Result<Imported, WorkError> {
        let records: Vec<(Stored, Option<i64>)> = records.into_iter().collect();
        self.change(|tx| {
            let (mut gate, mut imported) = (Gate::of(journal), Imported::default());
            for (record, utc_ms) in records.iter().cloned() {
                // A console that met the same start knows better than a clock that runs by itself.
                let utc_ms = match utc_ms {
                    None => gate.by_clock(tx, &record)?,
                    known => known,
                };
                let apart = gate.refusal(tx, &record, utc_ms)?.map(|why| why.to_string());
                let job = match record.fact() {
                    // Whatever job a void names, it is found where what it undoes is.
                    Ok(Bench::Void(void)) => {
                        tx.entry(void.target)?.map_or(void.job.map(|job| job.0), |e| e.job)
                    }
                    Ok(fact) => fact.job().map(|job| job.0),
                    Err(_) => None,
                };
                // One by one: the next is asked about on the state with this one.
                let seq = record.seq;
                let mut one = tx.import(journal, &[Received { record, job, utc_ms, apart }])?;
                if !one.conflicts.is_empty() && !unsettled(tx)?.contains(&RecordId { journal, seq }) {
                    one = Imported { known: 1, ..Imported::default() };
                }
                imported.add(one);
            }
            Ok(imported)
        })
    }

    /// What the book has of a keypad's journal.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn journal(&self, journal: JournalId) -> Result<Held, WorkError> {
        let last = self.book.last_seq(journal)?;
        let conflict = first_unsettled(&self.book, journal)?;
        Ok(Held { last, gaps: self.book.gaps(journal)?, conflict })
    }

    /// When the newest records of a journal were written, by the writer's own clock and by the wall's: starts, ticks in
    /// milliseconds, and milliseconds since 1970-01-01 UTC.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn dated(&self, journal: JournalId) -> Result<Vec<(u32, u32, i64)>, WorkError> {
        let last = self.last_of(journal)?;
        let entries = self.book.entries_of_journal(journal, last.saturating_sub(DATED)..=last)?;
        Ok(entries.iter().filter_map(|entry| Some((entry.boot?, entry.ticks?, entry.utc_ms?))).collect())
    }

    /// The journals that the book has records of, consoles' and keypads'.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn journals(&self) -> Result<Vec<JournalId>, WorkError> {
        Ok(self.book.journals()?.into_iter().map(|(id, _)| id).collect())
    }
}

/// How many of the newest records of a keypad are looked through for the dates of its starts.
const DATED: u32 = 300;

/// What the book has of one journal.
#[derive(Clone, Debug)]
pub struct Held {
    /// The highest number; none when there is no record.
    pub last: Option<u32>,
    /// Numbers that are missing below it.
    pub gaps: Vec<RangeInclusive<u32>>,
    /// The least number under which something else arrived and nobody has decided yet.
    pub conflict: Option<u32>,
}

/// The keypads of a shop, oldest first, each as it is called now.
pub(super) fn adopted(holding: &Holding) -> Vec<Adoption> {
    let mut keypads: Vec<Adoption> = Vec::new();
    for line in holding.holding() {
        let Fact::Desk(Desk::Adoption(adoption)) = &line.fact else { continue };
        match keypads.iter_mut().find(|known| known.journal == adoption.journal) {
            Some(known) => known.clone_from(adoption),
            None => keypads.push(adoption.clone()),
        }
    }
    keypads
}

/// A keypad becomes the shop's: where there are several stations it stands at the one that is said here, and one that stands
/// somewhere already goes elsewhere only where that was named.
fn place_new(tx: &mut Writing<'_, '_>, settings: &Settings, journal: JournalId) -> Result<(), WorkError> {
    let holding = Holding::of_no_job(tx)?;
    let is_known = adopted(&holding).iter().any(|keypad| keypad.journal == journal);
    if is_known && settings.desk.station.is_none() {
        return Ok(());
    }
    let (stations, next) = (Stations::of(&holding), next_of(tx, journal)?);
    let station = here(tx, &stations, settings)?;
    if stations.of_record(next) != station {
        let placement = Placement { journal, from: next.seq, upto: None, station };
        append_desk_of_no_job(tx, &Desk::Placement(placement))?;
    }
    Ok(())
}

/// The choices put down last.
fn choices_in(reader: &Reader) -> Result<Option<Choices>, WorkError> {
    let holding = Holding::of_no_job(reader)?;
    let choices = holding.holding().rev().find_map(|line| match &line.fact {
        Fact::Desk(Desk::Choices(choices)) => Some(choices.clone()),
        _ => None,
    });
    Ok(choices)
}
