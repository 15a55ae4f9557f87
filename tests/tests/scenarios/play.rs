//! Plays a scenario.

use bevelbook::work::Fact;
use bevelbook_core::record::JournalId;
use bevelbook_core::sizing::Rim;
use bevelbook_keypad::app::App;
use bevelbook_keypad::keys::{Key, Press};
use bevelbook_keypad::memory::faults::FaultyPages;
use bevelbook_keypad::memory::{Consent, Layout, Memory};
use bevelbook_keypad::screen::text::render;

/// A 24LC256-class memory.
const PAGES: usize = 512;

/// Time between two lines, in milliseconds.
const PACE_MS: u64 = 100;

type Pages = FaultyPages<PAGES>;

struct Player {
    /// Taken only while the power is off.
    app: Option<App<Pages>>,
    now_ms: u64,
    presses: usize,
    rim: Rim,
}

fn layout() -> Layout {
    Layout::new(PAGES as u16, 9, 15).unwrap()
}

/// Plays every line; the failure names its line and shows the screen.
pub(crate) fn play(text: &str) -> Result<(), String> {
    let (memory, _) =
        Memory::begin(Pages::blank(), layout(), JournalId(0x5ce2), Consent::KeepRecords).unwrap();
    let app = Some(App::new(memory, "scenario"));
    let mut player = Player { app, now_ms: 0, presses: 0, rim: Rim::Metal };
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
    fn app(&mut self) -> &mut App<Pages> {
        self.app.as_mut().unwrap()
    }

    fn screen(&self) -> String {
        render(&self.app.as_ref().unwrap().screen(self.now_ms)).to_string()
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
            "wait" => self.now_ms += wanted()? as u64,
            "restart" => self.restart_with(|_| Ok(()))?,
            "taken" => self.restart_with(|memory| {
                memory.acknowledge(memory.next() - 1).map_err(|error| format!("{error:?}"))
            })?,
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
                .store_card(card.job, card.revision, &card.encode())
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
        change: impl FnOnce(&mut Memory<Pages>) -> Result<(), String>,
    ) -> Result<(), String> {
        let mut pages = self.app.take().unwrap().into_memory().into_pages();
        pages.power_on();
        let (mut memory, _) = Memory::open(pages, layout()).map_err(|e| format!("{e:?}"))?;
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
