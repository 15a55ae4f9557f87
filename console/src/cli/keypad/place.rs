//! `keypad move`: at which station a keypad stands.

use super::journal::find;
use crate::cli::{Failure, Report, answer, arguments, shop::Shop};
use bevelbook_core::link::plain;
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

pub(super) fn run(shop: &Shop, args: &MoveArgs) -> Result<Report, Failure> {
    let mut work = shop.open()?;
    let (journal, stations) = (find(&work, &args.keypad)?, work.stations()?);
    let station = stations.called(&args.to)?;
    let (_, placement) = work.stand(journal, station, args.from)?;
    let (at, from) = (stations.name(station), placement.from);
    let shown: String = plain(&format!("{} stands at {at} from its record {from} on", args.keypad)).collect();
    Ok(answer!("keypad {shown}"; keypad = journal.to_string(), station = at, from = from)
        .hint("hint: it is told the dial of that station as soon as it is connected"))
}
