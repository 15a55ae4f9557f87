//! The real ends under the model: a book with two consoles at it, and a keypad on a line in memory, with time as an
//! argument. What the model needs of the library stands here and nowhere else.

use super::naive::{Lens, Record, Says, State};
use crate::shop::open_job;
use bevelbook::belief::Rims;
use bevelbook::desk::{Bearer, Cause, Desk};
use bevelbook::keypad::{Bench as Attending, Now, PipeEnd, pipe};
use bevelbook::settings::Settings;
use bevelbook::work::{Fact, Line, PassEntry, SizedJob, Work, WorkError};
use bevelbook_core::link::{CARD_BOUND, Card, End, MAX_WIRE, pump};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{
    Bench, CheckItem, JobId, JobState, JournalId, LensId, LensState, PairId, RecordId,
};
use bevelbook_core::record::{StationEvent, Void};
use bevelbook_core::sizing::{Dial, Size};
use bevelbook_keypad::app::App;
use bevelbook_keypad::keys::Press;
use bevelbook_keypad::memory::faults::{Fault, FaultyPages};
use bevelbook_keypad::memory::{Consent, Layout, Memory, Page, Pages};
use bevelbook_keypad::screen::text::render;
use bevelbook_tests::Shop;
use std::cell::RefCell;
use std::fmt;
use std::rc::Rc;
use std::sync::OnceLock;
use tempfile::TempDir;

/// Room for some ninety records and [`CARDS`].
const PAGES: usize = 224;

/// How many cards there is room for; one place more is kept free for replacing one.
pub(super) const CARDS: usize = 7;

fn layout() -> Layout {
    Layout::new(PAGES as u16, CARDS as u8 + 1, 15).unwrap()
}

/// The keypad's pages, which can be looked at while it runs, and which do not show when it is printed.
#[derive(Clone)]
struct Chip(Rc<RefCell<FaultyPages<PAGES>>>);

impl fmt::Debug for Chip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Chip")
    }
}

impl Pages for Chip {
    type Error = Fault;

    fn count(&self) -> u16 {
        PAGES as u16
    }

    fn read(&mut self, page: u16, into: &mut Page) -> Result<(), Fault> {
        self.0.borrow_mut().read(page, into)
    }

    fn write(&mut self, page: u16, from: &Page) -> Result<(), Fault> {
        self.0.borrow_mut().write(page, from)
    }
}

struct AppEnd<'a>(&'a mut App<Chip>);

impl End for AppEnd<'_> {
    fn feed(&mut self, bytes: &[u8], now_ms: u64) {
        self.0.feed(bytes, now_ms);
    }

    fn poll_transmit<'b>(&mut self, buffer: &'b mut [u8; MAX_WIRE], now_ms: u64) -> Option<&'b [u8]> {
        self.0.poll_transmit(buffer, now_ms)
    }
}

/// A book with two orders for the same frame, made once and copied.
fn template() -> &'static Shop {
    static TEMPLATE: OnceLock<Shop> = OnceLock::new();
    TEMPLATE.get_or_init(|| {
        let shop = Shop::new();
        (1..=2).for_each(|number| open_job(&shop, number));
        shop
    })
}

pub(crate) struct Real {
    folder: TempDir,
    /// The console at which the facts are typed.
    work: Work,
    /// The console beside the keypad, when there is one.
    attending: Option<Attending>,
    near: PipeEnd,
    far: PipeEnd,
    chip: Chip,
    app: Option<App<Chip>>,
    ms: u64,
    /// The last number of the keypad that was told.
    told: u32,
    pub(crate) orders: Vec<JobId>,
}

impl Real {
    /// Both ends, the keypad adopted and its cards there; and what is in the book.
    pub(crate) fn new() -> (Self, Vec<Record>) {
        let folder = tempfile::tempdir().unwrap();
        let book = folder.path().join("book.sqlite");
        std::fs::copy(template().book(), &book).unwrap();
        let work = Work::open(&book, Settings::defaults().unwrap()).unwrap();
        let jobs = work.jobs().unwrap().whole;
        let ordered = jobs.iter().map(|job| Record { id: job.lines[0].id, says: Says::Order(job.id) });
        let ordered: Vec<Record> = ordered.collect();
        let orders = jobs.iter().map(|job| job.id).collect();
        let chip = Chip(Rc::new(RefCell::new(FaultyPages::blank())));
        let begun = Memory::begin(chip.clone(), layout(), JournalId(0xb0a4d), Consent::KeepRecords);
        let app = Some(App::new(begun.unwrap().0, "model"));
        let (near, far) = pipe();
        let mut real = Self { folder, work, attending: None, near, far, chip, app, ms: 0, told: 0, orders };
        real.plug();
        real.run(200);
        let now = real.now();
        real.attending.as_mut().unwrap().adopt("model", now);
        real.settle();
        (real, ordered)
    }

    fn now(&self) -> Now {
        // Some day in 2026.
        Now { ms: self.ms, utc_ms: 1_772_355_600_000 + self.ms as i64 }
    }

    fn run(&mut self, ms: u64) {
        for _ in 0..ms.div_ceil(25) {
            self.ms += 25;
            let Some(attending) = &mut self.attending else { continue };
            let now = Now { ms: self.ms, utc_ms: 1_772_355_600_000 + self.ms as i64 };
            pump(&mut self.near, &mut AppEnd(self.app.as_mut().unwrap()), self.ms).unwrap();
            attending.turn(&mut self.far, now).unwrap();
            while attending.take_note().is_some() {}
        }
    }

    /// Lets the ends talk until neither has anything new for the other.
    pub(crate) fn settle(&mut self) {
        self.run(1250);
    }

    pub(crate) fn is_plugged(&self) -> bool {
        self.attending.is_some()
    }

    pub(crate) fn plug(&mut self) {
        (self.near, self.far) = pipe();
        let book = self.folder.path().join("book.sqlite");
        let work = Work::open(&book, Settings::defaults().unwrap()).unwrap();
        self.attending = Some(Attending::new(work, self.now()).unwrap());
    }

    pub(crate) fn unplug(&mut self) {
        self.attending = None;
    }

    /// Switches the keypad off and on.
    pub(crate) fn restart(&mut self) {
        drop(self.app.take());
        self.app = Some(App::new(Memory::open(self.chip.clone(), layout()).unwrap().0, "model"));
    }

    /// Presses a key; what the keypad saved because of it.
    pub(crate) fn press(&mut self, press: Press) -> Vec<Record> {
        self.app.as_mut().unwrap().press(press, self.ms);
        self.run(25);
        // Longer than presses are ignored behind a record.
        self.ms += 310;
        let app = self.app.as_mut().unwrap();
        let (journal, next) = (app.memory().journal(), app.memory().next());
        let saved = (self.told + 1..next).map(|seq| {
            let fact = app.record_at(seq).unwrap().unwrap().fact().unwrap();
            Record { id: RecordId { journal, seq }, says: Says::Bench(fact) }
        });
        let saved: Vec<Record> = saved.collect();
        self.told = next - 1;
        saved
    }
}

/// What is typed at the console; each gives the record, or says why there is none.
impl Real {
    pub(crate) fn log(&mut self, job: JobId, fact: impl Fn(PairId) -> Bench) -> Result<Record, WorkError> {
        let logging = self.work.log_pair(job, fact)?;
        Ok(Record { id: logging.id, says: Says::Bench(logging.fact) })
    }

    pub(crate) fn pass(&mut self, job: JobId, entry: &PassEntry) -> Result<Record, WorkError> {
        let logging = self.work.log_pass(job, entry)?;
        Ok(Record { id: logging.id, says: Says::Bench(logging.fact) })
    }

    pub(crate) fn remake(&mut self, job: JobId, eye: Eye) -> Result<Record, WorkError> {
        let mut remake = |lens| self.work.remake(job, eye, lens, Cause::Damaged, Bearer::Shop, "");
        let job = match remake(None) {
            // Asked which of its lenses was spoiled, a person says that it was the one in hand.
            Err(WorkError::WhichLens { present, .. }) => remake(Some(present))?.job,
            remade => remade?.job,
        };
        let told = job.lines.iter().rev().find_map(|line| match &line.fact {
            Fact::Desk(Desk::Remake(remake)) => Some((line.id, remake.lens)),
            _ => None,
        });
        let (id, number) = told.unwrap();
        Ok(Record { id, says: Says::Remake(LensId { job: job.id, eye, number }) })
    }

    pub(crate) fn file(&mut self, from: JobId, to: JobId) -> Result<Record, WorkError> {
        let job = self.work.file(from, to)?;
        let filing =
            |line: &&Line| matches!(&line.fact, Fact::Desk(Desk::Filing(filing)) if filing.from == from);
        let id = job.lines.iter().rfind(filing).unwrap().id;
        Ok(Record { id, says: Says::Filing { from, to } })
    }

    pub(crate) fn state_dial(&mut self, dial: Dial) -> Result<Record, WorkError> {
        let event = StationEvent::Dial(dial);
        Ok(Record { id: self.work.log_station(event)?, says: Says::Bench(Bench::Station(event)) })
    }

    pub(crate) fn void(&mut self, target: RecordId) -> Result<Record, WorkError> {
        let id = self.work.void(target)?.id;
        Ok(Record { id, says: Says::Bench(Bench::Void(Void { job: None, target })) })
    }
}

/// What each end holds to be so.
impl Real {
    pub(crate) fn console(&self, job: JobId) -> Result<State, WorkError> {
        Ok(state(&self.work.job(job)?.state))
    }

    /// How what jobs are found by differs from what their records give.
    pub(crate) fn astray(&self) -> Result<Vec<String>, WorkError> {
        self.work.astray()
    }

    pub(crate) fn unfiled(&self) -> Result<Vec<(JobId, State)>, WorkError> {
        Ok(self.work.unfiled()?.iter().map(|own| (own.id, state(&own.state))).collect())
    }

    pub(crate) fn history(&self) -> Result<Vec<Size>, WorkError> {
        let alike = self.work.sized_of(&self.work.job(self.orders[0])?.order.frame)?;
        Ok(alike.iter().flat_map(SizedJob::fits).map(|(_, size)| size).collect())
    }

    /// What rims were shown, that of the newest pass first.
    pub(crate) fn shown(&self) -> Result<Vec<Rims>, WorkError> {
        Ok(self.work.sized_lately(u32::MAX)?.into_iter().map(|sized| sized.rims).collect())
    }

    pub(crate) fn dial(&self) -> Result<Option<Dial>, WorkError> {
        self.work.station()
    }

    /// What the keypad's memory tells of a job: its card, with the keypad's own records that it does not include laid over
    /// it. Whether there is a card, too.
    pub(crate) fn memory(&self, job: JobId) -> (bool, JobState) {
        let copy = Chip(Rc::new(RefCell::new(self.chip.0.borrow().clone())));
        let (mut memory, _) = Memory::open(copy, layout()).unwrap();
        let mut bytes = [0; CARD_BOUND];
        let card = memory.read_card(job, &mut bytes).unwrap().map(|card| Card::decode(card).unwrap());
        let included = card.as_ref().map_or(0, |card| card.includes_upto);
        let own = (included + 1).max(memory.oldest())..memory.next();
        let own: Vec<(u32, Bench)> =
            own.map(|seq| (seq, memory.read(seq).unwrap().unwrap().fact().unwrap())).collect();
        let voids = |seq: u32| move |(_, fact): &(u32, Bench)| matches!(fact, Bench::Void(void) if void.target.seq == seq);
        let told = card.is_some();
        let card = card.unwrap_or_else(|| Card::blank(job));
        let mut state = card.state;
        let ours = |of: &JobId| *of == job || card.filed.contains(of);
        for (seq, fact) in own.iter().filter(|(_, fact)| fact.job().is_some_and(|of| ours(&of))) {
            if !own.iter().any(voids(*seq)) {
                state.apply(&fact.filed_under(job));
            }
        }
        (told, state)
    }

    /// The job that the application has in hand, and whether it holds `expected` of it to be so.
    pub(crate) fn in_hand(&self, expected: impl FnOnce(JobId) -> JobState) -> Option<(JobId, bool)> {
        // The application tells what it works with nowhere but where it is printed.
        let printed = format!("{:?}", self.app.as_ref().unwrap());
        let card = printed.split_once("card: Card { job: JobId(")?.1;
        let job = JobId(card.split(')').next()?.parse().ok()?);
        Some((job, card.contains(&format!("state: {:?}", expected(job)))))
    }

    pub(crate) fn screen(&self) -> String {
        render(&self.app.as_ref().unwrap().screen(self.ms)).to_string()
    }
}

/// The state of a job in the model's own terms.
pub(crate) fn state(job: &JobState) -> State {
    let pair = CheckItem::ALL.into_iter().filter_map(|item| Some((item.words(), job.checks.get(item)?)));
    State {
        lenses: Eye::BOTH.map(|eye| lens(job.lens(eye))),
        rims: job.rims,
        centres: job.centres.map(|distance| distance.centres),
        checks: pair.collect(),
    }
}

fn lens(lens: &LensState) -> Lens {
    let checks = CheckItem::ALL.into_iter().filter_map(|item| Some((item.words(), lens.checks.get(item)?)));
    Lens {
        number: lens.number,
        mark: lens.mark.map(|mark| mark.axis),
        uncut: lens.uncut.map(|reading| reading.read.power().sphere),
        mounted: lens.mounted.map(|reading| reading.read.power().sphere),
        girths: [lens.girth, lens.rim_girth],
        sizing: lens.sizing,
        checks: checks.collect(),
    }
}
