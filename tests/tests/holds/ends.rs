//! Both ends of the line, and how a person finds the way on the keypad: the words that are looked for stand here, once.

use crate::rig::{Console, Keypad};
use crate::shop::{done, open_job};
use bevelbook_tests::{Output, Shop};
use serde_json::Value;

/// What the held centre key offers.
pub(crate) const NEW_JOB: &[&str] = &["walk-in, no order"];
pub(crate) const OTHER_JOB: &[&str] = &["other job"];
pub(crate) const NEW_LENS_RIGHT: &[&str] = &["remake right"];
pub(crate) const STATE_DIAL: &[&str] = &["size reads as"];

/// Longer than presses are ignored behind a record.
pub(crate) const LOCK_OUT: &str = "wait 310";

/// A shop, its keypad and the console beside it.
pub(crate) struct Ends {
    pub(crate) shop: Shop,
    pub(crate) keypad: Keypad,
    pub(crate) console: Option<Console>,
}

impl Ends {
    /// Both started; the keypad is adopted.
    pub(crate) fn of(shop: Shop) -> Self {
        let keypad = Keypad::start(&shop);
        let mut ends = Self { shop, keypad, console: None };
        ends.attend();
        ends
    }

    /// Starts the console beside the keypad.
    pub(crate) fn attend(&mut self) {
        let mut console = Console::start(&self.shop, &self.keypad.port);
        console.until("connected, ");
        self.console = Some(console);
    }

    /// Ends the console.
    pub(crate) fn leave(&mut self) {
        assert_eq!(self.console.take().unwrap().end(), Some(0));
    }

    /// Waits until the console has said something with `part` in it.
    pub(crate) fn until(&mut self, part: &str) -> String {
        self.console.as_mut().unwrap().until(part)
    }

    /// Waits until what the book has now has reached the keypad: a job that is opened now comes behind it.
    pub(crate) fn settle(&mut self) {
        let jobs = self.run("job list --all --json").json();
        let next = jobs.as_array().unwrap().len() as u32 + 1;
        open_job(&self.shop, next);
        self.until(&format!("job {next} ("));
        self.keypad.send(&["wait 500"]);
    }

    /// Runs a command at another console of the shop, which must succeed.
    pub(crate) fn run(&self, command: &str) -> Output {
        done(&self.shop, &command.split(' ').collect::<Vec<_>>())
    }

    /// Presses keys, each after the lock-out of the one before.
    pub(crate) fn press(&mut self, keys: &[&str]) {
        for key in keys {
            self.keypad.send(&[key, LOCK_OUT]);
        }
    }

    /// Chooses what is offered under one of these `words`.
    pub(crate) fn choose(&mut self, words: &[&str]) {
        self.keypad.send(&["hold centre"]);
        self.take(words);
    }

    /// Takes, of the list that is shown, what is called by one of these `words`.
    pub(crate) fn take(&mut self, words: &[&str]) {
        let mut screen = self.keypad.screen();
        for _ in 0..24 {
            if words.iter().any(|words| screen.contains(&format!("> {words}"))) {
                return self.press(&["centre"]);
            }
            self.keypad.send(&["down"]);
            screen = self.keypad.screen();
        }
        panic!("none of {words:?} is offered:\n{screen}");
    }

    /// Opens a job without an order, in a metal rim, which stands first.
    pub(crate) fn open_own(&mut self) {
        self.choose(NEW_JOB);
        self.press(&["centre"]);
    }

    /// Begins a new right lens of the job in hand, since the one before was cut too small: two records.
    pub(crate) fn new_right_lens(&mut self) {
        let before = self.keypad.ask("saved");
        self.choose(NEW_LENS_RIGHT);
        self.take(&["cut too small"]);
        assert_eq!(self.keypad.ask("saved"), before + 2);
    }

    /// Reads the uncut lens that is asked for, as it stands there, and spots it.
    pub(crate) fn read_and_spot(&mut self) {
        let before = self.keypad.ask("saved");
        for _ in 0..12 {
            self.press(&["centre"]);
            if self.keypad.ask("saved") == before + 2 {
                return;
            }
        }
        panic!("neither read nor spotted:\n{}", self.keypad.screen());
    }

    /// Gives the expected answers until a lens is sized, or until it cannot be; what then shows.
    pub(crate) fn until_sizing(&mut self) -> String {
        for _ in 0..60 {
            let screen = self.keypad.screen();
            let sized = screen.contains("fits") && screen.contains("loose");
            if sized || screen.contains("what does") {
                return screen;
            }
            self.press(&["centre"]);
        }
        panic!("no lens is sized:\n{}", self.keypad.screen());
    }

    /// States at the keypad that its dial counts `basis`, absolute, in the step that stands there.
    pub(crate) fn state_dial(&mut self, basis: &str) {
        self.choose(STATE_DIAL);
        let before = self.keypad.ask("saved");
        for _ in 0..3 {
            if self.keypad.screen().lines().any(|row| row.trim() == basis) {
                break;
            }
            self.keypad.send(&["up"]);
        }
        while self.keypad.ask("saved") == before {
            self.press(&["centre"]);
        }
        // What was stated is said; go on.
        self.press(&["centre"]);
    }

    /// The identity of the keypad's journal.
    pub(crate) fn journal(&self) -> String {
        let list = self.run("keypad list --json").json();
        list["keypads"][0]["journal"].as_str().unwrap().to_owned()
    }

    /// Voids record `seq` of the keypad.
    pub(crate) fn void(&self, seq: u64) -> Output {
        self.shop.run(["record", "void", &format!("{}:{seq}", self.journal())])
    }

    /// The one job that waits to be filed, as `job list` names it.
    pub(crate) fn unfiled(&self) -> String {
        match self.all_unfiled().as_slice() {
            [own] => own.clone(),
            others => panic!("one job should wait to be filed, not {others:?}"),
        }
    }

    /// The jobs that wait to be filed.
    pub(crate) fn all_unfiled(&self) -> Vec<String> {
        let listed = self.run("job list");
        let own = listed.stderr.lines().filter_map(|line| line.split("job attach ").nth(1));
        own.map(|rest| rest.split(' ').next().unwrap().to_owned()).collect()
    }

    /// Asserts that nobody calls anything damaged, and that the book is sound.
    pub(crate) fn assert_sound(&self) {
        for command in ["job list", "job list --all", "book check"] {
            let output = self.run(command);
            let said = output.stdout.clone() + &output.stderr;
            assert!(!said.contains("damaged") && !said.contains("left out"), "{command}: {said}");
        }
    }
}

/// The records of a job, as the console shows them.
pub(crate) fn records(ends: &Ends, job: u32) -> Vec<Value> {
    let shown = ends.run(&format!("job show {job} --json")).json();
    shown["records"].as_array().unwrap().clone()
}

/// What the records of a job say that are not void.
pub(crate) fn standing(ends: &Ends, job: u32) -> Vec<String> {
    let records = records(ends, job);
    let standing = records.iter().filter(|record| record["void"] == false);
    standing.map(|record| record["says"].as_str().unwrap().to_owned()).collect()
}
