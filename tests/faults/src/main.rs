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
//! … cuts                               every cut of two short days, and every pair of cuts
//! … frames N                           damages N frames and reads them
//! ```
//!
//! `--real` has `replay`, `shrink` and `script` play on the real book too.

mod act;
mod chance;
mod chip;
mod consoles;
mod day;
mod disk;
mod every;
mod frames;
mod generate;
mod hand;
mod heal;
mod oracle;
mod real;
mod run;
mod script;
mod server;
mod store;
mod stranger;
mod tally;
#[cfg(test)]
mod tests;
mod trace;
mod turns;
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
    let names = || generate::CAMPAIGNS.iter().map(|known| known.name).collect::<Vec<_>>();
    generate::named(name)
        .map(Some)
        .ok_or_else(|| format!("no campaign `{name}`; there are {}", names().join(", ")))
}

/// Carries out a command. Whether everything held.
fn command(arguments: &[String]) -> Result<bool, String> {
    let (campaign, real) = (campaign(arguments)?, arguments.iter().any(|argument| argument == "--real"));
    let second = || arguments.get(1).ok_or("what of? give a seed, a file or a number");
    let seed = || second()?.parse::<u64>().map_err(|_| "a seed is a number");
    match arguments.first().map(String::as_str) {
        Some("replay") => Ok(replay(&generate::script(seed()?, campaign), real)),
        Some("shrink") => {
            std::panic::set_hook(Box::new(|_| {}));
            let least = shrink(generate::script(seed()?, campaign), real);
            println!("{least}");
            Ok(replay(&least, real))
        }
        Some("script") => {
            let path = second()?;
            let text = std::fs::read_to_string(path).map_err(|error| format!("{path}: {error}"))?;
            Ok(replay(&text.parse()?, real))
        }
        Some("cuts") => Ok(cuts()),
        Some("frames") => Ok(damaged_frames(seed()?)),
        _ => run(arguments, campaign),
    }
}

fn replay(script: &Script, real: bool) -> bool {
    let outcome = play(script, real, true);
    outcome.lines.iter().for_each(|line| println!("{line}"));
    println!("trace {:016x}", outcome.hash);
    match outcome.result {
        Ok(tally) => println!("everything held\n{tally}"),
        Err(broken) => {
            println!("BROKEN: {broken}");
            return false;
        }
    }
    true
}

fn cuts() -> bool {
    match every::every_cut(true) {
        Ok(count) => println!("{count}; everything held"),
        Err((script, broken)) => {
            println!("{script}BROKEN: {broken}");
            return false;
        }
    }
    true
}

fn damaged_frames(count: u64) -> bool {
    let begun = Instant::now();
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get) as u64;
    let of_one = |seed| move || frames::damage(seed, count.div_ceil(cores));
    let parts = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..cores).map(|seed| scope.spawn(of_one(seed))).collect();
        threads.into_iter().map(|thread| thread.join().unwrap_or_default()).collect::<Vec<_>>()
    });
    let sum = |of: fn(&frames::Passed) -> u64| parts.iter().map(of).sum::<u64>();
    let (damaged, bad) = (sum(|part| part.damaged), sum(|part| part.bad));
    println!("{damaged} damaged frames in {:.0} s: {bad} bad ones accepted", begun.elapsed().as_secs_f64());
    bad == 0 && damaged >= count
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
