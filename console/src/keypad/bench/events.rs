//! What the bench makes of each event of the link.

use super::held::Held;
use super::jobs::OpenJobs;
use super::note::name_of;
use super::{Bench, BenchBook, Keypad, Note, Now, OnLine};
use crate::desk::Met;
use crate::work::{Fact, TimeStyle, Uncaused, When};
use bevelbook_core::link::{Event, HelloAck, RecordRun};
use bevelbook_core::record::{self, JobId, JournalId, NewLens, RecordId, Stored};
use bevelbook_core::sizing::Rim;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use std::collections::BTreeSet;

impl<B: BenchBook> Bench<B> {
    pub(super) fn take(&mut self, event: Event, now: Now) {
        match event {
            Event::Connected(ack) => self.connected(ack, now),
            Event::Anchor { boot, ticks, utc_ms, .. } => {
                if let Some(OnLine { journal, .. }) = &self.on_line {
                    self.dating.entry(*journal).or_default().anchor(boot, ticks, utc_ms);
                }
            }
            Event::Records { journal, records } => self.records(journal, &records, now),
            Event::Gap { journal, from, to } => {
                let Some(keypad) = self.keypad.as_ref().filter(|keypad| keypad.journal == journal) else {
                    return;
                };
                let from = from.max(keypad.known.saturating_add(1));
                if from <= to {
                    self.notes.push_back(Note::Gap { keypad: keypad.name.clone(), from, to });
                }
                if !keypad.conflict {
                    self.committed(to);
                }
            }
            Event::RolledBack { journal, last, next } => {
                let keypad =
                    self.keypad.as_ref().map_or_else(|| journal.to_string(), |keypad| keypad.name.clone());
                self.notes.push_back(Note::RolledBack { keypad, book_last: last, keypad_next: next });
            }
            Event::Acknowledged { .. } | Event::Status(_) => {}
            Event::StationStored { revision } => {
                if let Some(keypad) = &mut self.keypad {
                    keypad.station = revision;
                }
            }
            Event::CardsHeld { held, more } => {
                self.learn(held.iter().map(|card| card.job), now);
                if let Some(keypad) = &mut self.keypad {
                    keypad.held.list(&held, more);
                }
            }
            Event::CardStored { job, revision } => {
                self.note_card(|held, jobs| held.stored(job, revision, jobs));
            }
            Event::CardDropped { job } => self.note_card(|held, jobs| held.dropped(job, jobs)),
            Event::CardRefused { job, reason } => {
                self.note_card(|held, jobs| held.not_taken(job, reason, jobs));
            }
            Event::Refused { lowest, highest } => {
                self.notes.push_back(Note::OtherProtocol { lowest, highest });
            }
            Event::Nak { reason, .. } => self.notes.push_back(Note::Refused { why: reason }),
            Event::Lost => {
                // When it answers again that is told, and what it holds is asked for anew.
                self.keypad = None;
                let what = self.on_line.take().map_or(
                    "a keypad to answer (a new one first asks for a log, on its display)".into(),
                    |keypad| format!("keypad {} to answer", keypad.name),
                );
                self.notes.push_back(Note::Waiting { what });
            }
        }
    }

    /// What became of a card on the keypad.
    fn note_card(&mut self, became: impl FnOnce(&mut Held, &OpenJobs) -> Option<Note>) {
        let jobs = &self.jobs;
        self.notes.extend(self.keypad.as_mut().and_then(|keypad| became(&mut keypad.held, jobs)));
    }

    fn connected(&mut self, ack: HelloAck, now: Now) {
        let journal = ack.journal;
        let before = self.on_line.take().filter(|before| before.journal == journal);
        if self.shelf.book().is_none() {
            return self.hold(&ack, before);
        }
        if self.cards_for.is_some_and(|before| before != journal) {
            // The cards that still wait were made for another keypad.
            self.keypad = None;
            return self.begin_session(now);
        }
        let known = self.with_book(now, |book| Ok((look_up(book, &ack)?, book.dated(journal)?)));
        let Some((known, dated)) = known else { return self.hold(&ack, before) };
        let Some((keypad, from)) = known else {
            let keypad = name_of(&ack.name);
            if self.asking.replace(ack).is_none_or(|before| before.journal != journal) {
                self.notes.push_back(Note::UnknownKeypad { keypad, journal });
            }
            return;
        };
        if self.keypad.as_ref().is_none_or(|before| before.journal != journal) {
            let waiting = ack.next.saturating_sub(from.max(keypad.known.saturating_add(1)));
            self.notes.push_back(Note::Connected { keypad: keypad.name.clone(), journal, waiting });
        }
        self.dating.entry(journal).or_default().know(&dated);
        // Committed, and the answer was lost.
        let unheard = before.and_then(|before| keypad.known.checked_sub(before.committed?));
        self.came += unheard.filter(|_| self.shelf.gone().is_some()).unwrap_or(0);
        let name = keypad.name.clone();
        self.on_line = Some(OnLine { journal, name, committed: Some(keypad.known) });
        self.asking = None;
        self.cards_for = Some(journal);
        self.host.resume(keypad.known, from);
        self.keypad = Some(keypad);
        self.stale = true;
        self.host.list_cards();
    }

    /// A keypad answered while the book is gone; whether it was on the line `before`.
    fn hold(&mut self, ack: &HelloAck, before: Option<OnLine>) {
        self.host.hold();
        let new = before.is_none();
        let called = || OnLine { journal: ack.journal, name: name_of(&ack.name), committed: None };
        let on_line = self.on_line.insert(before.unwrap_or_else(called));
        if new {
            let (keypad, records) = (on_line.name.clone(), self.host.waiting());
            self.notes.push_back(Note::HeldBack { keypad, records });
        }
    }

    /// Everything up to `upto` is in the book.
    fn committed(&mut self, upto: u32) {
        self.host.committed(upto);
        self.on_line.iter_mut().for_each(|on_line| on_line.committed = Some(upto));
    }

    fn records(&mut self, journal: JournalId, records: &RecordRun, now: Now) {
        let Some(keypad) = self.keypad.as_ref().filter(|keypad| keypad.journal == journal) else { return };
        let known = keypad.known;
        let dating = self.dating.entry(journal).or_default();
        let dated = |record: Stored| {
            let utc_ms = dating.utc_ms(record.boot, record.ticks, now.utc_ms);
            (record, utc_ms)
        };
        let received: Vec<(Stored, Option<i64>)> = records.iter().map(dated).collect();
        let undated: Vec<&Stored> =
            received.iter().filter(|(_, utc_ms)| utc_ms.is_none()).map(|(record, _)| record).collect();
        let boots: BTreeSet<u32> = undated.iter().map(|record| record.boot).collect();
        let mut met: Vec<Met> = boots.into_iter().flat_map(|boot| dating.round(journal, boot)).collect();
        met.sort_unstable_by_key(|met| met.boot);
        met.dedup();
        if !met.is_empty() {
            if self.with_book(now, |book| book.note_met(met.clone())).is_none() {
                return;
            }
            self.dating.entry(journal).or_default().told(&met);
        }
        let Some(imported) = self.with_book(now, |book| book.take_in(journal, received.clone())) else {
            return;
        };
        self.stale = true;
        self.came += self.shelf.gone().map_or(0, |_| imported.new as u32);
        let undated: Vec<u32> = undated.iter().map(|record| record.seq).filter(|seq| *seq > known).collect();
        let lines = self.with_book(now, |book| book.lines(journal, &undated)).unwrap_or_default();
        let first_conflict = imported.conflicts.iter().copied().min();
        self.learn(received.iter().filter_map(|(record, _)| record.fact().ok()?.job()), now);
        for (record, utc_ms) in received
            .iter()
            .filter(|(record, _)| record.seq > known && !imported.conflicts.contains(&record.seq))
        {
            let at = |utc_ms: Option<i64>| Timestamp::from_millisecond(utc_ms?).ok();
            let apart = imported.apart.iter().find(|(seq, _)| *seq == record.seq);
            let note = match (apart, &self.keypad) {
                (Some((seq, why)), Some(keypad)) => Note::KeptApart {
                    record: RecordId { journal, seq: *seq },
                    keypad: keypad.name.clone(),
                    why: why.clone(),
                },
                _ => {
                    let line = lines.iter().find(|line| line.id.seq == record.seq);
                    self.note_of(journal, record, line.map_or_else(|| When::at(at(*utc_ms)), When::of))
                }
            };
            self.notes.push_back(note);
            self.ask_cause(record, now);
        }
        let Some(keypad) = &mut self.keypad else { return };
        if let Some(seq) = first_conflict
            && !keypad.conflict
        {
            keypad.conflict = true;
            self.notes.push_back(Note::Conflict { record: RecordId { journal, seq } });
        }
        let upto = match first_conflict {
            Some(seq) => seq - 1,
            None => received.last().map_or(0, |(record, _)| record.seq),
        };
        if first_conflict.is_some() || !keypad.conflict {
            self.committed(upto);
        }
    }

    /// Asks why a lens was spoiled, where a record begins the one that takes its place.
    fn ask_cause(&mut self, record: &Stored, now: Now) {
        let Ok(record::Bench::NewLens(NewLens { lens })) = record.fact() else { return };
        let uncaused = self.with_book(now, |book| book.uncaused(lens.job)).unwrap_or_default();
        let spoiled = |of: &Uncaused| of.eye == lens.eye && of.lens.checked_add(1) == Some(lens.number);
        self.notes.extend(uncaused.into_iter().filter(spoiled).map(Note::CauseNotTold));
    }

    /// Looks up what jobs are called that are talked of next.
    fn learn(&mut self, mut ids: impl Iterator<Item = JobId>, now: Now) {
        let mut jobs = std::mem::take(&mut self.jobs);
        self.with_book(now, |book| ids.try_for_each(|id| book.learn(&mut jobs, id)));
        self.jobs = jobs;
    }

    fn note_of(&self, journal: JournalId, record: &Stored, made: When) -> Note {
        let fact = Fact::read(record.kind, &record.data);
        let job = if let Fact::Bench(fact) = &fact { fact.job() } else { None };
        let rim = job.and_then(|job| self.jobs.known(job)).map_or(Rim::Metal, |known| known.rim);
        Note::Record {
            record: RecordId { journal, seq: record.seq },
            at: made.at,
            after: made.between.after,
            before: made.between.before,
            when: made.words(&TimeZone::system(), TimeStyle::LIVE),
            job: job.map(|job| self.jobs.words(job)),
            says: fact.describe(rim),
        }
    }
}

/// A keypad of this shop as the book knows it, and the number at which to go on: where something else arrived, or at the
/// book's last, if the keypad still has it. A keypad whose memory was put back, and that wrote on past the book's last, has
/// something else there.
fn look_up<B: BenchBook>(book: &B, ack: &HelloAck) -> Result<Option<(Keypad, u32)>, B::Error> {
    let journal = ack.journal;
    let Some(name) = book.name_of(journal)? else { return Ok(None) };
    let held = book.held(journal)?;
    let known = held.last.unwrap_or(0);
    let keypad = Keypad {
        journal,
        name,
        known,
        // One slot is kept free for replacing a card.
        room: usize::from(ack.card_slots.saturating_sub(1)),
        held: Held::default(),
        conflict: held.conflict.is_some(),
        station: ack.station,
    };
    let compared = if known >= ack.oldest { known } else { known.saturating_add(1) };
    Ok(Some((keypad, held.conflict.map_or(compared, |seq| seq.min(compared)).max(1))))
}
