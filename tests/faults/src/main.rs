//! The whole shop under faults, on one thread and in virtual time.
//!
//! The production keypad (application over memory), both ends of the link, and the console's bench stand on four seams:
//! the memory's pages, the line, the clock, and the book. A seed makes a script ([`script`]) of what happens there; while
//! it is played, and once everything is well again, what must hold is compared with a plain account ([`oracle`]).
//! The same seed leaves the same trace. There is no wall clock, no entropy and no order of hashing in it.
//!
//! ```text
//! cargo run --release -p bevelbook-faults -- [--seeds N] [--seconds N] [--from SEED] [--campaign NAME]
//! … replay SEED [--campaign NAME]      what happened, in words
//! … shrink SEED [--campaign NAME]      the least script that still fails
//! … script FILE                        plays a script from a file
//! ```

mod act;
mod chance;
mod chip;
mod day;
mod disk;
mod generate;
mod heal;
mod oracle;
mod run;
mod script;
mod store;
mod stranger;
mod tally;
mod trace;
mod unit;
mod wire;
mod world;

use generate::Campaign;
use run::{Length, many, play, shrink};
use script::Script;
use std::process::ExitCode;
use std::time::{Duration, Instant};

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match command(&arguments) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::from(1),
        Err(wrong) => {
            eprintln!("{wrong}");
            ExitCode::from(2)
        }
    }
}

/// The number behind a flag.
fn number(arguments: &[String], flag: &str) -> Result<Option<u64>, String> {
    let Some(at) = arguments.iter().position(|argument| argument == flag) else { return Ok(None) };
    let given = arguments.get(at + 1).ok_or_else(|| format!("{flag} wants a number"))?;
    given.parse().map(Some).map_err(|_| format!("{flag} wants a number, not `{given}`"))
}

fn campaign(arguments: &[String]) -> Result<Option<&'static Campaign>, String> {
    let Some(at) = arguments.iter().position(|argument| argument == "--campaign") else { return Ok(None) };
    let name = arguments.get(at + 1).map(String::as_str).unwrap_or_default();
    let names =
        || generate::CAMPAIGNS.iter().chain(generate::BY_NAME).map(|known| known.name).collect::<Vec<_>>();
    generate::named(name)
        .map(Some)
        .ok_or_else(|| format!("no campaign `{name}`; there are {}", names().join(", ")))
}

/// Carries out a command. Whether everything held.
fn command(arguments: &[String]) -> Result<bool, String> {
    let campaign = campaign(arguments)?;
    let seed = || arguments.get(1).and_then(|seed| seed.parse().ok()).ok_or("which seed? give its number");
    match arguments.first().map(String::as_str) {
        Some("replay") => Ok(replay(&generate::script(seed()?, campaign))),
        Some("shrink") => {
            let least = shrink(generate::script(seed()?, campaign));
            println!("{least}");
            Ok(replay(&least))
        }
        Some("script") => {
            let path = arguments.get(1).ok_or("which file?")?;
            let text = std::fs::read_to_string(path).map_err(|error| format!("{path}: {error}"))?;
            Ok(replay(&text.parse()?))
        }
        _ => run(arguments, campaign),
    }
}

fn replay(script: &Script) -> bool {
    let outcome = play(script, true);
    outcome.lines.iter().for_each(|line| println!("{line}"));
    println!("trace {:016x}", outcome.hash);
    match outcome.result {
        Ok(tally) => {
            println!("everything held\n{tally}");
            true
        }
        Err(broken) => {
            println!("BROKEN: {broken}");
            false
        }
    }
}

fn run(arguments: &[String], campaign: Option<&'static Campaign>) -> Result<bool, String> {
    let seconds = number(arguments, "--seconds")?;
    let seeds = number(arguments, "--seeds")?.unwrap_or(if seconds.is_some() { u64::MAX } else { 20_000 });
    let length = Length {
        from: number(arguments, "--from")?.unwrap_or(0),
        seeds,
        time: seconds.map_or(Duration::from_secs(1 << 32), Duration::from_secs),
    };
    // A panic is told with its seed.
    std::panic::set_hook(Box::new(|_| {}));
    let begun = Instant::now();
    let (tally, failed) = many(length, campaign);
    println!("{tally}");
    println!("{:.0} seeds a second", tally.seeds as f64 / begun.elapsed().as_secs_f64());
    let Some((seed, broken)) = failed else { return Ok(true) };
    let flag = campaign.map(|campaign| format!(" --campaign {}", campaign.name)).unwrap_or_default();
    println!(
        "BROKEN by seed {seed}: {broken}\n  see it: cargo run --release -p bevelbook-faults -- shrink {seed}{flag}"
    );
    Ok(false)
}
