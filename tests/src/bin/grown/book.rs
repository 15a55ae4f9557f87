//! A book as it is after years, invented: forty thousand jobs and more, through the store in large writes.

use bevelbook::desk::*;
use bevelbook::store::{Book, Error, NewEntry, Received, Tx};
use bevelbook_core::frame::{FrameSize, PupillaryDistance};
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::record::*;
use bevelbook_core::sizing::{Basis, Counting, Dial, Dialled, Outcome, Rim};
use bevelbook_core::tolerance::{Standard, Verdict};
use bevelbook_core::units::{Axis, Length, Power, PrismPair};
use jiff::{ToSpan, civil::date};
use std::path::Path;

/// The keypad at the edger, and the one at the focimeter.
pub(crate) const KEYPADS: [JournalId; 2] =
    [JournalId(0x0ed6_e000_0000_0001), JournalId(0x0f0c_1000_0000_0002)];

/// A number below `bound`, always the same ones in turn.
pub(crate) struct Chance(pub(crate) u64);

impl Chance {
    pub(crate) fn below(&mut self, bound: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        ((mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb) >> 11) % bound
    }
}

struct Maker {
    chance: Chance,
    /// The last number of each keypad.
    last: [u32; 2],
    number: u32,
    now_ms: i64,
}

/// What is written of a job in turn; `of` is whose own the bench takes it for.
struct Course {
    order: JobId,
    of: JobId,
    many: usize,
}

/// How many bench facts a finished job has; two desk records and now and then a filing come to them.
const FACTS: usize = 24;

/// Makes the book with at least `records` records, of jobs of which the last `open` are at some point of their work.
pub(crate) fn make(path: &Path, records: u64, open: usize) -> Result<(), Error> {
    let mut book = Book::open_or_begin(path)?;
    let mut maker = Maker { chance: Chance(7), last: [0; 2], number: 0, now_ms: 1_500_000_000_000 };
    book.write(|tx| maker.shop(tx))?;
    let of_open = open as u64 * (FACTS as u64 + 1) / 2;
    let mut written = 0;
    while written + of_open < records {
        written += book.write(|tx| maker.block(tx, 100, true))?;
    }
    book.write(|tx| maker.block(tx, open, false)).map(drop)
}

impl Maker {
    fn shop(&mut self, tx: &mut Tx<'_>) -> Result<(), Error> {
        for (journal, name) in KEYPADS.into_iter().zip(["edger", "focimeter"]) {
            self.desk(tx, None, &Desk::Adoption(Adoption { journal, name: name.into() }))?;
        }
        let step = Length::from_milli(50);
        let dial = Dial { basis: Basis::Diameter, counting: Counting::Absolute, step };
        self.bench(tx, 0, Bench::Station(StationEvent::Dial(dial)))
    }

    /// Jobs side by side, each at its own point.
    fn block(&mut self, tx: &mut Tx<'_>, many: usize, finished: bool) -> Result<u64, Error> {
        let before = u64::from(self.number) + self.last.iter().map(|last| u64::from(*last)).sum::<u64>();
        self.bench(tx, 0, Bench::Station(StationEvent::NewWheel))?;
        let mut courses = Vec::new();
        for _ in 0..many {
            let order = self.order(tx)?;
            let from_keypad = self.chance.below(40) == 0;
            let of = if from_keypad {
                let id = RecordId { journal: KEYPADS[0], seq: self.last[0] + 1 };
                let job = JobId::opened_by(id);
                self.bench(tx, 0, Bench::Opened(Opened { job, rim: Rim::Metal }))?;
                job
            } else {
                order
            };
            let many = if finished { FACTS } else { self.chance.below(FACTS as u64) as usize };
            courses.push(Course { order, of, many });
        }
        for turn in 0..FACTS {
            for course in courses.iter().filter(|course| turn < course.many) {
                self.fact(tx, course.of, turn)?;
            }
        }
        let filed: Vec<&Course> = courses.iter().filter(|course| course.of != course.order).collect();
        // A few of the open ones wait to be filed.
        for course in filed.iter().skip(if finished { 0 } else { 5 }) {
            self.desk(tx, Some(course.order), &Desk::Filing(Filing { from: course.of }))?;
        }
        for course in courses.iter().filter(|_| finished) {
            let signed = SignOff {
                by: "AW".into(),
                standard: JudgedBy::Published(Standard::AnsiZ801_2015),
                table_version: 1,
                verdict: Verdict::Within,
                lenses: [1, 1],
                despite: None,
            };
            self.desk(tx, Some(course.order), &Desk::SignOff(signed))?;
            self.desk(
                tx,
                Some(course.order),
                &Desk::Closing(Closing { how: "handed over".into(), verdict: None, despite: None }),
            )?;
        }
        let after = u64::from(self.number) + self.last.iter().map(|last| u64::from(*last)).sum::<u64>();
        Ok(after - before + if finished { 2 * many as u64 } else { 0 })
    }

    fn order(&mut self, tx: &mut Tx<'_>) -> Result<JobId, Error> {
        self.number += 1;
        let mm = Length::from_milli;
        // Three hundred models, some far more often than others; two sizes of each.
        let model = self.chance.below(300) * self.chance.below(300) / 300;
        let a = mm(48_000 + 2_000 * self.chance.below(2) as i32);
        let frame = Frame {
            material: "steel".into(),
            ..Frame::new(
                &format!("Model {model}"),
                FrameSize { a, b: mm(38_000), dbl: mm(18_000), ed: Some(mm(53_000)) },
                Rim::Metal,
            )
        };
        let power = |text: String| EyeOrder::parse(&text).unwrap_or_else(|error| unreachable!("{error}"));
        let quarter = self.chance.below(4) * 25;
        let eyes =
            [power(format!("-1.{quarter:02} -0.75 x 15")), power(format!("-2.{quarter:02} -0.50 x 170"))];
        let pd = PupillaryDistance::parse("31.5/31").unwrap_or_else(|error| unreachable!("{error}"));
        let customer = format!("K-{}", self.chance.below(15_000));
        tx.set_person(&customer, &format!("Invented Name {customer}"))?;
        let lens = LensChoice { material: "cr39".into(), ..LensChoice::default() };
        let due = date(2018, 1, 1) + i64::from(self.number / 15).days();
        let tray = Some((self.number % 5000).to_string());
        let order = Order {
            number: self.number,
            tray,
            due: Some(due),
            ..Order::new(customer, eyes, pd, frame, lens)
        };
        let job = JobId::opened_by(tx.next_id()?);
        self.desk(tx, Some(job), &Desk::Order(Box::new(order)))?;
        Ok(job)
    }

    /// The bench's next fact of a job: marks and readings at the focimeter, the rest at the edger.
    fn fact(&mut self, tx: &mut Tx<'_>, job: JobId, turn: usize) -> Result<(), Error> {
        let pair = PairId { job, numbers: [1, 1] };
        let lens = pair.lens(Eye::BOTH[turn % 2]);
        let check =
            |item| Bench::Check(Check { entered: Entered::READ, of: Subject::Lens(lens), item, good: true });
        let reading = |stage| {
            let read = Read::Direct(SphereCylinder::sphere(Power::from_milli(-1250)));
            Bench::Reading(Reading {
                entered: Entered::READ,
                lens,
                stage,
                read,
                prism: Some(PrismPair::NONE),
                add: None,
            })
        };
        let (keypad, fact) = match turn / 2 {
            0 => (1, reading(Stage::Uncut)),
            1 => (
                1,
                Bench::Mark(Mark {
                    entered: Entered::READ,
                    lens,
                    axis: Axis::from_degrees(15),
                    prism: PrismPair::NONE,
                }),
            ),
            pass @ 2..=5 => (
                0,
                pass_of(
                    lens,
                    500 - 100 * pass as i32,
                    if pass == 5 { Outcome::Fits } else { Outcome::JustTooBig },
                ),
            ),
            6 => (1, reading(Stage::Mounted)),
            7 => {
                let centres = PupillaryDistance::Binocular(Length::from_milli(62_500));
                (
                    1,
                    Bench::CentreDistance(CentreDistance {
                        entered: Entered::READ,
                        pair,
                        centres,
                        heights: None,
                    }),
                )
            }
            at => (0, check(CheckItem::FINISH[at % 4])),
        };
        self.bench(tx, keypad, fact)?;
        if let (Bench::Pass(_), 0) = (fact, self.chance.below(100)) {
            let target = RecordId { journal: KEYPADS[0], seq: self.last[0] };
            self.bench(tx, 0, Bench::Void(Void { job: Some(job), target }))?;
        }
        Ok(())
    }

    fn desk(&mut self, tx: &mut Tx<'_>, job: Option<JobId>, fact: &Desk) -> Result<(), Error> {
        let payload = fact.encode().unwrap_or_default();
        self.now_ms += 300_000;
        let new =
            NewEntry { kind: fact.kind(), job: job.map(|job| job.0), payload, utc_ms: Some(self.now_ms) };
        tx.append(&new).map(drop)
    }

    fn bench(&mut self, tx: &mut Tx<'_>, keypad: usize, fact: Bench) -> Result<(), Error> {
        // Now and then a number is lost for good.
        self.last[keypad] += if self.chance.below(20_000) == 0 { 2 } else { 1 };
        let record = stored(self.last[keypad], &fact);
        let job = fact.job().map(|job| job.0);
        let received = Received { record, job, utc_ms: Some(self.now_ms), apart: None };
        tx.import(KEYPADS[keypad], &[received]).map(drop)
    }
}

/// A pass at the edger.
pub(crate) fn pass_of(lens: LensId, milli: i32, outcome: Outcome) -> Bench {
    let dialled =
        Dialled { basis: Basis::Diameter, counting: Counting::Absolute, amount: Length::from_milli(milli) };
    Bench::Pass(Pass { advised: None, lens, dialled, outcome, past: false })
}

/// A fact as a keypad keeps it.
pub(crate) fn stored(seq: u32, fact: &Bench) -> Stored {
    let mut buffer = [0; MAX_ENCODED];
    let data = fact.encode(&mut buffer).ok().and_then(|bytes| bytes.try_into().ok()).unwrap_or_default();
    Stored { seq, boot: 1, ticks: seq.wrapping_mul(1000), kind: fact.kind(), data }
}
