//! Plays a scenario.

use bevelbook::work::Fact;
use bevelbook_core::link::{End, MAX_WIRE};
use bevelbook_core::record::JournalId;
use bevelbook_core::sizing::Rim;
use bevelbook_keypad::app::App;
use bevelbook_keypad::keys::{Key, Press};
use bevelbook_keypad::memory::faults::{Fault, FaultyPages};
use bevelbook_keypad::memory::{Consent, Layout, Memory, Page, Pages};
use bevelbook_keypad::screen::text::render;
use std::cell::RefCell;
use std::rc::Rc;

/// A 24LC256-class memory.
const PAGES: usize = 512;

/// How long the eye alone shows when it changes, in milliseconds.
const BEAT_MS: u64 = 500;

/// Time between two lines, in milliseconds.
const PACE_MS: u64 = 100;

/// The memory, which the scenario keeps a hand on.
#[derive(Clone)]
struct Chip(Rc<RefCell<FaultyPages<PAGES>>>);

impl Pages for Chip {
    type Error = Fault;

    fn count(&self) -> u16 {
        self.0.borrow().count()
    }

    fn read(&mut self, page: u16, into: &mut Page) -> Result<(), Fault> {
        self.0.borrow_mut().read(page, into)
    }

    fn write(&mut self, page: u16, from: &Page) -> Result<(), Fault> {
        self.0.borrow_mut().write(page, from)
    }
}

struct Player {
    chip: Chip,
    /// Taken only while the power is off.
    app: Option<App<Chip>>,
    now_ms: u64,
    presses: usize,
    rim: Rim,
}

fn layout() -> Layout {
    Layout::new(PAGES as u16, 9, 15).unwrap()
}

/// Plays every line; the failure names its line and shows the screen.
pub(crate) fn play(text: &str) -> Result<(), String> {
    let chip = Chip(Rc::new(RefCell::new(FaultyPages::blank())));
    let (memory, _) = Memory::begin(chip.clone(), layout(), JournalId(0x5ce2), Consent::KeepRecords).unwrap();
    let app = Some(App::new(memory, "scenario"));
    let mut player = Player { chip, app, now_ms: 0, presses: 0, rim: Rim::Metal };
    let lines: Vec<&str> = text.lines().collect();
    let mut at = 0;
    while at < lines.len() {
        let line = lines[at].trim();
        let block: Vec<&str> =
            lines[at..].iter().map(|line| line.trim()).take_while(|line| line.starts_with('|')).collect();
        let step = if block.is_empty() { player.step(line) } else { player.whole_screen(&block) };
        step.map_err(|why| format!("{}: `{line}`: {why}\n{}", at + 1, player.screen()))?;
        at += block.len().max(1);
    }
    Ok(())
}

impl Player {
    fn app(&mut self) -> &mut App<Chip> {
        self.app.as_mut().unwrap()
    }

    /// Once the eye has had its beat.
    fn screen(&self) -> String {
        self.screen_at(self.now_ms + BEAT_MS)
    }

    fn screen_at(&self, now_ms: u64) -> String {
        render(&self.app.as_ref().unwrap().screen(now_ms)).to_string()
    }

    fn step(&mut self, line: &str) -> Result<(), String> {
        let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
        let wanted = || rest.trim().parse::<usize>().map_err(|_| "no number".to_owned());
        match word {
            "" | "#" => return Ok(()),
            "card" => return self.card(rest),
            "station" => return self.station(rest),
            "press" => self.press(Press::short(key(rest)?)),
            "hold" => self.press(Press::long(key(rest)?)),
            "wait" => self.wait(wanted()? as u64),
            "memory" => self.chip.0.borrow_mut().leave_unanswered(match rest.trim() {
                "silent" => 1,
                "answers" => 0,
                _ => return Err("it is silent, or answers".into()),
            }),
            "restart" => self.restart_with(|_| Ok(()))?,
            "taken" => self.restart_with(|memory| {
                memory.acknowledge(memory.next() - 1).map_err(|error| format!("{error:?}"))
            })?,
            "beat" if !self.screen_at(self.now_ms).contains(rest) => return Err("no such beat".into()),
            "beat" => {}
            "show" => println!("{}\n", self.screen()),
            "expect" if !self.screen().contains(rest) => return Err("not on the screen".into()),
            "absent" if self.screen().contains(rest) => return Err("on the screen".into()),
            "expect" | "absent" => {}
            "record" => return self.newest(rest),
            "records" => {
                let next = self.app().memory().next() as usize;
                return equal(next - 1, wanted()?);
            }
            "presses" => return equal(self.presses, wanted()?),
            _ => return Err("no such line".into()),
        }
        Ok(())
    }

    /// Nobody is there to take what it has to say.
    fn wait(&mut self, for_ms: u64) {
        self.now_ms += for_ms;
        let now_ms = self.now_ms;
        self.app().poll_transmit(&mut [0; MAX_WIRE], now_ms);
    }

    fn press(&mut self, press: Press) {
        self.now_ms += PACE_MS;
        self.presses += 1;
        let now_ms = self.now_ms;
        self.app().press(press, now_ms);
    }

    /// The card is put where the link puts it, by the same call.
    fn card(&mut self, fields: &str) -> Result<(), String> {
        let card = crate::card::card(fields)?;
        self.rim = card.rim;
        if self.app().memory().station().is_none() {
            self.station("")?;
        }
        self.restart_with(|memory| {
            memory
                .store_card(card.job, card.revision, card.includes_upto, &card.encode())
                .map(|_| ())
                .map_err(|e| format!("{e:?}"))
        })
    }

    /// So is what is said of the station.
    fn station(&mut self, fields: &str) -> Result<(), String> {
        let station = crate::card::station(fields)?;
        self.restart_with(|memory| {
            let kept = memory.store_station(station).map_err(|e| format!("{e:?}"))?;
            if kept { Ok(()) } else { Err("the memory did not take it".into()) }
        })
    }

    fn restart_with(
        &mut self,
        change: impl FnOnce(&mut Memory<Chip>) -> Result<(), String>,
    ) -> Result<(), String> {
        self.app = None;
        self.chip.0.borrow_mut().power_on();
        let (mut memory, _) = Memory::open(self.chip.clone(), layout()).map_err(|e| format!("{e:?}"))?;
        let changed = change(&mut memory);
        self.app = Some(App::new(memory, "scenario"));
        changed
    }

    fn newest(&mut self, begins: &str) -> Result<(), String> {
        let says = self.says().ok_or("no record there")?;
        if says.starts_with(begins) { Ok(()) } else { Err(format!("it says: {says}")) }
    }

    fn says(&mut self) -> Option<String> {
        let rim = self.rim;
        let newest = self.app().memory().next() - 1;
        let stored = self.app().record_at(newest).ok()??;
        Some(Fact::Bench(stored.fact().ok()?).describe(rim))
    }

    fn whole_screen(&self, block: &[&str]) -> Result<(), String> {
        let wanted: Vec<&str> =
            block.iter().map(|row| row[1..].strip_prefix(' ').unwrap_or(&row[1..])).collect();
        let wanted: Vec<&str> = wanted.iter().map(|row| row.trim_end()).collect();
        let screen = self.screen();
        let shown: Vec<&str> = screen.trim_end().lines().collect();
        if shown == wanted { Ok(()) } else { Err("the screen differs".into()) }
    }
}

fn equal(found: usize, wanted: usize) -> Result<(), String> {
    if found == wanted { Ok(()) } else { Err(format!("there are {found}")) }
}

fn key(name: &str) -> Result<Key, String> {
    Key::named(name.trim()).ok_or_else(|| "no such key".into())
}
