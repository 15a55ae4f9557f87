//! How a job ends: signed off, closed, and opened again.

use super::append::append_desk;
use super::change::job_then;
use super::desk::open;
use super::orders::tray_in_use;
use super::{Beside, Job, Work, WorkError, job_of};
use crate::desk::{Closing, Desk, Remark, ReopenedFor, Reopening, SignOff};
use bevelbook_core::record::JobId;
use bevelbook_core::tolerance::Verdict;

impl Work {
    /// Ends a job, with the verdict that was signed, or that it would have had.
    ///
    /// # Errors
    /// It is closed already, or it is no pair signed off within and free of what was found bad, and no reason is given.
    pub fn close(&mut self, id: JobId, how: &str, despite: Option<&str>) -> Result<Job, WorkError> {
        let standard = self.settings.tolerances()?;
        self.change_of(id, |tx| {
            let job = open(tx, id)?;
            let despite = despite.map(str::trim).filter(|why| !why.is_empty()).map(str::to_owned);
            let (status, number) = (job.status(&standard), job.order.number);
            let verdict = match &job.signed {
                Some(signed) => signed.verdict,
                None if status.is_out() => Verdict::Out,
                None => job.verdict(&job.judged(&standard)),
            };
            let signed_within =
                job.signed.is_some() && verdict == Verdict::Within && job.found_bad().is_none();
            if !signed_within && despite.is_none() {
                let status = status.to_string();
                return Err(WorkError::NotSignedWithin { number, status, how: how.into() });
            }
            let closing = Closing { how: how.into(), verdict: Some(verdict), despite };
            append_desk(tx, id, &Desk::Closing(closing))?;
            job_then(tx, id)
        })
    }

    /// Opens a closed job again, at the lenses that it was at; it is signed off anew. Beside it whether another job lies in
    /// its tray by now.
    ///
    /// # Errors
    /// It is not closed.
    pub fn open_again(
        &mut self,
        id: JobId,
        reason: ReopenedFor,
        why: &str,
    ) -> Result<(Job, Option<Remark>), WorkError> {
        let standard = self.settings.tolerances()?;
        self.change_of(id, |tx| {
            let job = job_of(tx, id)?;
            if job.closed.is_none() {
                let status = job.status(&standard).to_string();
                return Err(WorkError::Open { number: job.order.number, status });
            }
            append_desk(tx, id, &Desk::Reopening(Reopening { reason, why: why.into() }))?;
            Ok((job_then(tx, id)?, tray_in_use(tx, &job.order, Some(id))?))
        })
    }

    /// Signs the verdict that `judge` gives on the job as it stands in the transaction.
    ///
    /// # Errors
    /// The job is closed, `judge` refuses, or the verdict is not within or something was found bad, and no reason is given.
    pub fn sign_off(
        &mut self,
        id: JobId,
        judge: impl Fn(&Job) -> Result<SignOff, WorkError>,
    ) -> Result<SignOff, WorkError> {
        self.change_of(id, |tx| {
            let job = open(tx, id)?;
            let signed = judge(&job)?;
            if signed.by.trim().is_empty() {
                return Err(WorkError::NoInitials);
            }
            let reason = signed.despite.as_deref().is_some_and(|why| !why.trim().is_empty());
            if signed.verdict != Verdict::Within && !reason {
                return Err(WorkError::NotWithin { verdict: signed.verdict.to_string() });
            }
            if let Some(item) = job.found_bad().filter(|_| !reason) {
                return Err(WorkError::NotWithin { verdict: format!("not good ({})", Beside::Bad(item)) });
            }
            append_desk(tx, id, &Desk::SignOff(signed.clone()))?;
            Ok(signed)
        })
    }
}
