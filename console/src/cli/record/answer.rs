//! What is answered to a fact.

use super::facts::{bench_fields, identity};
use crate::cli::{Failure, Report};
use crate::work::{Fact, Job, Logging, Work};
use bevelbook_core::record::{Bench, RecordId};
use serde_json::{Value, json};

/// How a record is known here: `#12` when this console's own journal holds it, else with its journal.
pub(crate) fn short(work: &Work, id: RecordId) -> Result<String, Failure> {
    let own = id.journal == work.own_journal()?;
    Ok(if own { format!("#{}", id.seq) } else { id.to_string() })
}

/// The answer to a fact that was logged: its record, what it says, `more` lines on it, and the next step.
pub(super) fn answer(work: &Work, logging: &Logging, more: &[String]) -> Result<Report, Failure> {
    let Logging { id, fact, before, after } = logging;
    let mut text = line(work, *id, fact, after)?;
    for line in more {
        text.push_str("\n  ");
        text.push_str(line);
    }
    let report = with_next(Report::new(text, fields(*id, fact, after)), after);
    Ok(unsigned(report, before))
}

/// Says that the job was signed off before this.
pub(super) fn unsigned(report: Report, before: &Job) -> Report {
    match &before.signed {
        Some(signed) => {
            let by = &signed.by;
            report.hint(format!("hint: {by} had signed this job off; inspect it and sign it again"))
        }
        None => report,
    }
}

/// One logged fact in a line.
pub(super) fn line(work: &Work, id: RecordId, fact: &Bench, job: &Job) -> Result<String, Failure> {
    let says = Fact::Bench(*fact).describe(job.order.frame.rim);
    Ok(format!("{} job {}: {says}", short(work, id)?, job.order.number))
}

/// One logged fact for programs.
pub(super) fn fields(id: RecordId, fact: &Bench, job: &Job) -> Value {
    let mut value = bench_fields(fact);
    value["record"] = identity(id);
    value["job"] = json!(job.order.number);
    value
}

/// Adds what comes next in `job`.
pub(super) fn with_next(mut report: Report, job: &Job) -> Report {
    report.text.push_str(&match &job.closed {
        Some(_) => format!("\njob {} is {}", job.order.number, job.standing()),
        None => format!("\nnext: {}", job.state.next()),
    });
    report.json["next"] = match job.closed {
        Some(_) => Value::Null,
        None => json!(job.state.next().to_string()),
    };
    report
}
