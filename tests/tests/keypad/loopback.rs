//! The keypad's application and the console's bench in one process, over a pipe, with time as an argument.

use crate::shop::{assert_whole, at_sizing, done, numbers};
use crate::worn::{Counts, Worn};
use bevelbook::keypad::{Bench, LAYOUT, Note, Now, PAGES, PipeEnd, pipe};
use bevelbook::settings::Settings;
use bevelbook::work::Work;
use bevelbook_core::link::pump;
use bevelbook_core::record::JournalId;
use bevelbook_keypad::app::App;
use bevelbook_keypad::keys::{Key, Press};
use bevelbook_keypad::memory::faults::FaultyPages;
use bevelbook_keypad::memory::{Consent, Memory};
use bevelbook_keypad::screen::text::render;
use bevelbook_tests::Shop;

type Pages = Worn<FaultyPages<{ PAGES as usize }>>;

/// Wall time when the keypad was started: 2026-03-01T09:00:00Z.
const UTC_MS: i64 = 1_772_355_600_000;

pub(crate) struct Pair {
    pub(crate) shop: Shop,
    app: App<Pages>,
    near: PipeEnd,
    far: PipeEnd,
    bench: Option<Bench>,
    notes: Vec<Note>,
    ms: u64,
    /// How often each page was written.
    pub(crate) worn: Counts,
}

impl Pair {
    fn new(jobs: u32) -> Self {
        Self::of(at_sizing(jobs))
    }

    /// A keypad of this shop's, with the cards of its open jobs.
    pub(crate) fn of(shop: Shop) -> Self {
        let pages = Pages::new(FaultyPages::blank());
        let worn = pages.counts();
        let (memory, _) = Memory::begin(pages, LAYOUT, JournalId(0xb0a4d), Consent::KeepRecords).unwrap();
        let (near, far) = pipe();
        let app = App::new(memory, "loop");
        let mut pair = Self { shop, app, near, far, bench: None, notes: Vec::new(), ms: 0, worn };
        pair.plug();
        pair.run(100);
        let now = pair.now();
        pair.bench().adopt("loop", now);
        pair.run(5000);
        pair
    }

    fn bench(&mut self) -> &mut Bench {
        self.bench.as_mut().unwrap()
    }

    pub(crate) fn plug(&mut self) {
        (self.near, self.far) = pipe();
        let work = Work::open(self.shop.book(), Settings::defaults().unwrap()).unwrap();
        self.bench = Some(Bench::new(work, self.now()).unwrap());
    }

    fn now(&self) -> Now {
        Now { ms: self.ms, utc_ms: UTC_MS + self.ms as i64 }
    }

    /// Lets time pass; both ends turn every 10 ms.
    pub(crate) fn run(&mut self, ms: u64) {
        self.turn_every(10, ms);
    }

    /// The same with a turn in so many milliseconds, where much time passes.
    pub(crate) fn turn_every(&mut self, step_ms: u64, ms: u64) {
        for _ in 0..ms.div_ceil(step_ms) {
            self.ms += step_ms;
            pump(&mut self.near, &mut self.app, self.ms).unwrap();
            let now = self.now();
            if let Some(bench) = &mut self.bench {
                bench.turn(&mut self.far, now).unwrap();
                self.notes.extend(std::iter::from_fn(|| bench.take_note()));
            }
        }
    }

    pub(crate) fn press(&mut self, key: Key) {
        self.app.press(Press::short(key), self.ms);
        self.ms += 310;
    }

    /// The console is gone.
    pub(crate) fn unplug(&mut self) {
        self.bench = None;
    }

    /// The keypad loses its power and starts again; the console stays away.
    fn restart(self) -> Self {
        let (near, far) = pipe();
        let pages = self.app.into_memory().into_pages();
        let app = App::new(Memory::open(pages, LAYOUT).unwrap().0, "loop");
        Self { app, near, far, bench: None, ms: self.ms, ..self }
    }

    pub(crate) fn hold(&mut self, key: Key) {
        self.app.press(Press::long(key), self.ms);
        self.ms += 310;
    }

    pub(crate) fn screen(&self) -> String {
        render(&self.app.screen(self.ms)).to_string()
    }

    pub(crate) fn saved(&self) -> u64 {
        u64::from(self.app.memory().next()) - 1
    }

    /// What the console told.
    pub(crate) fn notes(&self) -> impl Iterator<Item = String> {
        self.notes.iter().map(Note::to_string)
    }

    /// What the console said of records, without the times.
    fn said(&self) -> Vec<String> {
        let says = |note: &Note| match note {
            Note::Record { says, .. } => Some(says.clone()),
            _ => None,
        };
        self.notes.iter().filter_map(says).collect()
    }
}

/// What comes next once the right lens fits.
const BEVEL: &str = "check the right lens: pin bevel (safety chamfer), both edges";

#[test]
fn presses_become_records_in_the_book_once_and_dated() {
    let mut pair = Pair::new(1);
    pair.press(Key::Centre);
    for key in [Key::Up, Key::Right, Key::Down] {
        pair.press(key);
    }
    pair.run(2000);
    assert_whole(&pair.shop, 3);
    let said = pair.said();
    assert_eq!(said.len(), 3, "{said:?}");
    assert!(said[0].starts_with("right: +0.40 mm on diameter: much too big"), "{said:?}");
    let log = crate::shop::log(&pair.shop);
    assert!(log[0]["at"].as_str().unwrap().starts_with("2026-03-01T09:00:05"), "{log:?}");
    assert_eq!(pair.app.memory().unacknowledged(), 0);
    assert_eq!(done(&pair.shop, &["job", "list", "--json"]).json()[0]["next"], BEVEL);
}

#[test]
fn what_was_just_logged_can_be_undone_although_the_console_has_it() {
    let mut pair = Pair::new(1);
    pair.press(Key::Centre);
    pair.press(Key::Up);
    pair.run(3000);
    assert!(pair.screen().contains("big at +0.40"), "{}", pair.screen());
    pair.hold(Key::Left);
    assert!(pair.screen().contains("undone"), "{}", pair.screen());
    pair.run(3000);
    pair.press(Key::Centre);
    assert!(pair.screen().contains("big at +0.60"), "{}", pair.screen());
    let show = done(&pair.shop, &["job", "show", "1"]).stdout;
    assert!(show.contains("UNDONE  right: +0.40"), "{show}");
}

#[test]
fn a_job_that_is_closed_at_the_desk_goes_from_the_keypad_and_stays_away_when_it_starts_again() {
    let mut pair = Pair::new(2);
    pair.press(Key::Centre);
    for key in [Key::Up, Key::Right, Key::Down] {
        pair.press(key);
    }
    pair.run(2000);
    done(&pair.shop, &["job", "close", "1", "--despite", "the customer came back"]);
    pair.run(8000);
    assert!(!pair.screen().contains("walk-in"), "{}", pair.screen());
    pair.press(Key::Down);
    assert_eq!(pair.saved(), 3, "no step of it is asked for: {}", pair.screen());
    let pair = pair.restart();
    assert!(!pair.screen().contains("walk-in"), "{}", pair.screen());
    assert_eq!(pair.app.memory().unacknowledged(), 0, "all of it is in the book");
}

/// Sizes both lenses of the job in hand with `passes` passes each, the last of which fits, and bevels their edges.
fn size_pair(pair: &mut Pair, passes: u32) {
    for _eye in 0..2 {
        for pass in 1..=passes {
            pair.press(if pass == passes { Key::Down } else { Key::Right });
        }
        pair.press(Key::Centre);
    }
}

#[test]
fn a_day_of_two_hundred_passes_without_a_console_comes_in_whole_and_in_order() {
    let mut pair = Pair::new(12);
    pair.bench = None;
    pair.run(5000);
    assert_eq!(pair.app.memory().cards().count(), 12);
    while !pair.screen().contains("> 1 ") {
        pair.press(Key::Up);
    }
    pair.press(Key::Centre);
    for job in 1..=12 {
        size_pair(&mut pair, 9);
        assert_eq!(pair.saved(), 20 * job, "{job}: {}", pair.screen());
        if job < 12 {
            // Hold the centre, another job, the one below.
            pair.hold(Key::Centre);
            for key in [Key::Down, Key::Centre, Key::Down, Key::Centre] {
                pair.press(key);
            }
        }
    }
    assert_eq!(pair.saved(), 240);
    assert!(pair.screen().contains("240 held"), "{}", pair.screen());
    assert_eq!(numbers(&pair.shop), [0_u64; 0]);
    pair.plug();
    pair.run(20_000);
    assert_whole(&pair.shop, 240);
    assert_eq!(pair.said().len(), 240);
    assert_eq!(pair.app.memory().unacknowledged(), 0);
    let jobs = done(&pair.shop, &["job", "list", "--json"]).json();
    for job in jobs.as_array().unwrap() {
        assert_eq!(job["next"], "read the right lens in the frame", "{job}");
    }
    // In the order of the day: 18 passes of a job and two bevels, then the next job.
    for (at, record) in crate::shop::log(&pair.shop).iter().enumerate() {
        assert_eq!(record["job"].as_u64(), Some(at as u64 / 20 + 1), "{record}");
    }
}

#[test]
fn a_full_journal_refuses_says_so_and_takes_records_again_once_the_console_has_them() {
    let mut pair = Pair::new(1);
    pair.bench = None;
    pair.press(Key::Centre);
    let full = u64::from(LAYOUT.journal_pages());
    for seq in 1..=full {
        pair.hold(Key::Up);
        assert_eq!(pair.saved(), seq, "{}", pair.screen());
    }
    pair.hold(Key::Up);
    assert_eq!(pair.saved(), full);
    let screen = pair.screen();
    assert!(screen.contains("NOT SAVED") && screen.contains("memory is full"), "{screen}");
    pair.plug();
    pair.run(20_000);
    assert_whole(&pair.shop, full);
    pair.press(Key::Centre);
    pair.hold(Key::Up);
    assert_eq!(pair.saved(), full + 1, "{}", pair.screen());
    pair.run(2000);
    assert_whole(&pair.shop, full + 1);
}
