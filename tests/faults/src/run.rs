//! One run, many runs, and the least run that still fails.

use crate::generate::{Campaign, script};
use crate::oracle::Broken;
use crate::real::Real;
use crate::script::Script;
use crate::tally::Tally;
use crate::world::World;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::{Duration, Instant};

/// What came of a run.
#[derive(Debug)]
pub(crate) struct Outcome {
    pub(crate) result: Result<Tally, Broken>,
    pub(crate) hash: u64,
    /// What happened, where it was asked for.
    pub(crate) lines: Vec<String>,
}

/// Plays a script and heals what is left. A panic is a failure like any other.
pub(crate) fn play(script: &Script, real: bool, in_words: bool) -> Outcome {
    let begun = real.then(Real::new).transpose().and_then(|real| World::new(script, real, in_words));
    let mut world = match begun {
        Ok(world) => world,
        Err(broken) => return Outcome { result: Err(broken), hash: 0, lines: Vec::new() },
    };
    let played = catch_unwind(AssertUnwindSafe(|| {
        let steps = script.steps.iter().filter(|step| !real || step.is_for_real());
        steps.copied().try_for_each(|step| world.act(step))?;
        world.heal()
    }));
    let result = played.unwrap_or_else(|panic| {
        let said = panic.downcast_ref::<String>().cloned();
        let said = said.or_else(|| panic.downcast_ref::<&str>().map(|said| (*said).to_owned()));
        Err(format!("panic: {}", said.unwrap_or_default()))
    });
    let result = result.map(|()| Tally { seeds: 1, real: real.into(), ..world.tally });
    Outcome { result, hash: world.trace.hash(), lines: world.trace.into_lines() }
}

/// How long a run of many is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Length {
    pub(crate) from: u64,
    pub(crate) seeds: u64,
    pub(crate) time: Duration,
}

/// One seed in so many is played twice, and must leave the same trace.
const TWICE: u64 = 256;
/// One seed in so many is played on the real book too.
const REAL: u64 = 100;

/// Runs seeds on every core until one fails, all are done or time is up; the first one that failed, and why.
pub(crate) fn many(length: Length, campaign: Option<&'static Campaign>) -> (Tally, Option<(u64, Broken)>) {
    let (next, stop) = (AtomicU64::new(length.from), AtomicBool::new(false));
    let (tally, failed) = (Mutex::new(Tally::default()), Mutex::new(None));
    let (end, until) = (length.from.saturating_add(length.seeds), Instant::now() + length.time);
    let work = || {
        let mut own = Tally::default();
        while !stop.load(Ordering::Relaxed) && Instant::now() < until {
            let seed = next.fetch_add(1, Ordering::Relaxed);
            if seed >= end {
                break;
            }
            match one(seed, campaign) {
                Ok(tally) => own += tally,
                Err(broken) => {
                    stop.store(true, Ordering::Relaxed);
                    if let Ok(mut failed) = failed.lock() {
                        failed.get_or_insert((seed, broken));
                    }
                }
            }
        }
        if let Ok(mut tally) = tally.lock() {
            *tally += own;
        }
    };
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    std::thread::scope(|scope| (0..cores).for_each(|_| drop(scope.spawn(work))));
    (tally.into_inner().unwrap_or_default(), failed.into_inner().unwrap_or_default())
}

fn one(seed: u64, campaign: Option<&Campaign>) -> Result<Tally, Broken> {
    let script = script(seed, campaign);
    let outcome = play(&script, false, false);
    if seed.is_multiple_of(TWICE) && play(&script, false, false).hash != outcome.hash {
        return Err("it left another trace the second time".to_owned());
    }
    let real = seed.is_multiple_of(REAL).then(|| play(&script, true, false).result).transpose();
    let real = real.map_err(|broken| format!("with the real book: {broken}"))?.unwrap_or_default();
    outcome.result.map(|tally| Tally { real: real.real, ..tally })
}

/// The least script that still fails: steps are taken away as long as what is left fails, whatever it says.
pub(crate) fn shrink(mut script: Script, real: bool) -> Script {
    let fails = |script: &Script| play(script, real, false).result.is_err();
    let mut piece = script.steps.len().div_ceil(2).max(1);
    loop {
        let before = script.steps.len();
        let mut at = 0;
        while at < script.steps.len() {
            let mut shorter = script.clone();
            shorter.steps.drain(at..(at + piece).min(script.steps.len()));
            if fails(&shorter) {
                script = shorter;
            } else {
                at += piece;
            }
        }
        if piece > 1 {
            piece = piece.div_ceil(2);
        } else if script.steps.len() == before {
            return script;
        }
    }
}
