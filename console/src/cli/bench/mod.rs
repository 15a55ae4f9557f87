//! `bench`: the console beside the keypad.

mod attend;
mod lines;

use super::{Failure, Report, keypad, ports, shop::Shop, stop::stop_on_signals};
use crate::keypad::{Bench, Clock, Script, Software, Turn, pipe};
use attend::attend;
use clap::Args;
use lines::Lines;
use std::io::{self, IsTerminal};
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

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
    let work = shop.open()?;
    let taken = work.keypads()?.into_iter().map(|keypad| keypad.name).collect();
    let lines = Lines { json, yes: args.yes, taken };
    if args.port.as_deref() == Some("software") {
        let keypad = keypad::start(shop, args.memory.as_deref(), "software", None)?;
        let bench = Bench::new(work, Clock::start().now())?;
        if !args.plain && !json && io::stdout().is_terminal() && io::stdin().is_terminal() {
            return keypad::screen(keypad, Some((bench, args.yes, lines.taken)), stop);
        }
        in_process(bench, keypad, &lines, stop)?;
        return Ok(Report::default());
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
    mut keypad: Software,
    lines: &Lines,
    stop: &AtomicBool,
) -> Result<(), Failure> {
    let (mut near, mut far) = pipe();
    let mut script = Script::read(io::BufReader::new(io::stdin()));
    let clock = Clock::start();
    while !stop.load(Ordering::Relaxed) {
        let turn = script.turn(&mut keypad, &mut io::stdout());
        if turn == Turn::Quit {
            break;
        }
        // A pipe in this process does not fail.
        let moved = keypad.pump(&mut near).unwrap_or(false);
        let moved = bench.turn(&mut far, clock.now()).unwrap_or(false) || moved;
        if let Some(ended) = lines.look_after(&mut bench, clock) {
            return ended;
        }
        if !moved && turn == Turn::Idle {
            std::thread::sleep(Duration::from_millis(5));
        }
    }
    Ok(())
}
