//! `bench`: the console beside the keypad.

use super::{Failure, Report, shop::Shop};
use crate::keypad::{
    Bench, Clock, Ended, Note, Port, PortError, Script, Seen, Software, Turn, Watcher, attend, look_after,
    pipe, seen,
};
use crate::work::Work;
use bevelbook_core::link::{HelloAck, printable};
use clap::Args;
use std::io::{self, BufRead, IsTerminal, Write};
use std::path::{Path, PathBuf};
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

/// Set by Ctrl-C, or by a signal that asks to end.
static STOP: AtomicBool = AtomicBool::new(false);

/// Has [`STOP`] set instead of the program ended.
pub(super) fn stop_on_signals() -> Result<&'static AtomicBool, Failure> {
    let handler = || STOP.store(true, Ordering::Relaxed);
    ctrlc::set_handler(handler).map_err(|e| Failure::Fault(format!("cannot listen for Ctrl-C: {e}")))?;
    Ok(&STOP)
}

pub(crate) fn run(shop: &Shop, args: &BenchArgs, json: bool) -> Result<Report, Failure> {
    let stop = stop_on_signals()?;
    let work = shop.open()?;
    let mut watcher = Lines { json, yes: args.yes, taken: taken(&work)? };
    if args.port.as_deref() == Some("software") {
        let memory = super::keypad::memory_path(shop, args.memory.as_deref())?;
        let keypad = Software::start(&memory, "software", None).map_err(|e| super::keypad::fault(&e))?;
        let bench = Bench::new(work, Clock::start().now())?;
        if !args.plain && !json && io::stdout().is_terminal() && io::stdin().is_terminal() {
            return super::keypad::screen(keypad, Some((bench, args.yes, watcher.taken)), stop);
        }
        return ended(in_process(bench, keypad, &mut watcher, stop));
    }
    if args.memory.is_some() {
        return Err(Failure::Use("--memory is the software keypad's: give --port software too".into()));
    }
    let mut chosen = choose(args.port.as_deref())?;
    let mut bench = Bench::new(work, Clock::start().now())?;
    ended(attend(&mut bench, &mut || chosen.open(), &mut watcher, stop))
}

/// The names of the keypads that the shop has.
fn taken(work: &Work) -> Result<Vec<String>, Failure> {
    Ok(work.keypads()?.into_iter().map(|keypad| keypad.name).collect())
}

/// What the end of a run is for the program.
pub(super) fn ended(ended: Ended) -> Result<Report, Failure> {
    match ended {
        Ended::Stopped | Ended::Unwatched => Ok(Report::default()),
        Ended::NotAdopted(keypad) => Err(Failure::Use(format!(
            "this keypad is not adopted, and nothing was taken in; adopt it with\n  bevelbook keypad adopt {} --name bench",
            keypad.journal
        ))),
        Ended::Port(error) => Err(port_failure(&error)),
    }
}

pub(super) fn port_failure(error: &PortError) -> Failure {
    match error {
        PortError::Missing { .. } => Failure::NotFound(format!("{error}{}", listed(&seen()))),
        error => Failure::Fault(error.to_string()),
    }
}

/// The ports there are, for the end of a message.
pub(super) fn listed(ports: &[Seen]) -> String {
    if ports.is_empty() {
        return "; no serial port is plugged in".into();
    }
    let lines = ports.iter().map(|port| format!("\n  {}  {}", port.path, port.what).trim_end().to_owned());
    format!("; these are plugged in:{}", lines.collect::<String>())
}

/// The ports that are taken without being named: a port that is not over USB may have anything on it, or nothing.
fn keypads() -> Vec<Seen> {
    seen().into_iter().filter(|port| port.usb).collect()
}

/// Which port is meant, also after it was unplugged.
struct Chosen {
    /// The path that was given, or the one that was used last.
    path: Option<PathBuf>,
    given: bool,
}

fn choose(port: Option<&str>) -> Result<Chosen, Failure> {
    if let Some(path) = port.map(PathBuf::from) {
        if !path.exists() {
            return Err(port_failure(&PortError::Missing { path }));
        }
        return Ok(Chosen { path: Some(path), given: true });
    }
    let ports = keypads();
    if let [first, _, ..] = ports.as_slice() {
        return Err(Failure::Use(format!(
            "more than one port may be the keypad's{}\nname one, for example: bevelbook bench --port {}",
            listed(&ports),
            first.path
        )));
    }
    Ok(Chosen { path: ports.first().map(|port| port.path.clone().into()), given: false })
}

impl Chosen {
    fn open(&mut self) -> Result<Port, PortError> {
        if !self.given && !self.path.as_ref().is_some_and(|path| path.exists()) {
            // A keypad that is plugged in again may get another name.
            let ports = keypads();
            if let [port] = ports.as_slice() {
                self.path = Some(port.path.clone().into());
            }
        }
        Port::open(self.path.as_deref().unwrap_or_else(|| Path::new("for a keypad")))
    }
}

/// A keypad in this process, its keys pressed by the lines of the standard input.
fn in_process(mut bench: Bench, mut keypad: Software, watcher: &mut Lines, stop: &AtomicBool) -> Ended {
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
        if let Some(ended) = look_after(&mut bench, clock, watcher) {
            return ended;
        }
        if !moved && turn == Turn::Idle {
            std::thread::sleep(Duration::from_millis(5));
        }
    }
    Ended::Stopped
}

/// Shows what happens as lines.
struct Lines {
    json: bool,
    yes: bool,
    /// Names that keypads have already.
    taken: Vec<String>,
}

impl Watcher for Lines {
    fn show(&mut self, note: &Note) -> io::Result<()> {
        let mut out = io::stdout();
        if self.json {
            writeln!(out, "{}", note.json())?;
        } else {
            writeln!(out, "{note}")?;
        }
        out.flush()
    }

    fn adopt(&mut self, keypad: &HelloAck) -> Option<String> {
        let name = new_name(keypad, &self.taken);
        let yes = self.yes || ask(&format!("adopt it as `{name}`? [y/N] "));
        yes.then_some(name)
    }
}

/// What a keypad calls itself; with a number behind it when another one is called that.
pub(super) fn new_name(keypad: &HelloAck, taken: &[String]) -> String {
    let shown = printable(&keypad.name);
    let own = if shown.trim().is_empty() { "keypad" } else { shown.trim() };
    let numbered = (2..).map(|number| format!("{own}-{number}"));
    std::iter::once(own.to_owned()).chain(numbered).find(|name| !taken.contains(name)).unwrap_or_default()
}

/// Asks a question whose answer is no unless it is yes; no without a person to ask.
pub(super) fn ask(question: &str) -> bool {
    let (input, mut err) = (io::stdin(), io::stderr());
    if !(input.is_terminal() && err.is_terminal()) {
        return false;
    }
    let mut answer = String::new();
    let asked = write!(err, "{question}").and_then(|()| err.flush());
    asked.and_then(|()| input.lock().read_line(&mut answer)).is_ok() && is_yes(&answer)
}

fn is_yes(answer: &str) -> bool {
    matches!(answer.trim().to_lowercase().as_str(), "y" | "yes")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_yes_is_yes() {
        assert!(is_yes("y\n") && is_yes(" YES "));
        assert!(!is_yes("") && !is_yes("n") && !is_yes("yonder"));
    }

    #[test]
    fn several_ports_are_listed_with_what_they_say_of_themselves() {
        let port = |path: &str, what: &str| Seen { path: path.into(), what: what.into(), usb: true };
        let ports = [port("/dev/ttyACM0", "USB 1209:0001 keypad"), port("/dev/ttyS0", "")];
        assert_eq!(
            listed(&ports),
            "; these are plugged in:\n  /dev/ttyACM0  USB 1209:0001 keypad\n  /dev/ttyS0"
        );
        assert_eq!(listed(&[]), "; no serial port is plugged in");
    }
}
