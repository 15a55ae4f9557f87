//! `bench`: the console beside the keypad.

mod at_port;
mod attend;
mod beside;
mod lines;
mod offered;
mod screen;

use super::book::last;
use super::edge::tell;
use super::{Failure, Report, keypad, last_port, ports, shop::Shop, stop::stop_on_signals};
use crate::keypad::{Bench, Clock, Shelf};
use at_port::AtPort;
use attend::{attend, attend_beside};
use beside::Beside;
use clap::Args;
use lines::Lines;
use screen::{Here, Screen};
use std::io::{self, IsTerminal};
use std::path::PathBuf;

const HELP: &str = "\
With one serial port over USB plugged in it is used, or the first that comes; of several the one that was used last, or \
the one that you choose. The last one is kept in last-port.toml beside the settings.

In a terminal this is a full screen: the pair in hand, its sizes, passes and readings, and what comes in; ? tells the keys. \
With --plain, and where the output goes elsewhere, it is a line for everything that happens.

Examples:
  bevelbook bench
  bevelbook bench --port /dev/ttyACM0
  bevelbook bench --port software";

/// Take in what the keypad logs, and keep the open jobs on it.
#[derive(Args)]
#[command(after_help = HELP)]
pub(crate) struct BenchArgs {
    /// The serial port of the keypad, or `software` for a keypad in this terminal.
    #[arg(long, value_name = "PATH|software")]
    port: Option<String>,
    /// The memory file of the software keypad, instead of keypad.mem beside the book.
    #[arg(long, value_name = "FILE")]
    memory: Option<PathBuf>,
    /// Add a keypad that is not this shop's yet without asking.
    #[arg(long)]
    yes: bool,
    /// Plain lines, also in a terminal.
    #[arg(long)]
    plain: bool,
}

pub(crate) fn run(shop: &Shop, args: &BenchArgs, json: bool) -> Result<Report, Failure> {
    let stop = stop_on_signals()?;
    let clock = Clock::start();
    let book = shop.begin_or_wait(clock.now())?;
    book.book().iter().for_each(|work| tell(&last(work.place()).0));
    let place = book.place().clone();
    let in_terminal = io::stdout().is_terminal() && io::stdin().is_terminal();
    let draws = std::env::var_os("TERM").is_none_or(|term| term != "dumb");
    let whole_screen = in_terminal && draws && !args.plain && !json;
    let lines = Lines { json, yes: args.yes };
    let here = |book| -> Result<Here, Failure> {
        let keypad = keypad::start(shop, args.memory.as_deref(), "software", None, None)?;
        let (beside, line) = Beside::new(Bench::at(book, clock.now())?);
        Ok(Here { keypad, line, beside })
    };
    let start = || here(Shelf::at(place.clone()));
    if args.port.as_deref() == Some("software") {
        let here = here(book)?;
        return match whole_screen {
            true => Screen::new(None, Some(here), &start, place.clone(), args.yes, clock)?.run(stop),
            false => attend_beside(here, &lines, clock, stop),
        };
    }
    if args.memory.is_some() {
        return Err(Failure::Use("--memory is the software keypad's: give --port software too".into()));
    }
    let chosen = ports::choose(args.port.as_deref(), shop.settings_path()?.with_file_name(last_port::NAME))?;
    let at = AtPort::new(Bench::at(book, clock.now())?, chosen);
    match whole_screen {
        true => Screen::new(Some(at), None, &start, place.clone(), args.yes, clock)?.run(stop),
        false => attend(at, &lines, clock, stop),
    }
}
