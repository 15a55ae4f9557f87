//! What each record is about, in a byte of RAM, so that those about one job are found without reading all of them.
//!
//! Reading a page over the chip's bus takes 1.5 ms, and a full journal has some hundred. The start reads every page
//! anyway and notes here what it is about; an append notes it too. A byte is a hint in one direction: it may say that a
//! record is worth reading and be wrong, never that it is not and be wrong.

use bevelbook_core::record::{Bench, JobId, Stored};

/// So many pages of the journal are told; those beyond are always read. The journal of an EEPROM of 32 KiB has 310.
const TOLD: usize = 310;

/// Nothing is known: the record is to be read.
const UNKNOWN: u8 = 0;
/// A station event.
const STATION: u8 = 1;
/// A job was opened.
const OPENED: u8 = 2;
/// No fact that this version reads.
const NOTHING: u8 = 3;
/// An undoing, which only the ledger looks into.
const VOID: u8 = 4;
/// From here on, what the job's id comes to.
const JOBS: u8 = 5;

/// What is looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Subject {
    /// Station events.
    Station,
    /// Jobs that were opened here.
    Opened,
    /// Undoings.
    Void,
    /// Everything about one job.
    Job(JobId),
}

impl Subject {
    /// Whether a fact is about it.
    #[must_use]
    pub fn is_of(self, fact: &Bench) -> bool {
        match self {
            Self::Station => matches!(fact, Bench::Station(_)),
            Self::Opened => matches!(fact, Bench::Opened(_)),
            Self::Void => matches!(fact, Bench::Void(_)),
            Self::Job(id) => fact.job() == Some(id),
        }
    }
}

#[derive(Debug)]
pub(super) struct Subjects([u8; TOLD]);

impl Subjects {
    pub(super) const fn unknown() -> Self {
        Self([UNKNOWN; TOLD])
    }

    /// The record on page `place` of the journal's pages is this one.
    pub(super) fn tell(&mut self, place: u16, record: &Stored) {
        let subject = match record.fact() {
            Ok(Bench::Station(_)) => STATION,
            Ok(Bench::Opened(_)) => OPENED,
            Ok(Bench::Void(_)) => VOID,
            Ok(fact) => fact.job().map_or(NOTHING, of_job),
            Err(_) => NOTHING,
        };
        self.set(place, subject);
    }

    /// It may be any.
    pub(super) fn forget(&mut self, place: u16) {
        self.set(place, UNKNOWN);
    }

    fn set(&mut self, place: u16, subject: u8) {
        if let Some(told) = self.0.get_mut(usize::from(place)) {
            *told = subject;
        }
    }

    /// Whether the record on that page may be about `subject`.
    pub(super) fn may_be(&self, place: u16, subject: Subject) -> bool {
        let told = self.0.get(usize::from(place)).copied().unwrap_or(UNKNOWN);
        match subject {
            _ if told == UNKNOWN => true,
            Subject::Station => told == STATION,
            Subject::Opened => told == OPENED,
            Subject::Void => told == VOID,
            // That a job was opened belongs to it.
            Subject::Job(id) => told == OPENED || told == of_job(id),
        }
    }
}

/// A job in a byte; several jobs come to the same one.
fn of_job(id: JobId) -> u8 {
    let folded = id.0.to_le_bytes().iter().fold(0_u8, |folded, byte| folded.rotate_left(3) ^ byte);
    JOBS + folded % (u8::MAX - JOBS + 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use bevelbook_core::frame::PupillaryDistance;
    use bevelbook_core::record::{
        CentreDistance, Entered, JournalId, MAX_ENCODED, Opened, PairId, RecordId, StationEvent, Void,
    };
    use bevelbook_core::sizing::Rim;
    use bevelbook_core::units::Length;

    fn stored(fact: &Bench) -> Stored {
        let mut buffer = [0; MAX_ENCODED];
        let data = fact.encode(&mut buffer).unwrap().try_into().unwrap();
        Stored { seq: 1, boot: 1, ticks: 0, kind: fact.kind(), data }
    }

    #[test]
    fn what_is_about_a_job_is_never_passed_over() {
        let mut subjects = Subjects::unknown();
        let job = |n: u64| JobId(n.wrapping_mul(0x9e37_79b9_7f4a_7c15));
        let target = RecordId { journal: JournalId(1), seq: 1 };
        let centres = PupillaryDistance::Binocular(Length::ZERO);
        for n in 0..300 {
            let pair = PairId::first(job(n));
            let fact = match n % 4 {
                0 => Bench::Station(StationEvent::NewWheel),
                1 => Bench::Opened(Opened { job: job(n), rim: Rim::Metal }),
                2 => Bench::Void(Void { job: Some(job(n)), target }),
                _ => Bench::CentreDistance(CentreDistance {
                    entered: Entered::READ,
                    pair,
                    centres,
                    heights: None,
                }),
            };
            subjects.tell(n as u16, &stored(&fact));
        }
        let mut passed_over = 0;
        for n in 0..300_u64 {
            let place = n as u16;
            assert_eq!(subjects.may_be(place, Subject::Station), n % 4 == 0);
            assert_eq!(subjects.may_be(place, Subject::Opened), n % 4 == 1);
            assert_eq!(subjects.may_be(place, Subject::Void), n % 4 == 2);
            assert_eq!(subjects.may_be(place, Subject::Job(job(n))), n % 2 == 1);
            passed_over += u32::from(!subjects.may_be(place, Subject::Job(job(n + 4))));
        }
        assert!(passed_over > 210, "{passed_over}");
        subjects.forget(3);
        assert!(subjects.may_be(3, Subject::Opened));
        assert!(subjects.may_be(400, Subject::Station), "beyond what is told");
    }
}
