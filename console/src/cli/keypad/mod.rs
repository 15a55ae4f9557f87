//! `keypad`: which keypads are this shop's, what they logged, and one made of software.

mod add;
mod journal;
mod keys;
mod log;
mod place;
mod screen;
mod software;

pub(super) use keys::{Meant, meant};
pub(super) use software::{scripted, start};

use super::{Failure, Report, shop::Shop};
use crate::desk::Adoption;
use crate::keypad::seen;
use crate::view::{Keypad, Keypads, MissingNumbers, PluggedIn};
use crate::work::{Held, Work};
use clap::Subcommand;

#[derive(Subcommand)]
pub(crate) enum KeypadCommand {
    /// Run a keypad in this terminal, or for another program to press its keys.
    Software(software::SoftwareArgs),
    /// List this shop's keypads, and the serial ports that are plugged in.
    List,
    /// Make a keypad this shop's; only then are its records taken in.
    #[command(alias = "adopt")]
    Add(add::AddArgs),
    /// Say at which station a keypad stands from now on.
    Move(place::MoveArgs),
    /// Show what a keypad logged, in its own order.
    Log {
        /// The keypad's name, or its log id as `keypad list` shows it.
        keypad: String,
    },
}

pub(crate) fn run(shop: &Shop, command: &KeypadCommand) -> Result<Report, Failure> {
    match command {
        KeypadCommand::Software(args) => software::run(shop, args),
        KeypadCommand::List => list(&shop.look()?),
        KeypadCommand::Add(args) => add::run(shop, args),
        KeypadCommand::Move(args) => place::run(shop, args),
        KeypadCommand::Log { keypad } => log::run(&shop.look()?, keypad),
    }
}

fn list(work: &Work) -> Result<Report, Failure> {
    let stations = work.stations()?;
    let row = |Adoption { journal, name, .. }| -> Result<Keypad, Failure> {
        let Held { last, gaps, .. } = work.journal(journal)?;
        let gaps = gaps.into_iter().map(MissingNumbers::from).collect();
        let station = stations.told(work.station_of(journal)?).map(str::to_owned);
        Ok(Keypad { keypad: name, journal: journal.to_string(), station, last, gaps })
    };
    let keypads = work.keypads()?.into_iter().map(row).collect::<Result<Vec<_>, _>>()?;
    let hint = "no keypad is this shop's yet; `bevelbook bench` asks when it finds one";
    let none = keypads.is_empty().then(|| hint.into());
    let ports = seen().into_iter().map(|port| PluggedIn { port: port.path, what: port.what }).collect();
    Ok(Report::of(&Keypads { keypads, ports }).hints(none))
}
