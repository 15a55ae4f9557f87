//! `station`: what its dial counts, what happened to it, and how far it is off.
//!
//! No convention of the trade fixes what a size is measured on, so the dial has no default: it is stated once, and
//! again when it changes. Each pass keeps what its figure counted at the time.

use super::record::short;
use super::{Failure, Report, answer, arguments, shop::Shop};
use crate::advice::Course;
use crate::view::{DialView, Identity, StationView};
use crate::work::WorkError;
use bevelbook_core::record::{Possible, StationEvent};
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
pub(crate) struct StationArgs {
    #[command(subcommand)]
    command: Option<StationCommand>,
}

#[derive(Subcommand)]
enum StationCommand {
    /// State what the dial counts.
    Dial(DialArgs),
    /// Log a new wheel.
    NewWheel,
    /// Log that the wheel was dressed, or the station recalibrated.
    Recalibrated,
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
        None => {
            let Some(dial) = work.station()? else {
                return Ok(answer!("{}", WorkError::NoStation; dial = None::<DialView>));
            };
            return Ok(Report::of(&StationView::of(dial, Course::of(&work)?)));
        }
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
    let called = short(&work, id)?;
    let report = answer!("{called} {says}"; record = Identity::of(id), kind = "station", event = name);
    Ok(match event {
        StationEvent::Dial(dial) => report.with("dial", DialView::of(dial)),
        StationEvent::NewWheel => {
            report.hint("hint: a new wheel may change what is cut; try a waste lens and measure it")
        }
        StationEvent::Recalibrated => report,
    })
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
