//! `record`: the facts of the bench, typed.
//!
//! - A fact is about the lens that the job is at for that eye; after a remake that is the new one.
//! - Every answer names its record (`#12` for one of this console's own journal, `journal:12` for another's), so
//!   that it can be voided, and the next expected step.
//! - JSON: `record` with `journal` and `seq` (`records`, a list, where one command wrote several), `job`, the
//!   fields of the fact with their units in their names, `next` (null once the job is closed).
//! - What a person should know beside the fact (nothing taken off, a cut in spite of STOP, a likely slip) is a
//!   hint on the error stream. A fact that is logged ends with status 0, good or bad: `inspect` judges.
//!
//! Files: `typed` what is typed · `answer` what is said to it · `pass` · `reading` · `measure` marks, PD,
//! girth · `made` how a lens, a pair is made · `check` · `undo` voids and notes.

mod answer;
mod check;
mod made;
mod measure;
mod pass;
mod reading;
mod typed;
mod undo;

pub(crate) use answer::{short, unsigned};

use super::shop::Shop;
use super::{Failure, Report};
use crate::work::Work;
use answer::{answer, fact, logged, with_next};

/// Records what was typed.
pub(crate) fn by_hand(shop: &Shop, command: RecordCommand) -> Result<Report, Failure> {
    let of_bench = command.is_of_the_bench();
    let report = run(&mut shop.open()?, command)?;
    Ok(if of_bench { shop.unsigned(report) } else { report })
}

impl RecordCommand {
    /// Whether a bench could say it, which nobody signs.
    const fn is_of_the_bench(&self) -> bool {
        !matches!(self, Self::Made(_) | Self::Segments(_) | Self::Note(_))
    }
}

commands! {
    pub(crate) enum RecordCommand, run(work: &mut Work) {
        Mark(args: measure::MarkArgs) => args.record(work),
        Pass(args: pass::PassArgs) => args.record(work),
        Reading(args: reading::ReadingArgs) => args.record(work),
        Pd(args: measure::PdArgs) => args.record(work),
        Made(args: made::MadeArgs) => args.record(work),
        Segments(args: made::SegmentsArgs) => args.record(work),
        Girth(args: measure::GirthArgs) => args.record(work),
        Check(args: check::CheckArgs) => args.record(work),
        Void(args: undo::VoidArgs) => args.record(work),
        Note(args: undo::NoteArgs) => args.record(work),
    }
}
