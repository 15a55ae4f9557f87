//! `book conflicts`: what arrived under a number already taken, and which record counts.

use crate::cli::{Failure, Report, answer, shop::Shop};
use crate::desk::Keep;
use crate::view::{Differing, Identity, Listing};
use crate::work::{Conflict, Work};
use clap::{Args, Subcommand};

const HELP: &str = "\
Two different records under one number come of a keypad whose memory was put back, or of two keypads with one journal.
Nothing beyond the number is acknowledged to that keypad until it is decided which of the two counts:
  book      the one in the book; the other is set aside for good
  arrived   the other; the one in the book is voided, and the console logs the other as a record of its own
Both stay in the book.

Examples:
  bevelbook book conflicts
  bevelbook book conflicts settle b0a4d00000000001:12 --keep book";

/// List what arrived under a number already taken, or decide which record counts.
#[derive(Args)]
#[command(after_help = HELP)]
pub(crate) struct ConflictsArgs {
    #[command(subcommand)]
    command: Option<ConflictsCommand>,
}

#[derive(Subcommand)]
enum ConflictsCommand {
    /// Decide which of the two counts.
    Settle {
        /// The number that both have, as the list shows it.
        #[arg(value_name = "LOG:NUMBER")]
        record: String,
        /// Which of the two counts.
        #[arg(long)]
        keep: Keep,
    },
}

pub(super) fn run(shop: &Shop, args: &ConflictsArgs) -> Result<Report, Failure> {
    match &args.command {
        None => list(&shop.look()?),
        Some(ConflictsCommand::Settle { record, keep }) => settle(&mut shop.open()?, record, *keep),
    }
}

fn list(work: &Work) -> Result<Report, Failure> {
    let conflicts = work.conflicts()?;
    let none = conflicts.is_empty().then(|| "nothing arrived under a number already taken".into());
    let open = conflicts.iter().any(|conflict| conflict.settled.is_none());
    let keypads = work.keypads()?;
    let row = |conflict: &Conflict| {
        let journal = conflict.book.id.journal;
        let keypad =
            keypads.iter().find(|keypad| keypad.journal == journal).map(|keypad| keypad.name.clone());
        let job = conflict.book.job.or(conflict.arrived.job).and_then(|id| work.job(id).ok());
        Differing::of(conflict, keypad, job.map(|job| (job.order.number, job.order.frame.rim)))
    };
    let mut report = Report::of(&Listing(conflicts.iter().map(row).collect::<Vec<_>>())).hints(none);
    report.not_within = open;
    Ok(report)
}

fn settle(work: &mut Work, record: &str, keep: Keep) -> Result<Report, Failure> {
    let id = work.find_record(record)?;
    work.settle(id, keep)?;
    let says = match keep {
        Keep::Book => "the one in the book counts",
        Keep::Arrived => "the one that arrived counts: the console logged it, and voided the one in the book",
    };
    Ok(answer!("record {id}: {says}"; record = Identity::of(id), keep = keep))
}
