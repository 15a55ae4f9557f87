//! One run: what happens, and whether everybody then holds the same to be so.

use super::chance::Chance;
use super::naive::{Naive, Record, Says};
use super::real::{self, Real};
use crate::ends::{NEW_JOB, NEW_LENS_RIGHT, OTHER_JOB, STATE_DIAL};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, JobId};
use bevelbook_keypad::keys::{Key, Press};
use std::collections::BTreeMap;

/// What the runs came upon.
#[derive(Debug, Default)]
pub(super) struct Seen {
    /// Records of each kind, and how many of them were voided.
    pub(super) kinds: BTreeMap<&'static str, [usize; 2]>,
    /// How often a job in hand was compared.
    pub(super) in_hand: usize,
}

impl Seen {
    pub(super) fn add(&mut self, other: &Self) {
        self.in_hand += other.in_hand;
        for (kind, [logged, voided]) in &other.kinds {
            let sum = self.kinds.entry(kind).or_default();
            *sum = [sum[0] + logged, sum[1] + voided];
        }
    }
}

fn kind(record: &Record) -> &'static str {
    match record.says {
        Says::Order(_) => "order",
        Says::Remake(_) => "remake",
        Says::Filing { .. } => "filing",
        Says::Bench(fact) => match fact {
            Bench::Mark(_) => "mark",
            Bench::Pass(_) => "pass",
            Bench::Reading(_) => "reading",
            Bench::CentreDistance(_) => "centres",
            Bench::Girth(_) => "girth",
            Bench::Check(_) => "check",
            Bench::Void(_) => "void",
            Bench::Station(_) => "dial",
            Bench::NewLens(_) => "new lens",
            Bench::Opened(_) => "opened",
            Bench::Spoiled(_) => "cause",
            Bench::Clock(_) => "clock",
        },
    }
}

/// One run: the real ends, and what the model was told.
pub(super) struct Run {
    real: Real,
    chance: Chance,
    /// What is in the book, in the order of commits.
    book: Vec<Record>,
    /// How much of the book the keypad has heard of.
    heard: usize,
    /// What the keypad logged and the book does not have.
    waiting: Vec<Record>,
    pub(super) steps: Vec<String>,
    in_hand: usize,
}

impl Run {
    pub(super) fn new(seed: u64) -> Self {
        let (real, book) = Real::new();
        let heard = book.len();
        let mut run = Self {
            real,
            chance: Chance(seed),
            book,
            heard,
            waiting: Vec::new(),
            steps: Vec::new(),
            in_hand: 0,
        };
        if !run.chance.once_in(4) {
            run.state_dial();
        }
        if run.chance.once_in(2) {
            run.choose(NEW_JOB);
        }
        run.meet();
        run
    }

    /// Something happens.
    pub(super) fn step(&mut self) -> Result<(), String> {
        match self.chance.below(24) {
            0..=3 => self.go_along(),
            4 => self.press_anything(),
            5..=6 => self.choose(NEW_JOB),
            7..=8 => self.choose(NEW_LENS_RIGHT),
            9 => {
                let offered = self.chance.one(&[OTHER_JOB, STATE_DIAL]);
                self.choose(offered);
            }
            10..=13 => self.type_fact(),
            14 => self.remake()?,
            15..=19 => self.void()?,
            20 => self.file(),
            21 if self.chance.once_in(2) => self.state_dial(),
            21 => self.file(),
            22 if self.real.is_plugged() => {
                self.real.unplug();
                self.steps.push("unplug".into());
            }
            22 => {
                self.real.plug();
                self.steps.push("plug".into());
            }
            _ => {
                self.real.restart();
                self.steps.push("restart".into());
            }
        }
        self.meet();
        Ok(())
    }

    /// Lets both ends hear what the other has, if they can.
    fn meet(&mut self) {
        if self.real.is_plugged() {
            self.real.settle();
            self.book.append(&mut self.waiting);
            self.heard = self.book.len();
        }
    }

    /// What it came upon.
    pub(super) fn seen(&self) -> Seen {
        let mut seen = Seen { in_hand: self.in_hand, ..Seen::default() };
        for record in &self.book {
            let [logged, voided] = seen.kinds.entry(kind(record)).or_default();
            *logged += 1;
            *voided += usize::from(Naive(&self.book).is_void(record.id));
        }
        seen
    }

    fn press(&mut self, press: Press) {
        let saved = self.real.press(press);
        let held = if press.held { "hold " } else { "" };
        self.steps.push(format!("{held}{} {}", press.key.name(), said(&saved)));
        self.waiting.extend(saved);
    }

    /// The answers that are expected, and then what the hand felt, or anything.
    fn go_along(&mut self) {
        for _ in 0..self.chance.below(8) {
            self.press(Press::short(Key::Centre));
        }
        for _ in 0..self.chance.below(4) {
            let key = self.chance.one(&[Key::Up, Key::Down, Key::Right, Key::Left]);
            self.press(Press::short(key));
        }
        if self.chance.once_in(3) {
            self.press(Press::long(Key::Left));
        }
    }

    fn press_anything(&mut self) {
        for _ in 0..=self.chance.below(8) {
            let key = self.chance.one(&Key::ALL);
            let held = self.chance.once_in(4);
            self.press(if held { Press::long(key) } else { Press::short(key) });
        }
    }

    /// Takes what the held centre offers under one of these `words`, and the expected answers behind it.
    fn choose(&mut self, words: &[&str]) {
        self.press(Press::long(Key::Centre));
        for _ in 0..12 {
            let screen = self.real.screen();
            if words.iter().any(|words| screen.contains(&format!("> {words}"))) {
                if words == NEW_LENS_RIGHT {
                    // Why: the first cause behind "no".
                    self.press(Press::short(Key::Centre));
                    self.press(Press::short(Key::Down));
                }
                // What a job is opened with, and what a dial is stated with, are answered at once.
                for _ in 0..2 + self.chance.below(4) {
                    self.press(Press::short(Key::Centre));
                }
                return;
            }
            self.press(Press::short(Key::Down));
        }
    }

    fn order(&mut self) -> JobId {
        self.chance.one(&self.real.orders.clone())
    }

    fn type_fact(&mut self) {
        let job = self.order();
        let record = match self.chance.below(2) {
            0 => self.real.pass(job, &self.chance.pass()),
            _ => self.real.log(job, self.chance.fact()),
        };
        match record {
            Ok(record) => self.wrote(record),
            // The guard, or a dial that is not stated.
            Err(refused) => self.steps.push(format!("refused: {refused}")),
        }
    }

    /// The console wrote a record.
    fn wrote(&mut self, record: Record) {
        self.steps.push(format!("console {}", said(&[record])));
        self.book.push(record);
    }

    fn remake(&mut self) -> Result<(), String> {
        let (job, eye) = (self.order(), self.chance.one(&Eye::BOTH));
        let expected = Naive(&self.book).remade(job, eye.index());
        let record = self.real.remake(job, eye).map_err(|why| format!("remake: {why}"))?;
        self.wrote(record);
        match record.says {
            Says::Remake(lens) if lens.number == expected => Ok(()),
            says => Err(format!("remake: {says:?} should be of lens {expected}")),
        }
    }

    /// Voids any record that is in the book.
    fn void(&mut self) -> Result<(), String> {
        // What was logged lately is undone more often.
        let lately = self.chance.below(2) * self.book.len().saturating_sub(5);
        let target = self.chance.one(&self.book[lately..]);
        let can = Naive(&self.book).can_be_voided(&target);
        match self.real.void(target.id) {
            Ok(record) => {
                self.wrote(record);
                if can { Ok(()) } else { Err(format!("void: of {target:?} should be refused")) }
            }
            Err(why) if can => Err(format!("void: {why} ({target:?})")),
            Err(_) => Ok(()),
        }
    }

    fn file(&mut self) {
        let unfiled = Naive(&self.book).unfiled();
        if unfiled.is_empty() {
            return;
        }
        let (from, to) = (self.chance.one(&unfiled), self.order());
        match self.real.file(from, to) {
            Ok(record) => self.wrote(record),
            Err(why) => self.steps.push(format!("not filed: {why}")),
        }
    }

    fn state_dial(&mut self) {
        let record = self.real.state_dial(self.chance.dial()).unwrap();
        self.wrote(record);
    }

    /// Whether everybody holds to be so what the model says.
    pub(super) fn compare(&mut self) -> Result<(), String> {
        let (book, known) = (Naive(&self.book), self.known());
        for job in &self.real.orders {
            let found = self.real.console(*job).map_err(|why| format!("console: {why}"))?;
            same("console", &found, &book.state(*job))?;
            let (told, memory) = self.real.memory(*job);
            // Beside those of the orders there may be cards of jobs opened at the keypad.
            let jobs = 2 + self.book.iter().filter(|record| kind(record) == "opened").count();
            if !told && jobs > real::CARDS {
                continue;
            }
            same("card", &told, &true)?;
            same("card", &real::state(&memory), &Naive(&known).state(*job))?;
        }
        let astray = self.real.astray().map_err(|why| format!("words: {why}"))?;
        same("words", &astray, &Vec::new())?;
        let unfiled = self.real.unfiled().map_err(|why| format!("unfiled: {why}"))?;
        let expected: Vec<_> = book.unfiled().into_iter().map(|job| (job, book.state(job))).collect();
        same("unfiled", &unfiled, &expected)?;
        let sorted = |sizes: Vec<_>| {
            let mut sizes: Vec<String> = sizes.iter().map(|size| format!("{size:?}")).collect();
            sizes.sort();
            sizes
        };
        let history = self.real.history().map_err(|why| format!("history: {why}"))?;
        same("history", &sorted(history), &sorted(book.history()))?;
        let shown = self.real.shown().map_err(|why| format!("shown: {why}"))?;
        same("shown", &shown, &book.shown())?;
        let dial = self.real.dial().map_err(|why| format!("station: {why}"))?;
        same("station", &dial, &book.dial())?;
        self.compare_in_hand()
    }

    /// What the keypad knows: what it has heard of the book, and what it logged since.
    fn known(&self) -> Vec<Record> {
        self.book[..self.heard].iter().chain(&self.waiting).copied().collect()
    }

    fn compare_in_hand(&mut self) -> Result<(), String> {
        let memory = |job| self.real.memory(job).1;
        let Some((job, holds)) = self.real.in_hand(memory) else { return Ok(()) };
        let known = self.known();
        // What a keypad's own job shows at the keypad once it is filed is the order's.
        if Naive(&known).is_filed(job) {
            return Ok(());
        }
        self.in_hand += 1;
        same("keypad", &real::state(&memory(job)), &Naive(&known).state(job))?;
        match holds {
            true => Ok(()),
            false => {
                Err(format!("screen: it shows something else than its memory tells:\n{}", self.real.screen()))
            }
        }
    }
}

fn same<T: PartialEq + std::fmt::Debug>(what: &str, found: &T, expected: &T) -> Result<(), String> {
    if found == expected { Ok(()) } else { Err(format!("{what}: {found:?}\n  should be {expected:?}")) }
}

fn said(records: &[Record]) -> String {
    let one =
        |record: &Record| format!("[{:04x}:{} {:?}]", record.id.journal.0 >> 48, record.id.seq, record.says);
    records.iter().map(one).collect()
}
