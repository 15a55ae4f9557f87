//! What is answered to a fact.

use crate::cli::{Failure, Report, answer};
use crate::view::Identity;
use crate::work::{Fact, Job, Logging, Work};
use bevelbook_core::link::plain;
use bevelbook_core::record::RecordId;

/// How a record is known here: `#12` when this console's own journal holds it, else with its journal.
pub(crate) fn short(work: &Work, id: RecordId) -> Result<String, Failure> {
    let own = work.is_own(id)?;
    Ok(if own { format!("#{}", id.seq) } else { id.to_string() })
}

/// What was logged of a job: its record, and what it says.
pub(super) fn logged(work: &Work, id: RecordId, job: &Job, says: &str) -> Result<Report, Failure> {
    let (called, number) = (short(work, id)?, job.order.number);
    Ok(answer!("{called} job {number}: {says}"; record = Identity::of(id), job = number))
}

/// The same of a fact of the bench, with `more` lines on it.
pub(super) fn fact(work: &Work, logging: &Logging, more: &[String]) -> Result<Report, Failure> {
    let Logging { id, fact, after, .. } = logging;
    let mut says = vec![Fact::Bench(*fact).describe(after.order.frame.rim)];
    says.extend_from_slice(more);
    let report = logged(work, *id, after, &says.join("\n  "))?;
    Ok(match fact.lens() {
        Some(lens) => report.with("eye", lens.eye).with("lens", lens.number),
        None => report,
    })
}

/// The answer to a fact of the bench: what it says, and what comes next.
pub(super) fn answer(work: &Work, logging: &Logging, more: &[String]) -> Result<Report, Failure> {
    let report = with_next(work, fact(work, logging, more)?, &logging.after)?;
    Ok(unsigned(report, &logging.before))
}

/// Says that the job was signed off before this.
pub(crate) fn unsigned(report: Report, before: &Job) -> Report {
    let hint = before
        .signed
        .as_ref()
        .map(|signed| format!("hint: {} had signed this job off; inspect it and sign it again", signed.by));
    report.hints(hint)
}

/// Adds what comes next in `job`, or what it is where that is no next step, or not all of it.
pub(super) fn with_next(work: &Work, mut report: Report, job: &Job) -> Result<Report, Failure> {
    let status = job.status(&work.settings().tolerances()?);
    let next = (!status.is_closed()).then(|| job.next(work.settings().bench).to_string());
    let number = job.order.number;
    report.text += &match status.next() {
        Some(next) if !status.is_out() => format!("\nnext: {next}"),
        _ => format!("\njob {number}: {}", plain(&status.to_string()).collect::<String>()),
    };
    Ok(report.with("next", next))
}
