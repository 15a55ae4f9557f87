//! `bench`: the console beside the keypad.

mod attend;
mod lines;

use super::book::last;
use super::edge::tell;
use super::{Failure, Report, keypad, ports, shop::Shop, stop::stop_on_signals};
use crate::keypad::{Bench, Clock, Software, pipe};
use attend::attend;
use clap::Args;
use lines::Lines;
use std::io::{self, IsTerminal};
use std::path::PathBuf;
use std::sync::atomic::AtomicBool;

const HELP: &str = "\
With one serial port over USB plugged in it is used, or the first that comes; with several, name the one to use.

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
    /// Adopt a keypad that is not this shop's yet without asking.
    #[arg(long)]
    yes: bool,
    /// Plain lines, also in a terminal.
    #[arg(long)]
    plain: bool,
}

pub(crate) fn run(shop: &Shop, args: &BenchArgs, json: bool) -> Result<Report, Failure> {
    let stop = stop_on_signals()?;
    let work = shop.begin()?;
    tell(&last(work.path()).0);
    let taken = work.keypads()?.into_iter().map(|keypad| keypad.name).collect();
    let lines = Lines { json, yes: args.yes, taken };
    if args.port.as_deref() == Some("software") {
        let keypad = keypad::start(shop, args.memory.as_deref(), "software", None)?;
        let bench = Bench::new(work, Clock::start().now())?;
        if !args.plain && !json && io::stdout().is_terminal() && io::stdin().is_terminal() {
            return keypad::beside(keypad, bench, args.yes, &lines.taken, stop);
        }
        return in_process(bench, keypad, &lines, stop);
    }
    if args.memory.is_some() {
        return Err(Failure::Use("--memory is the software keypad's: give --port software too".into()));
    }
    let mut chosen = ports::choose(args.port.as_deref())?;
    let mut bench = Bench::new(work, Clock::start().now())?;
    attend(&mut bench, &mut chosen, &lines, stop)?;
    Ok(Report::default())
}

/// A keypad in this process, its keys pressed by the lines of the standard input.
fn in_process(
    mut bench: Bench,
    keypad: Software,
    lines: &Lines,
    stop: &AtomicBool,
) -> Result<Report, Failure> {
    let (mut near, mut far) = pipe();
    let clock = Clock::start();
    keypad::scripted(keypad, stop, |keypad| {
        // A pipe in this process does not fail.
        let moved = keypad.pump(&mut near).unwrap_or(false);
        let moved = bench.turn(&mut far, clock.now()).unwrap_or(false) || moved;
        lines.look_after(&mut bench, clock).map_or(Ok(Some(moved)), |ended| ended.map(|()| None))
    })
}
