//! Finding the job that a person means.

use super::job_code::number_of;
use super::words::{self, by_number};
use super::{Job, Work, WorkError, readable};
use bevelbook_core::record::{JobId, RecordId};

/// The jobs that may be meant, and whether one is.
type Way<'w> = (Vec<u64>, &'w dyn Fn(&Job) -> bool);

impl Work {
    /// The job meant by `wanted`: its number or its code, else the tray or the customer's reference of a job that is open, else
    /// the beginning of its identity.
    ///
    /// # Errors
    /// None or more than one answers.
    pub fn find(&self, wanted: &str) -> Result<Job, WorkError> {
        if let Some(number) = wanted.parse().ok().or_else(|| number_of(wanted))
            && let Some(id) = self.book.found_by(&by_number(number))?.first()
        {
            return self.job(JobId(*id));
        }
        let open = |job: &Job| job.closed.is_none();
        let by_tray =
            |job: &Job| open(job) && job.order.tray.as_deref().is_some_and(|tray| same(tray, wanted));
        let by_customer = |job: &Job| open(job) && same(&job.order.customer, wanted);
        let by_identity = |job: &Job| job.id.to_string().starts_with(wanted);
        let ways: [Way<'_>; 3] = [
            (self.book.found_by(&words::by_tray(wanted))?, &by_tray),
            (self.book.found_by(&words::by_customer(wanted))?, &by_customer),
            (self.identified(wanted)?, &by_identity),
        ];
        for (ids, way) in ways {
            let mut found = Vec::new();
            for id in ids {
                found.extend(readable(&self.book, JobId(id))?.filter(|job| way(job)));
            }
            match found.len() {
                0 => {}
                1 => return Ok(found.remove(0)),
                _ => {
                    let mut numbers: Vec<u32> = found.iter().map(|job| job.order.number).collect();
                    numbers.sort_unstable();
                    let numbers: Vec<String> = numbers.iter().map(u32::to_string).collect();
                    return Err(WorkError::Ambiguous {
                        wanted: wanted.into(),
                        candidates: numbers.join(", "),
                    });
                }
            }
        }
        Err(WorkError::NoJob { wanted: wanted.into(), hint: self.hint()? })
    }

    /// The jobs whose identity begins with `wanted`, if that is long enough to mean one.
    fn identified(&self, wanted: &str) -> Result<Vec<u64>, WorkError> {
        let beginning = u64::from_str_radix(wanted, 16).ok().filter(|_| (4..=16).contains(&wanted.len()));
        let Some(beginning) = beginning else { return Ok(Vec::new()) };
        let open_bits = 64 - 4 * wanted.len() as u32;
        let first = beginning << open_bits;
        Ok(self.book.jobs_within(first..=first | !(u64::MAX << open_bits))?)
    }

    /// The record meant by `wanted`: the number of a record of this console, or journal and number with a colon.
    ///
    /// # Errors
    /// There is no such record.
    pub fn find_record(&self, wanted: &str) -> Result<RecordId, WorkError> {
        let unknown = || WorkError::NoRecord(wanted.into());
        let (journal, seq) = match wanted.split_once(':') {
            Some((journal, seq)) => {
                let journals = self.book.journals()?;
                let mut meant = journals.iter().filter(|(id, _)| id.to_string().starts_with(journal));
                match (meant.next(), meant.next()) {
                    (Some((id, _)), None) => (*id, seq),
                    _ => return Err(unknown()),
                }
            }
            None => (self.book.home()?.ok_or_else(unknown)?, wanted),
        };
        let id = RecordId { journal, seq: seq.parse().map_err(|_| unknown())? };
        self.book.entry(id)?.map(|entry| entry.id).ok_or_else(unknown)
    }

    /// What to ask for instead.
    fn hint(&self) -> Result<String, WorkError> {
        let mut open: Vec<u32> = self.due()?.iter().map(|due| due.number).collect();
        open.sort_unstable();
        let open: Vec<String> = open.iter().map(u32::to_string).collect();
        let open = match open.len() {
            0 => "the book has no open job, `job new` opens one".into(),
            1..=12 => format!("open jobs are {}", open.join(", ")),
            many => format!("{many} jobs are open, `job list` shows them"),
        };
        Ok(match self.book.found_by(words::DAMAGED)?.len() {
            0 => open,
            1 => format!("{open}; one job is damaged, `job list` tells what is wrong with it"),
            many => format!("{open}; {many} jobs are damaged, `job list` tells what is wrong with them"),
        })
    }
}

fn same(one: &str, other: &str) -> bool {
    one.to_lowercase() == other.to_lowercase()
}
