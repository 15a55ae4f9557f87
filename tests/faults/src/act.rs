//! The steps of a script, carried out.

use crate::chip::PAGES;
use crate::day::{JOBS, OWN, pass};
use crate::disk::{COMMITS, Content};
use crate::oracle::Broken;
use crate::script::Step;
use crate::stranger::Stranger;
use crate::wire::KINDS;
use crate::world::World;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, JournalId, Void};
use bevelbook_core::sizing::Outcome;
use bevelbook_keypad::keys::{Key, Press};
use bevelbook_keypad::memory::faults::{Cut, Torn};

/// Longer than presses are ignored behind a record.
const PRESS_MS: u64 = 320;

fn cut(write: u64, torn: u64, seed: u64) -> Cut {
    Cut { write: write as u32, torn: Torn::ALL[torn as usize % Torn::ALL.len()], seed }
}

impl World {
    pub(crate) fn act(&mut self, step: Step) -> Result<(), Broken> {
        self.trace.note(self.now_ms, &[9], || format!("· {step}"));
        match step {
            Step::Press { key } => self.press(Press::short(Key::ALL[key as usize % Key::ALL.len()])),
            Step::Hold { key } => self.press(Press::long(Key::ALL[key as usize % Key::ALL.len()])),
            Step::Other {} => {
                // The menu, its second item, the next job of the list.
                let [down, centre] = [Key::Down, Key::Centre].map(Press::short);
                let keys = [Press::long(Key::Centre), down, centre, down, centre];
                keys.into_iter().try_for_each(|key| self.press(key))
            }
            Step::Wait { ms } => self.run(ms),
            Step::Noise { kind, often } => {
                self.note(&[kind, often], || {
                    format!("{} in {often} of 10,000", KINDS[kind as usize % KINDS.len()])
                });
                self.wire.set_noise(kind, often);
                Ok(())
            }
            Step::Quiet {} => {
                self.wire.quiet();
                Ok(())
            }
            Step::Replay { seed } => {
                self.wire.replay(seed, self.now_ms);
                Ok(())
            }
            Step::ClockOn { seconds } => {
                self.utc_at_zero_ms += seconds as i64 * 1000;
                Ok(())
            }
            Step::ClockBack { seconds } => {
                self.utc_at_zero_ms -= seconds as i64 * 1000;
                Ok(())
            }
            _ => self.act_on_keypad(step),
        }
    }

    fn act_on_keypad(&mut self, step: Step) -> Result<(), Broken> {
        let (held, now_ms) = (self.held, self.now_ms);
        let unit = &mut self.units[held];
        match step {
            Step::Cut { write, torn, seed } => {
                let so_far = u64::from(unit.chip.pages().writes());
                unit.chip.pages().cut_at(cut(so_far + write, torn, seed));
            }
            Step::StartCut { write, torn, seed } => unit.next_cuts.push_back(cut(write, torn, seed)),
            Step::Restart {} => unit.darken(now_ms),
            Step::Off {} => {
                unit.darken(now_ms);
                unit.back_ms = None;
            }
            Step::On {} if unit.app.is_none() => return self.start_unit(held),
            Step::On {} => {}
            Step::Unanswered { reads, writes } => {
                unit.disturbed = [reads, writes];
                unit.disturb(unit.disturbed);
            }
            Step::Stick { page } => {
                unit.chip.pages().stick(page as u16 % PAGES as u16);
                (unit.worn, unit.boot) = (true, 0);
            }
            Step::Copy {} => unit.copy = Some(unit.chip.pages().clone()),
            Step::RollBack {} => self.roll_back(),
            Step::Wipe { how } => return self.wipe(how),
            Step::Swap {} => {
                self.held = 1 - held;
                self.plugged();
                // It lay in a drawer until now.
                let other = &self.units[self.held];
                if other.app.is_none() && other.back_ms.is_none() {
                    return self.start_unit(self.held);
                }
            }
            Step::Unplug {} => {
                self.cable = false;
                self.wire.clear();
            }
            Step::Plug {} | Step::PlugReset {} => {
                self.cable = true;
                if matches!(step, Step::PlugReset {}) {
                    unit.darken(now_ms);
                }
                self.plugged();
            }
            Step::Stranger { ms, seed } => {
                self.stranger = Some(Stranger::new(seed, now_ms + ms));
                self.plugged();
            }
            _ => self.act_on_book(step),
        }
        Ok(())
    }

    fn act_on_book(&mut self, step: Step) {
        let mut disk = self.place.disk.borrow_mut();
        disk.server.now_ms = self.now_ms;
        match step {
            Step::Commit { how } => {
                disk.next_commit = Some(how % COMMITS.len() as u64);
            }
            Step::Locked { times } => disk.locked = times,
            Step::Away { ms } => disk.server.leave(ms),
            Step::UnansweredCommit { how, ms } => disk.server.lost = Some((how == 2, ms)),
            Step::Promoted { ms } => {
                let lacks = disk.promote(ms);
                self.oracle.taken_back(&lacks);
            }
            Step::Slow { ms } => disk.server.slow_ms = ms,
            Step::Backup {} => disk.backup = Some(disk.content.clone()),
            Step::Restore {} => {
                if let Some(backup) = disk.backup.clone() {
                    disk.put(backup);
                    self.oracle.other_book();
                    drop(disk);
                    self.consoles.iter_mut().for_each(|console| *console = crate::world::Console::default());
                    self.start_console(0);
                }
            }
            Step::Replace {} => {
                disk.put(Content::new(OWN, &[]));
                self.oracle.other_book();
            }
            Step::Typed { eye, outcome } => {
                let outcome = [Outcome::FarTooBig, Outcome::JustTooBig, Outcome::Fits, Outcome::Loose]
                    [outcome as usize % 4];
                let eye = Eye::BOTH[eye as usize % 2];
                disk.typed(&pass(JOBS[0], eye, 400, outcome));
            }
            Step::Undone { back } => {
                let journal = self.units[self.held].journal;
                if let Some(id) = disk.content.said(journal, back as usize) {
                    disk.typed(&Bench::Void(Void { job: Some(JOBS[0]), target: id }));
                }
            }
            Step::Kill { frames } => self.consoles[0].frames_left = Some(frames.max(1)),
            Step::SecondGone {} => {
                drop(disk);
                self.consoles[1] = crate::world::Console::default();
            }
            Step::Console {} | Step::Second {} => {
                drop(disk);
                let which = usize::from(matches!(step, Step::Second {}));
                if self.consoles[which].bench.is_none() {
                    self.start_console(which);
                }
            }
            _ => {}
        }
    }

    /// A press on the keypad that is on the cable, and what its display says to it.
    fn press(&mut self, press: Press) -> Result<(), Broken> {
        let now_ms = self.now_ms;
        let unit = &mut self.units[self.held];
        let ticks = unit.ticks(now_ms);
        if let Some(app) = &mut unit.app {
            app.press(press, ticks);
            let refused = unit.says_not_saved(now_ms);
            let before = std::mem::replace(&mut unit.said_not_saved, refused);
            self.tally.not_saved += u64::from(refused && !before);
            self.trace.note(now_ms, &[10, refused.into()], || format!("{press:?}"));
            self.look_at_tries(self.held)?;
            self.look_for_cut();
            self.look_at_hand()?;
        }
        self.run(PRESS_MS)
    }

    fn roll_back(&mut self) {
        let unit = &mut self.units[self.held];
        let Some(copy) = unit.copy.take() else { return };
        unit.roll_back(copy, self.now_ms);
        self.oracle.rolled_back(unit.journal);
    }

    /// A new journal is begun.
    fn wipe(&mut self, how: u64) -> Result<(), Broken> {
        self.begun += 1;
        let unit = &mut self.units[self.held];
        self.oracle.given_up(unit.journal);
        if how == 0 {
            *unit.chip.pages() = crate::chip::Memory::blank();
        }
        unit.begin = Some(JournalId(0x2e3_0000 + self.begun));
        (unit.rolled_back, unit.copy) = (false, None);
        self.start_unit(self.held)
    }
}
