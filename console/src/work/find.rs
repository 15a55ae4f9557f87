//! Finding the job that a person means.

use super::{Job, Jobs, Work, WorkError, orders_of};
use bevelbook_core::record::RecordId;

impl Work {
    /// The job meant by `wanted`: its number, else the tray or the customer's reference of a job that is open, else
    /// the beginning of its identity.
    ///
    /// # Errors
    /// None or more than one answers.
    pub fn find(&self, wanted: &str) -> Result<Job, WorkError> {
        // A number is never amended: it is looked up without folding every job.
        if let Ok(number) = wanted.parse::<u32>() {
            let orders = orders_of(&self.book)?;
            if let Some((id, _)) = orders.iter().find(|(_, order)| order.number == number) {
                return self.job(*id);
            }
        }
        let Jobs { whole: jobs, damaged } = self.jobs()?;
        let open = |job: &Job| job.closed.is_none();
        let by_tray =
            |job: &Job| open(job) && job.order.tray.as_deref().is_some_and(|tray| same(tray, wanted));
        let by_customer = |job: &Job| open(job) && same(&job.order.customer, wanted);
        let by_identity = |job: &Job| wanted.len() >= 4 && job.id.to_string().starts_with(wanted);
        let ways: [&dyn Fn(&Job) -> bool; 3] = [&by_tray, &by_customer, &by_identity];
        for way in ways {
            let mut found: Vec<&Job> = jobs.iter().filter(|job| way(job)).collect();
            match found.len() {
                0 => {}
                1 => return Ok(found.remove(0).clone()),
                _ => {
                    let numbers: Vec<String> = found.iter().map(|job| job.order.number.to_string()).collect();
                    return Err(WorkError::Ambiguous {
                        wanted: wanted.into(),
                        candidates: numbers.join(", "),
                    });
                }
            }
        }
        Err(WorkError::NoJob { wanted: wanted.into(), hint: hint(&jobs, damaged.len()) })
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
            None => (self.book.own_journal()?, wanted),
        };
        let id = RecordId { journal, seq: seq.parse().map_err(|_| unknown())? };
        self.book.entry(id)?.map(|entry| entry.id).ok_or_else(unknown)
    }
}

fn same(one: &str, other: &str) -> bool {
    one.to_lowercase() == other.to_lowercase()
}

fn hint(jobs: &[Job], damaged: usize) -> String {
    let open: Vec<String> =
        jobs.iter().filter(|job| job.closed.is_none()).map(|job| job.order.number.to_string()).collect();
    let open = match open.len() {
        0 => "the book has no open job, `job new` opens one".into(),
        1..=12 => format!("open jobs are {}", open.join(", ")),
        many => format!("{many} jobs are open, `job list` shows them"),
    };
    match damaged {
        0 => open,
        1 => format!("{open}; one job is damaged, `job list` tells what is wrong with it"),
        many => format!("{open}; {many} jobs are damaged, `job list` tells what is wrong with them"),
    }
}
