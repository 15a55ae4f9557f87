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
//! Files: `typed` what is typed · `answer` what is said to it · `pass` · `reading` · `measure` marks, PD,
//! girth · `made`, `segments` how a lens, a pair is made · `check` · `undo` voids and notes.

mod answer;
mod check;
mod made;
mod measure;
mod pass;
mod reading;
mod segments;
mod typed;
mod undo;

pub(crate) use answer::short;

use super::{Failure, Report, shop::Shop};
use answer::{answer, fact, logged, unsigned, with_next};
use clap::Subcommand;

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
