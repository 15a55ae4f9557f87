//! `keypad software`: a keypad in a terminal, or driven by lines of text.

use super::screen;
use crate::cli::edge;
use crate::cli::stop::{Output, stop_on_signals};
use crate::cli::{Failure, Report, arguments, shop::Shop};
use crate::keypad::{Script, Software, Turn};
use crate::work::Place;
use bevelbook_core::record::Clock;
use clap::Args;
use jiff::Timestamp;
use std::fs::create_dir_all;
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

const HELP: &str = "\
In a terminal: arrows and Enter are the keys, Shift with an arrow (or U D L R C) holds them, q ends.
Otherwise lines on the standard input press the keys: up, down, left, right, centre, hold KEY, wait MS;
screen, saved and unsynced are answered on the standard output; quit ends, and so does the end of the lines.

With --pty the first line is the path of a serial port for `bevelbook bench --port PATH`.";

/// Run a keypad in this terminal, or for another program to press its keys.
#[derive(Args)]
#[command(after_help = HELP)]
pub(crate) struct SoftwareArgs {
    /// Its memory file, instead of keypad.mem beside the book.
    #[arg(long, value_name = "FILE")]
    memory: Option<PathBuf>,
    /// Open a serial port made of software, and print its path.
    #[arg(long)]
    pty: bool,
    /// What it calls itself until the console has a name for it, at most 16 letters.
    #[arg(long, default_value = "software", value_parser = arguments::filled)]
    name: String,
    /// Give it a clock of its own, which says so as it is started: `now`, a time like 2026-11-28T20:56Z, or `stopped`.
    #[arg(long, value_name = "TIME", value_parser = clock)]
    clock: Option<Clock>,
    /// Abort in the middle of a page write, as if power were cut; for tests.
    #[arg(long, hide = true, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    cut_after_writes: Option<u32>,
}

/// What a clock says.
fn clock(text: &str) -> Result<Clock, String> {
    let at: Timestamp = match text {
        "stopped" => return Ok(Clock { utc_s: None }),
        "now" => Timestamp::now(),
        time => time.parse().map_err(|_| "write `now`, `stopped`, or a time like 2026-11-28T20:56Z")?,
    };
    let utc_s = u32::try_from(at.as_second()).map_err(|_| "a clock tells times from 1970 to 2106")?;
    Ok(Clock { utc_s: Some(utc_s) })
}

/// The keypad on the memory file that was given, or on `keypad.mem` beside the book.
pub(in crate::cli) fn start(
    shop: &Shop,
    memory: Option<&Path>,
    name: &str,
    clock: Option<Clock>,
    cut_after_writes: Option<u32>,
) -> Result<Software, Failure> {
    let memory: PathBuf = match memory {
        Some(path) => path.into(),
        None => {
            let place = shop.place()?;
            let folder = place.folder();
            // Of a file's book it is there, or was mistyped.
            if let Place::Server(_) = place {
                create_dir_all(&folder).map_err(|error| {
                    Failure::fault(format!("cannot make the folder {}: {error}", folder.display()))
                })?;
            }
            folder.join("keypad.mem")
        }
    };
    Software::start(&memory, name, clock, cut_after_writes).map_err(Failure::fault)
}

pub(super) fn run(shop: &Shop, args: &SoftwareArgs) -> Result<Report, Failure> {
    let stop = stop_on_signals()?;
    let keypad = start(shop, args.memory.as_deref(), &args.name, args.clock, args.cut_after_writes)?;
    if let Some(found) = keypad.found() {
        edge::tell(found);
    }
    if args.pty {
        return on_pty(keypad, stop);
    }
    if io::stdin().is_terminal() && io::stdout().is_terminal() {
        return screen::show(keypad, "software keypad, no console", stop, |_| Ok(()));
    }
    scripted(keypad, stop, |_| Ok(Some(false)))
}

#[cfg(unix)]
fn on_pty(keypad: Software, stop: &AtomicBool) -> Result<Report, Failure> {
    let failed = |error: io::Error| Failure::Fault(format!("the pseudo-terminal failed: {error}"));
    let mut pty = crate::keypad::Pty::open().map_err(failed)?;
    let path = pty.path().display().to_string();
    writeln!(Output, "{path}").and_then(|()| Output.flush()).map_err(failed)?;
    if io::stdin().is_terminal() && io::stdout().is_terminal() {
        let pump = |keypad: &mut Software| keypad.pump(&mut pty).map(drop);
        return screen::show(keypad, &format!("port {path}"), stop, pump);
    }
    scripted(keypad, stop, |keypad| keypad.pump(&mut pty).map(Some).map_err(failed))
}

#[cfg(not(unix))]
fn on_pty(_: Software, _: &AtomicBool) -> Result<Report, Failure> {
    Err(Failure::Use("this system has no pseudo-terminals; use `bevelbook bench --port software`".into()))
}

/// How long what the last lines saved may be on its way to a console.
const ON_ITS_WAY: Duration = Duration::from_millis(500);

/// Lines of text press the keys, until one says quit or they end. `turn` moves the keypad's bytes and says whether any
/// moved, or that this is the end.
pub(in crate::cli) fn scripted(
    mut keypad: Software,
    stop: &AtomicBool,
    mut turn: impl FnMut(&mut Software) -> Result<Option<bool>, Failure>,
) -> Result<Report, Failure> {
    let mut script = Script::read(io::BufReader::new(io::stdin()));
    let mut ended = None;
    while !stop.load(Ordering::Relaxed) {
        let pressed = script.turn(&mut keypad, &mut Output);
        if pressed == Turn::Quit {
            break;
        }
        let Some(moved) = turn(&mut keypad)? else { break };
        let mut done =
            || keypad.unsynced() == 0 || ended.get_or_insert_with(Instant::now).elapsed() > ON_ITS_WAY;
        if pressed == Turn::Ended && !moved && done() {
            break;
        }
        if !moved && pressed != Turn::Done {
            std::thread::sleep(Duration::from_millis(5));
        }
    }
    Ok(Report::default())
}
