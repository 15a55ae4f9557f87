//! A bench on a serial port that comes and goes.

use super::lines::Lines;
use crate::cli::Failure;
use crate::cli::ports::{Chosen, port_failure};
use crate::cli::stop::sleep;
use crate::keypad::{Bench, Clock, Line, Note, Port};
use std::io;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

/// How long a wait is at most, so that an end is noticed soon.
const LONGEST: Duration = Duration::from_millis(50);

/// How often a port that is gone is looked for.
const HOT_PLUG: Duration = Duration::from_millis(500);

/// Attends the chosen port, whenever it is there, until `stop` is set.
pub(super) fn attend(
    bench: &mut Bench,
    chosen: &mut Chosen,
    lines: &Lines,
    stop: &AtomicBool,
) -> Result<(), Failure> {
    let clock = Clock::start();
    let mut waiting = false;
    while !stop.load(Ordering::Relaxed) {
        let gone = match chosen.open() {
            Ok(mut port) => {
                bench.plugged(clock.now());
                match attend_port(bench, &mut port, clock, lines, stop) {
                    Ok(ended) => return ended,
                    Err(_) => Some("the keypad; its port is gone"),
                }
            }
            // A port that was just plugged in may belong to nobody for a moment.
            Err(error) if error.is_missing() || waiting => (!waiting).then_some("the keypad"),
            Err(error) => return Err(port_failure(&error)),
        };
        if let Some(what) = gone
            && lines.show(&Note::Waiting { what: what.into() }).is_err()
        {
            return Ok(());
        }
        waiting = true;
        sleep(HOT_PLUG);
    }
    Ok(())
}

/// Until the port fails, or an end.
fn attend_port(
    bench: &mut Bench,
    port: &mut Port,
    clock: Clock,
    lines: &Lines,
    stop: &AtomicBool,
) -> io::Result<Result<(), Failure>> {
    while !stop.load(Ordering::Relaxed) {
        bench.turn(port, clock.now())?;
        if let Some(ended) = lines.look_after(bench, clock) {
            return Ok(ended);
        }
        let now = clock.now();
        let due = Duration::from_millis(bench.next_deadline(now).saturating_sub(now.ms));
        port.wait(due.min(LONGEST))?;
    }
    Ok(Ok(()))
}
