//! `record`: the facts of the bench, typed.
//!
//! - A fact is about the lens that the job is at for that eye; after a remake that is the new one.
//! - Every answer names its record (`#12` for one of this console's own journal, `journal:12` for another's), so
//!   that it can be voided, and the next expected step.
//! - JSON: `record` with `journal` and `seq` (`records`, a list, where one command wrote several), `job`, the
//!   fields of the fact with their units in their names, `next` (null once the job is closed).
//! - What a person should know beside the fact (nothing taken off, the guard insisted past, a likely slip) is a
//!   hint on the error stream. A fact that is logged ends with status 0, good or bad: `inspect` judges.
//!
//! Files: `typed` what is typed · `facts` a fact in JSON · `pass` · `reading` · `measure` marks, PD,
//! girth · `made`, `segments` how a lens, a pair is made · `check` · `undo` voids and notes.

mod check;
mod facts;
mod made;
mod measure;
mod pass;
mod reading;
mod segments;
mod typed;
mod undo;

use super::{Failure, Report, shop::Shop};
use crate::work::{Fact, Job, Logging, Work};
use bevelbook_core::record::{Bench, RecordId};
use clap::Subcommand;
use serde_json::{Value, json};

/// The facts that can be typed.
#[derive(Subcommand)]
pub(crate) enum RecordCommand {
    /// Log that a lens was lined up and its dots spotted.
    Mark(measure::MarkArgs),
    /// Log a sizing pass: what was dialled, and what the hand felt.
    Pass(pass::PassArgs),
    /// Log what the focimeter showed of a lens.
    Reading(reading::ReadingArgs),
    /// Log the measured PD of the pair, and its heights.
    Pd(measure::PdArgs),
    /// Log the tilt of a segment, or the centre thickness of a lens.
    Made(made::MadeArgs),
    /// Log the distance between the segments of a multifocal pair.
    Segments(segments::SegmentsArgs),
    /// Log the girth of a lens, or of its rim.
    Girth(measure::GirthArgs),
    /// Log that something was looked at, and was good or not.
    Check(check::CheckArgs),
    /// Undo a record: a later record says that it does not hold.
    Void(undo::VoidArgs),
    /// Put a remark on a job.
    Note(undo::NoteArgs),
}

pub(crate) fn run(shop: &Shop, command: RecordCommand) -> Result<Report, Failure> {
    let work = &mut shop.open()?;
    match command {
        RecordCommand::Mark(args) => args.record(work),
        RecordCommand::Pass(args) => args.record(work),
        RecordCommand::Reading(args) => args.record(work),
        RecordCommand::Pd(args) => args.record(work),
        RecordCommand::Made(args) => args.record(work),
        RecordCommand::Segments(args) => args.record(work),
        RecordCommand::Girth(args) => args.record(work),
        RecordCommand::Check(args) => args.record(work),
        RecordCommand::Void(args) => args.record(work),
        RecordCommand::Note(args) => args.record(work),
    }
}

/// How a record is known here: `#12` when this console's own journal holds it, else with its journal.
pub(crate) fn short(work: &Work, id: RecordId) -> Result<String, Failure> {
    let own = id.journal == work.own_journal()?;
    Ok(if own { format!("#{}", id.seq) } else { id.to_string() })
}

/// A record's identity for programs.
pub(crate) fn identity(id: RecordId) -> Value {
    json!({ "journal": id.journal.to_string(), "seq": id.seq })
}

/// The answer to a fact that was logged: its record, what it says, `more` lines on it, and the next step.
fn answer(work: &Work, logging: &Logging, more: &[String]) -> Result<Report, Failure> {
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
fn unsigned(report: Report, before: &Job) -> Report {
    match &before.signed {
        Some(signed) => {
            let by = &signed.by;
            report.hint(format!("hint: {by} had signed this job off; inspect it and sign it again"))
        }
        None => report,
    }
}

/// One logged fact in a line.
fn line(work: &Work, id: RecordId, fact: &Bench, job: &Job) -> Result<String, Failure> {
    let says = Fact::Bench(*fact).describe(job.order.frame.rim);
    Ok(format!("{} job {}: {says}", short(work, id)?, job.order.number))
}

/// One logged fact for programs.
fn fields(id: RecordId, fact: &Bench, job: &Job) -> Value {
    let mut value = facts::bench_fields(fact);
    value["record"] = identity(id);
    value["job"] = json!(job.order.number);
    value
}

/// Adds what comes next in `job`.
fn with_next(mut report: Report, job: &Job) -> Report {
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
