//! `station`: what its dial counts, and what happened to it.
//!
//! No convention of the trade fixes what a size is measured on, so the dial has no default: it is stated once, and
//! again when it changes. Each pass keeps what its figure counted at the time.

use super::arguments::{self, pointed};
use super::record::{dial_fields, identity, short};
use super::{Failure, Report, shop::Shop};
use crate::work::{Work, WorkError, dial_words};
use bevelbook_core::record::StationEvent;
use bevelbook_core::sizing::{Basis, Counting, Dial, Size};
use bevelbook_core::units::{Length, TextError};
use clap::{ArgGroup, Args, Subcommand, ValueEnum};
use serde_json::{Value, json};

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

/// Say what the station's dial counts, or show it.
#[derive(Args)]
pub(crate) struct StationArgs {
    #[command(subcommand)]
    command: Option<StationCommand>,
}

#[derive(Subcommand)]
enum StationCommand {
    /// State what the dial counts.
    Dial(DialArgs),
    /// Log that the wheel was renewed.
    NewWheel,
    /// Log that the station was recalibrated.
    Recalibrated,
}

/// State what the dial counts.
#[derive(Args)]
#[command(after_help = BASES, group(ArgGroup::new("counting").required(true).args(["absolute", "take_off_from"])))]
struct DialArgs {
    /// What its figures are measured on.
    #[arg(long, ignore_case = true)]
    basis: On,
    /// The figure is the size that is left, as an offset from the traced shape.
    #[arg(long)]
    absolute: bool,
    /// The figure is what a pass takes off; MM is what a first cut with nothing taken off leaves over the traced
    /// shape.
    #[arg(long, value_name = "MM", value_parser = arguments::extra)]
    take_off_from: Option<Length>,
    /// Smallest step of the dial in millimetres, above 0 and at most 1.
    #[arg(long, value_name = "MM", value_parser = step)]
    step: Length,
}

/// What a size is measured on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum On {
    /// From the centre to the edge.
    Radius,
    /// Across the lens.
    Diameter,
    /// Round the lens.
    Girth,
}

impl On {
    const fn basis(self) -> Basis {
        match self {
            Self::Radius => Basis::Radius,
            Self::Diameter => Basis::Diameter,
            Self::Girth => Basis::Girth,
        }
    }
}

fn step(text: &str) -> Result<Length, String> {
    let wrong =
        TextError { start: 0, end: text.len(), expected: "a step above 0 and at most 1 mm", example: "0.05" };
    let within = |step: &Length| (1..=1000).contains(&step.milli());
    let read = Length::parse(text).and_then(|step| Some(step).filter(within).ok_or(wrong));
    read.map_err(|error| pointed(text, &error))
}

pub(crate) fn run(shop: &Shop, args: &StationArgs) -> Result<Report, Failure> {
    let mut work = shop.open()?;
    match &args.command {
        None => show(&work),
        Some(StationCommand::Dial(args)) => {
            let counting = args.take_off_from.map_or(Counting::Absolute, |from| Counting::TakeOff { from });
            let dial = Dial { basis: args.basis.basis(), counting, step: args.step };
            let (id, mut json) = log(&mut work, StationEvent::Dial(dial))?;
            json["dial"] = dial_fields(&dial);
            Ok(Report::new(format!("{id} {}", dial_text(&dial)), json))
        }
        Some(StationCommand::NewWheel) => {
            let (id, json) = log(&mut work, StationEvent::NewWheel)?;
            let hint = "hint: a new wheel may change what is cut; try a waste lens and measure it";
            Ok(Report::new(format!("{id} the station has a new wheel"), json).hint(hint))
        }
        Some(StationCommand::Recalibrated) => {
            let (id, json) = log(&mut work, StationEvent::Recalibrated)?;
            Ok(Report::new(format!("{id} the station was recalibrated"), json))
        }
    }
}

fn log(work: &mut Work, event: StationEvent) -> Result<(String, Value), Failure> {
    let id = work.log_station(event)?;
    let name = match event {
        StationEvent::Dial(_) => "dial",
        StationEvent::NewWheel => "new-wheel",
        StationEvent::Recalibrated => "recalibrated",
    };
    Ok((short(work, id)?, json!({ "record": identity(id), "kind": "station", "event": name })))
}

fn show(work: &Work) -> Result<Report, Failure> {
    Ok(match work.station()? {
        Some(dial) => Report::new(dial_text(&dial), json!({ "dial": dial_fields(&dial) })),
        None => Report::new(WorkError::NoStation.to_string(), json!({ "dial": null })),
    })
}

fn dial_text(dial: &Dial) -> String {
    let step = Size { basis: dial.basis, offset: dial.step };
    let [radius, diameter, girth] =
        [Basis::Radius, Basis::Diameter, Basis::Girth].map(|basis| step.on(basis));
    format!(
        "{}\n  one step is {radius} mm of radius, {diameter} mm of diameter, {girth} mm of girth",
        dial_words(dial)
    )
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

    #[test]
    fn one_step_is_shown_on_every_basis() {
        let dial =
            Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(100) };
        let text = dial_text(&dial);
        assert!(text.ends_with("0.05 mm of radius, 0.1 mm of diameter, 0.314 mm of girth"), "{text}");
    }
}
