//! A console of the crowd: a process with a journal of its own, some keypads on benches of their own, and somebody who types.
//!
//! It is this test program, run by another test, which tells it what to do by its environment and reads what it says.

use crate::keypad::{Chance, Keypad};
use crate::{account, shop};
use bevelbook::desk::{Bearer, Cause};
use bevelbook::keypad::Clock;
use bevelbook::work::{Work, WorkError};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{JobId, RecordId};
use bevelbook_core::sizing::Outcome;
use std::io::Read;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// Names the book, and says what is to be done.
pub(crate) const BOOK: &str = "BEVELBOOK_TEST_BOOK";
pub(crate) const WHAT: &str = "BEVELBOOK_TEST_CONSOLE";

/// How long it may take until anything more is in the book once nobody presses or types any more, or until a console is begun.
const SETTLES: Duration = Duration::from_secs(120);

/// How long a wait is at most, so that a press and an end are not late.
const LONGEST_MS: u64 = 50;

/// What a console is to do.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Task {
    /// Which of the consoles it is.
    pub(crate) number: usize,
    pub(crate) keypads: usize,
    /// How many records each keypad saves, unless it is told to end before.
    pub(crate) records: u32,
    /// How many times something is typed.
    pub(crate) typed: usize,
    /// Between two presses of a keypad, and between two things that are typed.
    pub(crate) pace_ms: u64,
}

impl Task {
    pub(crate) fn to_text(self) -> String {
        let Self { number, keypads, records, typed, pace_ms } = self;
        format!("{number} {keypads} {records} {typed} {pace_ms}")
    }

    fn of(text: &str) -> Self {
        let mut numbers = text.split(' ').map(|number| number.parse::<usize>().unwrap());
        let mut next = || numbers.next().unwrap();
        let (number, keypads, records) = (next(), next(), next() as u32);
        Self { number, keypads, records, typed: next(), pace_ms: next() as u64 }
    }
}

/// No test by itself: what other tests run as processes of their own.
#[test]
#[ignore = "run by other tests"]
fn a_console_of_the_crowd() {
    if let (Ok(book), Ok(what)) = (std::env::var(BOOK), std::env::var(WHAT)) {
        println!();
        run(&book, Task::of(&what));
        println!("{}", account::END);
    }
}

fn run(book: &str, task: Task) {
    let (clock, seed) = (Clock::start(), task.number as u64 * 1000);
    let opened = |seed| loop {
        // Whoever starts a console while the server is away starts it again.
        if let Ok(keypad) = shop::open(book).and_then(|work| Keypad::new(work, seed, clock.now())) {
            break keypad;
        }
        assert!(clock.now().ms < SETTLES.as_millis() as u64, "{:?}", shop::open(book));
        std::thread::sleep(Duration::from_millis(100));
    };
    let mut keypads: Vec<Keypad> = (0..task.keypads as u64).map(|keypad| opened(seed + keypad)).collect();
    let mut told = vec![0; keypads.len()];
    let mut typist = Typist::new(book, task);
    let ended = told_to_end();
    let mut settles = Settles::default();
    loop {
        let now = clock.now();
        let works = !ended.load(Ordering::Relaxed)
            && (typist.left > 0 || keypads.iter().any(|keypad| keypad.saved() < task.records));
        let mut next_ms = now.ms + LONGEST_MS;
        for (keypad, told) in keypads.iter_mut().zip(&mut told) {
            if works && keypad.saved() < task.records {
                keypad.press_any(now, task.pace_ms);
            }
            next_ms = keypad.turn(now).min(next_ms);
            if keypad.acknowledged() > *told {
                *told = keypad.acknowledged();
                account::say_acknowledged(keypad.journal(), *told);
            }
        }
        if works {
            typist.type_one(now.ms);
        } else if keypads.iter().all(|keypad| keypad.acknowledged() == keypad.saved()) {
            break;
        } else {
            let last = |keypad: &Keypad| format!("{:?}", keypad.notes.last());
            let lasts = || keypads.iter().map(last).collect::<Vec<_>>();
            assert!(settles.goes_on(told.iter().sum()), "{told:?}: {:?}", lasts());
        }
        std::thread::sleep(Duration::from_millis(next_ms.saturating_sub(clock.now().ms)));
    }
    for keypad in &mut keypads {
        let journal = keypad.journal();
        keypad.records().iter().for_each(|record| account::say_held(journal, record));
    }
}

/// How far the book has come with what is held: much may wait on keypads where a server was away for most of the time.
#[derive(Default)]
struct Settles {
    acknowledged: u32,
    since: Option<Instant>,
}

impl Settles {
    /// Whether anything more was acknowledged lately.
    fn goes_on(&mut self, acknowledged: u32) -> bool {
        let more = std::mem::replace(&mut self.acknowledged, acknowledged) < acknowledged;
        let since = self.since.filter(|_| !more).unwrap_or_else(Instant::now);
        self.since = Some(since);
        since.elapsed() < SETTLES
    }
}

/// Whether the standard input was closed.
fn told_to_end() -> Arc<AtomicBool> {
    let ended = Arc::new(AtomicBool::new(false));
    std::thread::spawn({
        let ended = ended.clone();
        move || {
            let _ = std::io::stdin().read_to_end(&mut Vec::new());
            ended.store(true, Ordering::Relaxed);
        }
    });
    ended
}

/// Whoever types at a console, each command on a book that it opens.
struct Typist<'b> {
    book: &'b str,
    task: Task,
    chance: Chance,
    left: usize,
    next_ms: u64,
}

impl<'b> Typist<'b> {
    fn new(book: &'b str, task: Task) -> Self {
        Self { book, task, chance: Chance::new(task.number as u64 + 77), left: task.typed, next_ms: 0 }
    }

    fn type_one(&mut self, now_ms: u64) {
        if now_ms < self.next_ms || self.left == 0 {
            return;
        }
        self.next_ms = now_ms + self.task.pace_ms;
        self.left -= 1;
        let text = format!("typed-{}-{}", self.task.number, self.left);
        let typed = shop::open(self.book).and_then(|mut work| self.command(&mut work, &text));
        account::say_typed(&text, typed);
    }

    /// What is typed: half of it tells by its text alone whether it is in the book.
    fn command(&mut self, work: &mut Work, text: &str) -> Result<Option<RecordId>, WorkError> {
        let job = |work: &Work, at: &str| -> Result<JobId, WorkError> { Ok(work.find(at)?.id) };
        let eye = Eye::BOTH[self.chance.below(2)];
        match self.chance.below(4) {
            0 => work.note(job(work, "1")?, text).map(Some),
            1 => {
                let opened = work.open_job(shop::order(text), None)?.0.id;
                // Nobody works on it: keypads have no cards of what is closed. Whether that is recorded is no matter here.
                let _ = work.close(opened, "collected", Some("ordered twice"));
                Ok(None)
            }
            2 => {
                let outcome = [Outcome::JustTooBig, Outcome::Fits][self.chance.below(2)];
                let entry = shop::pass(eye, 5 * self.chance.below(12), outcome);
                work.log_pass(job(work, shop::FOUGHT)?, &entry).map(|logged| Some(logged.id))
            }
            _ => work
                .remake(job(work, shop::FOUGHT)?, eye, None, Cause::Damaged, Bearer::Shop, text)
                .map(|_| None),
        }
    }
}
