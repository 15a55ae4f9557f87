//! The bench as lines, on a port or beside a keypad in this process.

use super::at_port::AtPort;
use super::lines::Lines;
use super::screen::Here;
use crate::cli::{Failure, Report, keypad};
use crate::keypad::Clock;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

/// How long a wait is at most, so that an end is noticed soon.
const LONGEST: Duration = Duration::from_millis(50);

/// Attends a port, whenever it is there, until `stop` is set.
pub(super) fn attend(
    mut at: AtPort,
    lines: &Lines,
    clock: Clock,
    stop: &AtomicBool,
) -> Result<Report, Failure> {
    while !stop.load(Ordering::Relaxed) {
        let waits = at.turn(clock)?;
        if waits.is_some_and(|waits| lines.show(&waits).is_err()) {
            break;
        }
        if let Some(ended) = lines.look_after(&mut at.bench, clock) {
            return ended.map(|()| Report::default());
        }
        at.wait(clock, LONGEST);
    }
    Ok(Report::default())
}

/// A keypad in this process, its keys pressed by the lines of the standard input.
pub(super) fn attend_beside(
    Here { keypad, mut line, mut beside }: Here,
    lines: &Lines,
    clock: Clock,
    stop: &AtomicBool,
) -> Result<Report, Failure> {
    keypad::scripted(keypad, stop, |keypad| {
        // A pipe in this process does not fail.
        let moved = keypad.pump(&mut line).unwrap_or(false);
        let moved = beside.turn(clock) || moved;
        lines.look_after(&mut beside.bench, clock).map_or(Ok(Some(moved)), |ended| ended.map(|()| None))
    })
}
