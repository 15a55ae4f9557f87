//! What the consoles do in a turn, and what they say.

use crate::day::STRANGER;
use crate::oracle::Broken;
use crate::wire::Way;
use crate::world::{Console, FRAMES, World};
use bevelbook::keypad::{Note, Now};
use bevelbook_core::link::MAX_WIRE;

/// More notes at once than anything can call for.
const NOTES: usize = 200;

impl World {
    pub(crate) fn turn_consoles(&mut self) -> Result<(), Broken> {
        let now = self.now();
        let mut came = Vec::new();
        while let Some(bytes) = self.wire.take(Way::ToHost, now.ms) {
            came.push(bytes);
        }
        self.place.disk.borrow_mut().server.now_ms = now.ms;
        for which in 0..self.consoles.len() {
            let console = &mut self.consoles[which];
            if console.bench.is_none() {
                continue;
            }
            console.came.extend(came.iter().filter(|_| self.cable).cloned());
            if now.ms < console.busy_ms {
                continue;
            }
            if std::mem::take(&mut console.is_held_up) {
                self.send(which, now);
            }
            let console = &mut self.consoles[which];
            let Some(bench) = &mut console.bench else { continue };
            console.came.drain(..).for_each(|bytes| bench.end().feed(&bytes, now.ms));
            bench.settle(now);
            self.look_at_book()?;
            let mut disk = self.place.disk.borrow_mut();
            if std::mem::take(&mut disk.killed) {
                drop(disk);
                self.kill(which);
                continue;
            }
            let answered = if std::mem::take(&mut disk.server.asked) { disk.server.slow_ms } else { 0 };
            drop(disk);
            self.read_notes(which)?;
            if answered == 0 {
                self.send(which, now);
                continue;
            }
            // It waits for the server meanwhile, and does nothing else.
            (self.consoles[which].busy_ms, self.consoles[which].is_held_up) = (now.ms + answered, true);
        }
        Ok(())
    }

    /// What came into the book in this turn.
    fn look_at_book(&mut self) -> Result<(), Broken> {
        let mut disk = self.place.disk.borrow_mut();
        if let Some(otherwise) = disk.otherwise.take() {
            return Err(otherwise);
        }
        let fresh = std::mem::take(&mut disk.fresh);
        drop(disk);
        for row in fresh.iter().filter(|row| row.journal != STRANGER) {
            self.oracle.came(row)?;
            let of =
                self.units.iter().position(|unit| unit.journal == row.journal).unwrap_or(self.units.len());
            self.note(&[5, of as u64, row.record.seq.into()], || {
                format!("record {} of keypad {of} is in the book", row.record.seq)
            });
        }
        Ok(())
    }

    fn kill(&mut self, which: usize) {
        self.consoles[which] = Console::default();
        self.note(&[6, which as u64], || format!("console {which} is killed"));
        self.oracle.killed();
        self.tally.kills += 1;
    }

    fn send(&mut self, which: usize, now: Now) {
        let console = &mut self.consoles[which];
        let mut killed = false;
        if let Some(bench) = console.bench.as_mut().filter(|_| self.cable) {
            let mut buffer = [0; MAX_WIRE];
            for _ in 0..FRAMES {
                let Some(bytes) = bench.end().poll_transmit(&mut buffer, now.ms) else { break };
                self.wire.send(Way::ToKeypad, bytes, now.ms);
                if let Some(left) = &mut console.frames_left {
                    *left = left.saturating_sub(1);
                    killed = *left == 0;
                }
                if killed {
                    break;
                }
            }
        }
        if killed {
            self.kill(which);
        }
    }

    fn read_notes(&mut self, which: usize) -> Result<(), Broken> {
        let now = self.now();
        for count in 0.. {
            let Some(bench) = &mut self.consoles[which].bench else { return Ok(()) };
            let Some(note) = bench.take_note() else { break };
            if count > NOTES {
                return Err("notes without end".to_owned());
            }
            if let Some(journal) = bench.asking().map(|ack| ack.journal)
                && self.units.iter().any(|unit| unit.journal == journal)
            {
                bench.adopt(&journal.to_string(), now);
            }
            self.read_note(&note)?;
        }
        Ok(())
    }

    fn read_note(&mut self, note: &Note) -> Result<(), Broken> {
        self.note(&[7], || format!("console: {note}"));
        if let Note::Gap { keypad, from, to } = note {
            let unit = self.units.iter().find(|unit| unit.journal.to_string() == *keypad);
            if let Some(unit) = unit {
                self.oracle.gap(unit.journal, *from..=*to, &unit.chip)?;
            }
            self.note(&[8, (*from).into(), (*to).into()], String::new);
        }
        self.tally.notes += 1;
        Ok(())
    }
}
