//! `station`: what its dial counts, what happened to it, how far it is off; and which there are.
//!
//! No convention of the trade fixes what a size is measured on, so the dial has no default: it is stated once, and
//! again when it changes. Each pass keeps what its figure counted at the time.

use super::record::short;
use super::{Failure, Report, answer, arguments, shop::Shop, stations};
use crate::advice::Course;
use crate::view::{DialView, Identity, Listing, StationRow, StationView};
use crate::work::Work;
use bevelbook_core::record::{Possible, StationEvent, StationId};
use bevelbook_core::sizing::{Basis, Counting, Dial};
use bevelbook_core::units::Length;
use clap::{ArgGroup, Args, Subcommand};

const BASES: &str = "\
What a figure is measured on differs between stations, and nothing fixes it:
  radius    from the centre to the edge
  diameter  across the lens: twice the radius
  girth     round the lens: 2π times the radius
So 0.10 mm of diameter is 0.05 mm of radius and 0.314 mm of girth.

A try shows which it is: cut a waste lens, measure its girth, dial 1 mm smaller, cut and measure again.
The girth has changed by about 6.28 mm when the dial counts radius, 3.14 mm when it counts diameter,
and 1 mm when it counts girth (for parallel curves, Steiner's formula).

Example: bevelbook station dial --basis diameter --absolute --step 0.05";

/// Say what the station's dial counts; show it, its wheel, and how far the station is off.
#[derive(Args)]
#[command(
    args_conflicts_with_subcommands = true,
    after_help = "A shop with one station gives it no name. With a second one each has a dial, a wheel and keypads of its own:\n  \
        bevelbook station name \"Edge 1\"\n  bevelbook station add \"Edge 2\"\n  bevelbook keypad move bench-2 \"Edge 2\"\n  \
        bevelbook station here \"Edge 1\"        what is typed at this console is of that one\n  \
        bevelbook station new-wheel --station \"Edge 2\""
)]
pub(crate) struct StationArgs {
    #[command(subcommand)]
    command: Option<StationCommand>,
    /// Show every station, a line each.
    #[arg(long)]
    all: bool,
}

#[derive(Subcommand)]
enum StationCommand {
    /// State what the dial counts.
    Dial(DialArgs),
    /// Log a new wheel.
    NewWheel,
    /// Log that the wheel was dressed, or the station recalibrated.
    Recalibrated,
    /// Name the station, or name it anew.
    Name(stations::NameArgs),
    /// Begin one more station.
    Add(stations::NameArgs),
    /// Say at which station this console stands: what is typed here is of that one.
    Here(stations::NameArgs),
}

/// State what the dial counts.
#[derive(Args)]
#[command(after_help = BASES, group(ArgGroup::new("counting").required(true).args(["absolute", "take_off_from"])))]
struct DialArgs {
    /// What its figures are measured on.
    #[arg(long, ignore_case = true, value_parser = arguments::named(&Basis::ALL))]
    basis: Basis,
    /// The figure is the size that is left: + to the trace.
    #[arg(long)]
    absolute: bool,
    /// The figure is what a pass takes off; MM is what a first cut with nothing taken off leaves over the traced
    /// shape.
    #[arg(long, value_name = "MM", value_parser = first_cut)]
    take_off_from: Option<Length>,
    /// Smallest step of the dial in millimetres, above 0 and at most 1.
    #[arg(long, value_name = "MM", value_parser = step)]
    step: Length,
}

fn step(text: &str) -> Result<Length, String> {
    arguments::bounded(text, Possible::STEP, "0.05")
}

fn first_cut(text: &str) -> Result<Length, String> {
    arguments::bounded(text, Possible::FIRST_CUT, "0.5")
}

pub(crate) fn run(shop: &Shop, args: &StationArgs) -> Result<Report, Failure> {
    let mut work = if args.command.is_some() { shop.begin()? } else { shop.look()? };
    let (event, name, says) = match &args.command {
        None => return work.at_one_moment(|| shown(&work, args.all)),
        Some(StationCommand::Name(args)) => return stations::name(&mut work, args),
        Some(StationCommand::Add(args)) => return stations::add(&mut work, args),
        Some(StationCommand::Here(args)) => return stations::here(&mut work, args),
        Some(StationCommand::Dial(args)) => {
            let counting = args.take_off_from.map_or(Counting::Absolute, |from| Counting::TakeOff { from });
            let dial = Dial { basis: args.basis, counting, step: args.step };
            (StationEvent::Dial(dial), "dial", DialView::of(dial).to_string())
        }
        Some(StationCommand::NewWheel) => {
            (StationEvent::NewWheel, "new-wheel", "the station has a new wheel".into())
        }
        Some(StationCommand::Recalibrated) => (
            StationEvent::Recalibrated,
            "recalibrated",
            "the wheel was dressed, the station recalibrated".into(),
        ),
    };
    let id = work.log_station(event)?;
    let (called, stations) = (short(&work, id)?, work.stations()?);
    let at = stations.told(stations.of_record(id));
    let told = at.map_or_else(String::new, |at| format!("{at}: "));
    let mut report =
        answer!("{called} {told}{says}"; record = Identity::of(id), kind = "station", event = name);
    if at.is_some() {
        report = report.with("station", at);
    }
    Ok(shop.unsigned(match event {
        StationEvent::Dial(dial) => report.with("dial", DialView::of(dial)),
        StationEvent::NewWheel => {
            report.hint("hint: a new wheel may change what is cut; try a waste lens and measure it")
        }
        StationEvent::Recalibrated => report,
    }))
}

/// The station that is here; every one where that is asked for, or it was not said which of several.
fn shown(work: &Work, all: bool) -> Result<Report, Failure> {
    work.ahead(|work| drop((work.stations(), Course::of(work, StationId::FIRST))))?;
    let stations = work.stations()?;
    let view = |station| -> Result<Option<StationView>, Failure> {
        let Some(dial) = work.dial(station)? else { return Ok(None) };
        Ok(Some(StationView::of(dial, Course::of(work, station)?, &stations, station)))
    };
    let Some(here) = work.here_if_said()?.filter(|_| !all) else {
        let row =
            |station| Ok(StationRow { station: stations.name(station).to_owned(), known: view(station)? });
        return Ok(Report::of(&Listing(stations.all().map(row).collect::<Result<_, Failure>>()?)));
    };
    Ok(view(here)?.map_or_else(
        || answer!("{}", stations.not_stated(here); dial = None::<DialView>),
        |view| Report::of(&view),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_is_above_zero_and_at_most_a_millimetre() {
        assert_eq!(step("0.05").map(Length::milli), Ok(50));
        assert_eq!(step("1").map(Length::milli), Ok(1000));
        for wrong in ["0", "-0.05", "1.001", "50", "small"] {
            assert!(step(wrong).is_err(), "{wrong}");
        }
    }
}
