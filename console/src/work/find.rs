//! Finding the job that a person means.
//!
//! - A bare number is a job's number; so is `J10`, as a scanner types it, and `#10`.
//! - `T10` is the tray 10, as the keypad writes it, with the job that lies in it while it is open. Where a job 10 is there
//!   and another one lies in tray 10, a bare 10 is refused: whoever holds the tray would get another pair's figures.
//! - A tray that is no number, and a customer's reference, mean the open job that has them; a code of figures and letters
//!   the job whose identity begins so.

use super::holding::{Filings, Holding, ask_of_few};
use super::job_code::number_of;
use super::near::{nearest, same};
use super::words::{self, by_number};
use super::{Job, Work, WorkError, readable, starts};
use crate::desk::Order;
use crate::store::Reader;
use bevelbook_core::record::{JobId, RecordId};

impl Work {
    /// The job meant by `wanted`.
    ///
    /// # Errors
    /// None or more than one answers.
    pub fn find(&self, wanted: &str) -> Result<Job, WorkError> {
        self.find_ahead(wanted, |_| ())
    }

    /// The same, where what `ask` asks is asked next ([`Work::ahead`]).
    ///
    /// # Errors
    /// As [`Work::find`].
    pub fn find_ahead(&self, wanted: &str, ask: impl FnOnce(&Self)) -> Result<Job, WorkError> {
        self.at_one_moment(|| {
            let wanted = wanted.trim();
            self.ahead(|work| {
                let number = number_of(wanted).or_else(|| wanted.trim_start_matches('#').parse().ok());
                let _ = number.map(|number| work.book.found_by(&by_number(number)));
                let _ = lying_in(&work.book, wanted);
                ask(work);
            })?;
            self.found(wanted)
        })
    }

    fn found(&self, wanted: &str) -> Result<Job, WorkError> {
        let numbered = |number: u32| self.numbered(wanted, number);
        if let Some(number) = wanted.strip_prefix('#').map_or_else(|| number_of(wanted), |n| n.parse().ok())
            && let Some(id) = numbered(number)?
        {
            return self.job(id);
        }
        let number = wanted.parse().ok();
        let meant = number.map(numbered).transpose()?.flatten();
        let lying = lying_in(&self.book, wanted)?;
        let others: Vec<u32> =
            lying.iter().filter(|job| Some(job.id) != meant).map(|job| job.order.number).collect();
        match (number, meant) {
            (Some(_), Some(id)) if others.is_empty() => return self.job(id),
            (Some(number), Some(_)) => {
                return Err(WorkError::NumberOrTray { number, others: listed(others) });
            }
            (Some(number), None) if !others.is_empty() => {
                let held = holds(&number.to_string(), &others);
                let hint = format!("a bare number is a job's; {held}: T{number}");
                return Err(WorkError::NoJob { wanted: wanted.into(), hint });
            }
            _ => {}
        }
        let tray = wanted.strip_prefix(['T', 't']).filter(|tray| !tray.is_empty());
        let mut ways = vec![lying];
        if let Some(tray) = tray {
            ways[0].extend(lying_in(&self.book, tray)?);
        }
        let of_customer = |job: &Job| job.closed.is_none() && same(&job.order.customer, wanted);
        let customer = self.book.found_by(&words::by_customer(wanted))?;
        ways.push(folded(&self.book, customer, of_customer).collect::<Result<_, _>>()?);
        let by_identity = |job: &Job| job.id.to_string().starts_with(wanted);
        ways.push(folded(&self.book, self.identified(wanted)?, by_identity).collect::<Result<_, _>>()?);
        match ways.into_iter().find(|found| !found.is_empty()) {
            Some(mut found) if found.len() == 1 => {
                let mut job = found.remove(0);
                starts::tell(&self.book, &mut job.lines)?;
                Ok(job)
            }
            Some(found) => {
                let numbers = found.iter().map(|job| job.order.number).collect();
                Err(WorkError::Ambiguous { wanted: wanted.into(), candidates: listed(numbers) })
            }
            None => Err(WorkError::NoJob { wanted: wanted.into(), hint: self.hint(wanted, tray)? }),
        }
    }

    /// The job of a number. Books that went apart and came together may have two of one number.
    fn numbered(&self, wanted: &str, number: u32) -> Result<Option<JobId>, WorkError> {
        let ids: Vec<JobId> = self.book.found_by(&by_number(number))?.into_iter().map(JobId).collect();
        match ids.as_slice() {
            [] => Ok(None),
            [id] => Ok(Some(*id)),
            ids => {
                let jobs = ids.iter().map(|id| {
                    let told = readable(&self.book, *id)?
                        .map(|job| format!(" ({}, {})", job.order.customer, job.order.frame.model));
                    Ok(format!("{id}{}", told.unwrap_or_default()))
                });
                let jobs = jobs.collect::<Result<Vec<_>, WorkError>>()?.join(", ");
                Err(WorkError::NumberedTwice { wanted: wanted.into(), jobs })
            }
        }
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

    /// What to ask for instead, and what is damaged: the job that is missed may be that one.
    fn hint(&self, wanted: &str, tray: Option<&str>) -> Result<String, WorkError> {
        let instead = match self.called_alike(wanted)? {
            Some(near) => format!("did you mean `{near}`?"),
            None => self.told_of_open(tray)?,
        };
        Ok(match self.book.found_by(words::DAMAGED)?.len() {
            0 => instead,
            1 => format!("{instead}; one job is damaged, `job list` tells what is wrong with it"),
            many => format!("{instead}; {many} jobs are damaged, `job list` tells what is wrong with them"),
        })
    }

    /// The jobs that are open, and that none lies in the tray that was asked for.
    fn told_of_open(&self, tray: Option<&str>) -> Result<String, WorkError> {
        let mut open: Vec<u32> = self.due()?.iter().map(|due| due.number).collect();
        open.sort_unstable();
        let open = match open.len() {
            0 => "the book has no open job, `job new` opens one".into(),
            1..=12 => format!("open jobs are {}", listed(open)),
            many => format!("{many} jobs are open, `job list` shows them"),
        };
        Ok(match tray.filter(|tray| tray.bytes().all(|letter| letter.is_ascii_digit())) {
            Some(tray) => format!("no open job lies in tray {tray}; {open}"),
            None => open,
        })
    }

    /// The tray or the customer's reference of an open job that is written nearly so.
    fn called_alike(&self, wanted: &str) -> Result<Option<String>, WorkError> {
        let mut called: Vec<(String, u64)> = Vec::new();
        for (word, id) in self.book.found_by_beginning(words::TRAY)? {
            let tray = word.strip_prefix(words::TRAY).unwrap_or_default();
            called.extend([(format!("t{tray}"), id), (tray.to_owned(), id)]);
        }
        for (word, id) in self.book.found_by_beginning(words::CUSTOMER)? {
            called.extend(word.strip_prefix(words::CUSTOMER).map(|customer| (customer.to_owned(), id)));
        }
        let near = nearest(wanted, called.iter().map(|(called, _)| called.as_str()));
        let Some((near, id)) = called.iter().find(|(called, _)| Some(called.as_str()) == near) else {
            return Ok(None);
        };
        // Words are in small letters; how it is written stands in the order.
        let Some(Order { tray, customer, .. }) = readable(&self.book, JobId(*id))?.map(|job| job.order)
        else {
            return Ok(None);
        };
        let written = tray.into_iter().flat_map(|tray| [format!("T{tray}"), tray]).chain([customer]);
        Ok(written.into_iter().find(|written| written.to_lowercase() == *near))
    }
}

/// The open jobs that lie in a tray.
pub(super) fn lying_in(reader: &Reader, tray: &str) -> Result<Vec<Job>, WorkError> {
    let lies =
        |job: &Job| job.closed.is_none() && job.order.tray.as_deref().is_some_and(|lying| same(lying, tray));
    folded(reader, reader.found_by(&words::by_tray(tray))?, lies).collect()
}

/// What a tray holds, in words.
pub(super) fn holds(tray: &str, numbers: &[u32]) -> String {
    let jobs = if numbers.len() == 1 { "job" } else { "jobs" };
    format!("tray {tray} holds {jobs} {}", listed(numbers.to_vec()))
}

/// The jobs that were found by a word and are what it hints at; those that cannot be read are left out.
pub(super) fn folded<'r>(
    reader: &'r Reader,
    ids: impl IntoIterator<Item = u64> + 'r,
    meant: impl Fn(&Job) -> bool + 'r,
) -> impl Iterator<Item = Result<Job, WorkError>> + 'r {
    let ids: Vec<JobId> = ids.into_iter().map(JobId).collect();
    let some: Vec<Vec<JobId>> = ids.chunks(Reader::AT_ONCE).map(<[JobId]>::to_vec).collect();
    let jobs = some.into_iter().flat_map(|some| match readable_of(reader, &some) {
        Ok(jobs) => jobs.into_iter().map(Ok).collect(),
        Err(error) => vec![Err(error)],
    });
    jobs.filter(move |job| job.as_ref().map_or(true, &meant))
}

/// Those of some jobs that can be read.
fn readable_of(reader: &Reader, ids: &[JobId]) -> Result<Vec<Job>, WorkError> {
    ask_of_few(reader, ids, |_, _| ())?;
    let filings = Filings::near(reader, ids)?;
    let entries = filings.entries(reader, ids)?;
    let jobs = ids.iter().map(|id| Job::of(*id, Holding::among(&entries, &filings, *id)));
    jobs.filter(|job| !matches!(job, Err(WorkError::Damaged { .. }))).collect()
}

fn listed(mut numbers: Vec<u32>) -> String {
    numbers.sort_unstable();
    numbers.iter().map(u32::to_string).collect::<Vec<_>>().join(", ")
}
