//! A book drawn by chance, written past the console, and beside it what was done in truth: no record is read back for it.

use crate::chance::Chance;
use crate::clock::Clock;
use crate::truth::{Drawn, Told, Truth, When};
use bevelbook::desk::{Bearer, Cause, Closing, Desk, Filing, Frame, LensChoice, Order, Remake};
use bevelbook::settings::Settings;
use bevelbook::store::{Book, Error, NewEntry, Received, Tx};
use bevelbook::work::Work;
use bevelbook_core::frame::{FrameSize, PupillaryDistance};
use bevelbook_core::prescription::{Eye, EyeOrder};
use bevelbook_core::record::*;
use bevelbook_core::sizing::{Basis, Counting, Dialled, Outcome, Rim};
use bevelbook_core::units::Length;
use bevelbook_tests::Shop;

/// 2026-01-26 09:00 UTC, in seconds.
const BEGUN: i64 = 1_769_418_000;

/// The shop lies five hours behind.
pub(crate) const BEHIND_S: i64 = 5 * 3600;

const KEYPAD: JournalId = JournalId(0xaa);

/// Seconds between two records, the bound of a pause among them.
const GAPS: [i64; 10] = [10, 25, 61, 90, 240, 500, 15 * 60, 15 * 60 + 1, 3000, 70_000];

/// A record of work at the bench that holds.
#[derive(Clone, Copy)]
struct Made {
    at: i64,
    dated: bool,
    boot: u32,
}

struct Maker<'c> {
    chance: &'c mut Chance,
    seq: u32,
    now: i64,
    clock: Clock,
    boot: u32,
    /// The order, and as whose own the bench logs.
    job: JobId,
    own: JobId,
    work: Vec<Made>,
    truth: Truth,
    frame: &'static str,
    material: &'static str,
}

pub(crate) fn drawn(chance: &mut Chance, jobs: u32) -> Drawn {
    let shop = Shop::new();
    let mut book = Book::open_or_begin(shop.book()).unwrap();
    let none = JobId(0);
    let mut maker = Maker {
        chance,
        seq: 0,
        now: BEGUN,
        clock: Clock::Console,
        boot: 0,
        job: none,
        own: none,
        work: Vec::new(),
        truth: Truth::default(),
        frame: "",
        material: "",
    };
    let written: Result<(), Error> = book.write(|tx| (1..=jobs).try_for_each(|number| maker.job(tx, number)));
    written.unwrap();
    drop(book);
    // Opened to be written to, it gets what its jobs are found by.
    Work::open(shop.book(), Settings::defaults().unwrap()).unwrap();
    Drawn { truth: maker.truth, shop }
}

impl Maker<'_> {
    fn job(&mut self, tx: &mut Tx<'_>, number: u32) -> Result<(), Error> {
        self.clock = self.chance.one(&Clock::ALL);
        (self.boot, self.work) = (self.boot + 1, Vec::new());
        self.now += self.chance.one(&GAPS);
        self.frame = self.chance.one(&["Lindgren 7", "Oak, \"wide\"", "=Sum(1)"]);
        self.material = self.chance.one(&["cr39", "polycarbonate"]);
        let one_lens = self.chance.once_in(6);
        self.order(tx, number, one_lens)?;
        self.own = self.job;
        let filed = self.clock != Clock::Console && self.chance.once_in(5);
        if filed {
            self.own = JobId::opened_by(RecordId { journal: KEYPAD, seq: self.seq + 1 });
            self.bench(tx, Bench::Opened(Opened { job: self.own, rim: Rim::Metal }))?;
            self.work.clear();
        }
        let eyes = if one_lens { &[Eye::Right][..] } else { &Eye::BOTH };
        let mut fit = true;
        for eye in eyes {
            fit &= self.eye(tx, *eye, filed)?;
        }
        if filed {
            self.desk(tx, &Desk::Filing(Filing { from: self.own }))?;
        }
        if self.chance.below(4) > 0 {
            self.desk(
                tx,
                &Desk::Closing(Closing { how: "handed over".into(), verdict: None, despite: None }),
            )?;
            if fit {
                let (when, seconds) = (self.when(self.last_dated()), self.seconds());
                self.truth.pairs.push((when, seconds));
            }
        }
        Ok(())
    }

    fn order(&mut self, tx: &mut Tx<'_>, number: u32, one_lens: bool) -> Result<(), Error> {
        let written = match self.frame {
            // A model is one in whatever letters it is written; the first ones are shown.
            "Lindgren 7" if number > 20 && self.chance.once_in(2) => "LINDGREN 7 ",
            model => model,
        };
        let mm = Length::from_milli;
        let size = FrameSize { a: mm(50_000), b: mm(38_000), dbl: mm(18_000), ed: None };
        let eye = |text| EyeOrder::parse(text).unwrap();
        let eyes = [eye("-1.25 -0.75 x 15"), eye(if one_lens { "none" } else { "-2.00 DS" })];
        let pd = PupillaryDistance::parse("31.5/31").unwrap();
        let lens = LensChoice { material: self.material.into(), ..LensChoice::default() };
        let order = Order {
            number,
            ..Order::new("K-17".into(), eyes, pd, Frame::new(written, size, Rim::Metal), lens)
        };
        self.job = JobId::opened_by(tx.next_id()?);
        self.desk(tx, &Desk::Order(Box::new(order)))
    }

    /// The lenses of one eye; whether the last one fits.
    fn eye(&mut self, tx: &mut Tx<'_>, eye: Eye, filed: bool) -> Result<bool, Error> {
        let mut causes = Vec::new();
        for number in 1.. {
            let lens = LensId { job: self.own, eye, number };
            let (fits, loose) = self.lens(tx, lens)?;
            let another = self.chance.once_in(if fits { 8 } else { 2 });
            if !another {
                if let Some(at) = loose {
                    let cause = self.spoil(tx, lens)?;
                    self.truth.lost.push((self.when(at), (cause, None)));
                }
                for told in causes {
                    self.tell(tx, eye, told)?;
                }
                return Ok(fits);
            }
            let new = LensId { number: number + 1, ..lens };
            let (begun, told) = if !filed && self.chance.once_in(2) {
                let (remake, told) = self.told(eye, new.number);
                self.desk(tx, &Desk::Remake(remake))?;
                (Some(self.now), told)
            } else {
                let cause = self.spoil(tx, lens)?;
                self.bench(tx, Bench::NewLens(NewLens { lens: new }))?;
                causes.push((self.truth.lost.len(), new.number));
                (self.at(), (cause, None))
            };
            self.truth.lost.push((self.when(loose.unwrap_or(begun)), told));
        }
        Ok(false)
    }

    /// Tells at the bench of some lenses why they were spoiled.
    fn spoil(&mut self, tx: &mut Tx<'_>, lens: LensId) -> Result<Option<&'static str>, Error> {
        let told = self.chance.once_in(3);
        if told {
            self.bench(tx, Bench::Spoiled(Spoilage { lens, cause: Cause::Swapped }))?;
        }
        Ok(told.then_some("swapped"))
    }

    /// Tells of some lenses afterwards why they were spoiled; of some twice, and of some in vain.
    fn tell(&mut self, tx: &mut Tx<'_>, eye: Eye, (at, number): (usize, u8)) -> Result<(), Error> {
        for _ in 0..self.chance.below(3) {
            let (remake, told) = self.told(eye, number);
            self.desk(tx, &Desk::Remake(remake))?;
            if self.chance.once_in(5) {
                let target = tx.next_id()?;
                let target = RecordId { seq: target.seq - 1, ..target };
                self.console(tx, Bench::Void(Void { job: Some(self.job), target }))?;
            } else {
                self.truth.lost[at].1 = told;
            }
        }
        Ok(())
    }

    fn told(&mut self, eye: Eye, lens: u8) -> (Remake, Told) {
        let (cause, why) = self.chance.one(&[
            (Cause::Undersize, "undersize"),
            (Cause::Slipped, "slipped"),
            (Cause::Damaged, "damaged"),
        ]);
        let (bearer, who) = self.chance.one(&[
            (Bearer::Shop, "shop"),
            (Bearer::Supplier, "supplier"),
            (Bearer::Prescriber, "prescriber"),
            (Bearer::Customer, "customer"),
        ]);
        (Remake { eye, lens, cause, bearer, story: String::new() }, (Some(why), Some(who)))
    }

    /// The passes of one lens: whether it fits at the end, and when it went past its fit, if it did.
    fn lens(&mut self, tx: &mut Tx<'_>, lens: LensId) -> Result<(bool, Option<Option<i64>>), Error> {
        let check = |item, good| {
            Bench::Check(Check { entered: Entered::UNTOLD, of: Subject::Lens(lens), item, good })
        };
        let (mut passes, mut fits, mut loose) = (0, false, None);
        let mut last = None;
        for _ in 0..self.chance.below(5) {
            let felt =
                [Outcome::FarTooBig, Outcome::JustTooBig, Outcome::Abandoned, Outcome::Fits, Outcome::Fits];
            let felt = if self.chance.once_in(9) { Outcome::Loose } else { self.chance.one(&felt) };
            let amount = Length::from_milli(50 * self.chance.below(8) as i32);
            let dialled = Dialled { basis: Basis::Diameter, counting: Counting::Absolute, amount };
            self.bench(tx, Bench::Pass(Pass { advised: None, lens, dialled, outcome: felt, past: false }))?;
            if self.chance.once_in(6) {
                self.undo(tx)?;
                continue;
            }
            let at = self.at();
            (passes, fits, last) = (passes + 1, felt == Outcome::Fits, at);
            if felt == Outcome::Loose {
                loose = loose.or(Some(at));
            }
            if fits && self.chance.once_in(6) {
                self.bench(tx, check(CheckItem::Strain, false))?;
                fits = false;
            } else if fits && self.chance.once_in(2) {
                break;
            }
        }
        let fits = fits && loose.is_none();
        if self.chance.once_in(3) {
            self.bench(tx, check(CheckItem::Bevel, true))?;
        }
        if fits {
            let when = self.when(last);
            self.truth.fits.push((when, passes));
        }
        Ok((fits, loose))
    }

    /// The last record does not hold.
    fn undo(&mut self, tx: &mut Tx<'_>) -> Result<(), Error> {
        self.work.pop();
        let target = match self.clock {
            Clock::Console => {
                let next = tx.next_id()?;
                RecordId { seq: next.seq - 1, ..next }
            }
            _ => RecordId { journal: KEYPAD, seq: self.seq },
        };
        let void = Bench::Void(Void { job: Some(self.own), target });
        self.bench(tx, void)?;
        self.work.pop();
        Ok(())
    }

    /// When the last record was made, where that is known.
    fn at(&self) -> Option<i64> {
        self.work.last().and_then(|work| work.dated.then_some(work.at))
    }

    fn when(&self, at: Option<i64>) -> When {
        let day = at.map(|at| (at - BEHIND_S).div_euclid(86_400));
        When { frame: self.frame, material: self.material, day }
    }

    fn last_dated(&self) -> Option<i64> {
        self.work.iter().filter(|work| work.dated).map(|work| work.at).max()
    }

    /// How long the pair took: nothing is known of work at times that cannot be compared.
    fn seconds(&self) -> Option<i64> {
        let dated = self.work.iter().all(|work| work.dated);
        let one_boot =
            self.work.iter().all(|work| work.boot == self.work[0].boot) && self.clock != Clock::Console;
        let gaps = self.work.windows(2).map(|two| two[1].at - two[0].at).filter(|gap| *gap <= 15 * 60);
        ((dated || one_boot) && self.work.len() > 1).then(|| gaps.sum())
    }

    /// A fact of the bench, some time after the last one.
    fn bench(&mut self, tx: &mut Tx<'_>, fact: Bench) -> Result<(), Error> {
        self.now += self.chance.one(&GAPS);
        if self.clock == Clock::UndatedTwice && self.chance.once_in(4) {
            self.boot += 1;
        }
        let dated = self.clock.dates(self.chance);
        self.work.push(Made { at: self.now, dated, boot: self.boot });
        if self.clock == Clock::Console {
            return self.console(tx, fact);
        }
        self.seq += 1;
        let data = fact.encode(&mut [0; MAX_ENCODED]).unwrap().try_into().unwrap();
        // Ticks wrap after 49.7 days; a boot may begin just before.
        let ticks = (self.now * 1000) as u32;
        let record = Stored { seq: self.seq, boot: self.boot, ticks, kind: fact.kind(), data };
        let utc_ms = dated.then_some(self.now * 1000);
        let received = Received { record, job: fact.job().map(|job| job.0), utc_ms, apart: None };
        tx.import(KEYPAD, &[received]).map(drop)
    }

    fn console(&mut self, tx: &mut Tx<'_>, fact: Bench) -> Result<(), Error> {
        let payload = fact.encode(&mut [0; MAX_ENCODED]).unwrap().to_vec();
        let job = fact.job().map(|job| job.0);
        tx.append(&NewEntry { kind: fact.kind(), job, payload, utc_ms: Some(self.now * 1000) }).map(drop)
    }

    fn desk(&mut self, tx: &mut Tx<'_>, fact: &Desk) -> Result<(), Error> {
        self.now += 3;
        let payload = fact.encode().unwrap();
        let job = Some(self.job.0);
        tx.append(&NewEntry { kind: fact.kind(), job, payload, utc_ms: Some(self.now * 1000) }).map(drop)
    }
}
