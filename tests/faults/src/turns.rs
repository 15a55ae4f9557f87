//! Time, and what both ends do as it passes.

use crate::oracle::Broken;
use crate::stranger::Stranger;
use crate::wire::Way;
use crate::world::{FRAMES, World};
use bevelbook_core::link::{End, MAX_WIRE};

impl World {
    /// Lets time pass.
    pub(crate) fn run(&mut self, ms: u64) -> Result<(), Broken> {
        let until = self.now_ms + ms;
        loop {
            self.turn()?;
            if self.now_ms >= until {
                return Ok(());
            }
            self.now_ms = self.next_ms().clamp(self.now_ms + 1, until);
        }
    }

    fn next_ms(&self) -> u64 {
        let now = self.now();
        let unit = &self.units[self.held];
        let keypad = unit.app.as_ref().filter(|_| self.stranger.is_none());
        let keypad = keypad.and_then(|app| app.next_deadline(unit.ticks(self.now_ms)));
        let benches = self.consoles.iter().filter_map(|console| {
            let due = console.bench.as_ref()?.next_deadline(now);
            Some(if now.ms < console.busy_ms { console.busy_ms } else { due })
        });
        let back = self.units.iter().filter_map(|unit| unit.back_ms);
        let next =
            benches.chain(back).chain(self.wire.next_due()).chain(keypad.map(|due| due + unit.started_ms));
        next.min().unwrap_or(u64::MAX)
    }

    pub(crate) fn turn(&mut self) -> Result<(), Broken> {
        for which in 0..self.units.len() {
            if self.units[which].back_ms.is_some_and(|back| back <= self.now_ms) {
                self.start_unit(which)?;
            }
        }
        match self.stranger.take() {
            Some(stranger) => self.turn_stranger(stranger),
            None => self.turn_keypad()?,
        }
        self.turn_consoles()
    }

    fn turn_stranger(&mut self, mut stranger: Stranger) {
        while let Some(bytes) = self.wire.take(Way::ToKeypad, self.now_ms) {
            for answer in stranger.answers(&bytes) {
                self.wire.send(Way::ToHost, &answer, self.now_ms);
            }
        }
        if stranger.until_ms > self.now_ms {
            self.stranger = Some(stranger);
        } else {
            self.note(&[3], || "the stranger is gone".to_owned());
            self.plugged();
        }
    }

    fn turn_keypad(&mut self) -> Result<(), Broken> {
        let (unit, now_ms) = (&mut self.units[self.held], self.now_ms);
        let ticks = unit.ticks(now_ms);
        let mut came = Vec::new();
        while let Some(bytes) = self.wire.take(Way::ToKeypad, now_ms) {
            came.push(bytes);
        }
        let Some(app) = &mut unit.app else { return Ok(()) };
        came.iter().filter(|_| self.cable).for_each(|bytes| app.feed(bytes, ticks));
        let mut buffer = [0; MAX_WIRE];
        for _ in 0..FRAMES {
            let Some(bytes) = app.poll_transmit(&mut buffer, ticks) else { break };
            if unit.chip.pages().is_off() {
                break;
            }
            // It speaks whether anybody is there or not.
            if self.cable {
                self.tally.sent(bytes);
                self.wire.send(Way::ToHost, bytes, now_ms);
            }
        }
        let acknowledged = app.memory().acknowledged();
        let disk = self.place.disk.borrow();
        self.oracle.acknowledged(unit.journal, acknowledged, &disk.content)?;
        drop(disk);
        for which in 0..self.units.len() {
            self.turn_memory(which)?;
        }
        self.look_for_cut();
        self.look_at_hand()
    }

    /// A record of which it was open whether it is saved may be settled by now.
    fn turn_memory(&mut self, which: usize) -> Result<(), Broken> {
        let unit = &self.units[which];
        if unit.app.is_some() && unit.open.is_empty() && unit.chip.was_tried() {
            return Err("something was written to the journal that nobody pressed".to_owned());
        }
        self.look_at_tries(which)
    }

    /// What was written to the journal of a keypad, and how it shows.
    pub(crate) fn look_at_tries(&mut self, which: usize) -> Result<(), Broken> {
        let unit = &mut self.units[which];
        let Some((tries, shown)) = unit.take_tries(self.now_ms) else { return Ok(()) };
        let numbers: Vec<u64> =
            tries.iter().map(|this| this.record.seq.into()).chain([shown as u64]).collect();
        self.trace.note(self.now_ms, &numbers, || format!("{shown:?}: {tries:?}"));
        self.oracle.tried(unit.journal, &tries, shown)
    }

    /// Whether the power of the keypad in hand is gone.
    pub(crate) fn look_for_cut(&mut self) {
        let unit = &mut self.units[self.held];
        if unit.is_cut() {
            unit.darken(self.now_ms);
            self.tally.cuts += 1;
            self.note(&[4], || "power is cut".to_owned());
        }
    }
}
