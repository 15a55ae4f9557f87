//! `keypad move`: at which station a keypad stands.

use super::journal::find;
use crate::cli::{Failure, Report, answer, arguments, shop::Shop};
use crate::shell::word;
use crate::work::Held;
use bevelbook_core::link::plain;
use bevelbook_keypad::memory::MOST_JOURNAL;
use clap::Args;

/// Say at which station a keypad stands from now on.
#[derive(Args)]
#[command(after_help = "Example: bevelbook keypad move bench \"Edge 2\"\n\n\
    What it logged before keeps its figures and its station. What it still holds from there goes with it: let it come in \
    first, or say with --from from which of its records on it stood at the new one.")]
pub(crate) struct MoveArgs {
    /// The keypad's name, or its log id as `keypad list` shows it.
    keypad: String,
    /// The station.
    #[arg(value_name = "STATION", value_parser = arguments::filled)]
    to: String,
    /// The number of the first record that it logged there, instead of the next one that comes in.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    from: Option<u32>,
}

/// Why no record that a keypad logged can have that number.
fn too_far(from: u32, last: Option<u32>, keypad: &str) -> String {
    let known = last.map_or("nothing of it is in the book yet".to_owned(), |last| {
        format!("the book has its records up to {last}")
    });
    format!(
        "{keypad} has no record {from}: {known}, and it holds at most {MOST_JOURNAL} more; `bevelbook keypad log {}` \
         lists them with their numbers. Nothing was recorded; without --from it stands there from the next one that comes in",
        word(keypad)
    )
}

pub(super) fn run(shop: &Shop, args: &MoveArgs) -> Result<Report, Failure> {
    let mut work = shop.open()?;
    let (journal, stations) = (find(&work, &args.keypad)?, work.stations()?);
    let station = stations.called(&args.to)?;
    let Held { last, .. } = work.journal(journal)?;
    let before = stations.name(work.station_of(journal)?).to_owned();
    let next = last.map_or(1, |last| last.saturating_add(1));
    if let Some(from) = args.from.filter(|from| from.saturating_sub(next) > MOST_JOURNAL.into()) {
        return Err(Failure::Use(too_far(from, last, &args.keypad)));
    }
    let (_, placement) = work.stand(journal, station, args.from)?;
    let (at, from) = (stations.name(station), placement.from);
    let held = (next < from).then(|| {
        let upto = from - 1;
        format!("hint: records {next} to {upto} that it still holds are of {before}, where it stood when it logged them")
    });
    let moved = last.filter(|last| from <= *last).map(|last| {
        format!("hint: records {from} to {last}, which are in the book already, are of {at} now")
    });
    let shown: String = plain(&format!("{} stands at {at} from its record {from} on", args.keypad)).collect();
    Ok(answer!("keypad {shown}"; keypad = journal.to_string(), station = at, from = from)
        .hints(held.or(moved))
        .hint("hint: it is told the dial of that station as soon as it is connected"))
}
