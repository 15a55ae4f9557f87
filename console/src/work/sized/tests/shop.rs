//! A shop whose lenses are sized, by what is typed at its console and sent by a keypad.

use crate::belief::{End, Rims, Tried};
use crate::desk::{Bearer, Cause, Order, sample};
use crate::settings::Settings;
use crate::work::{FrameKey, PassEntry, SizedJob, SizedPair, Work};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::*;
use bevelbook_core::sizing::{Basis, Counting, Dial, Outcome, Rim};
use bevelbook_core::units::Length;
use tempfile::TempDir;

pub(super) const KEYPAD: JournalId = JournalId(0xaa);

pub(super) struct Shop {
    pub(super) work: Work,
    seq: u32,
    _folder: TempDir,
}

pub(super) fn um(micrometres: i32) -> Length {
    Length::from_milli(micrometres)
}

/// A shop whose dial shows the diameter that is left.
pub(super) fn shop() -> Shop {
    let folder = tempfile::tempdir().unwrap();
    let work = Work::open(folder.path().join("book.db"), Settings::defaults().unwrap()).unwrap();
    let mut shop = Shop { work, seq: 1, _folder: folder };
    shop.states(Basis::Diameter, Counting::Absolute);
    shop
}

impl Shop {
    pub(super) fn states(&mut self, basis: Basis, counting: Counting) -> RecordId {
        let dial = Dial { basis, counting, step: um(50) };
        self.work.log_station(StationEvent::Dial(dial)).unwrap()
    }

    pub(super) fn ordered(&mut self, change: impl FnOnce(&mut Order)) -> JobId {
        let mut order = sample();
        order.tray = None;
        change(&mut order);
        self.work.open_job(order, None).unwrap().0.id
    }

    pub(super) fn job(&mut self) -> JobId {
        self.ordered(|_| {})
    }

    pub(super) fn passes(&mut self, job: JobId, eye: Eye, passes: &[(i32, Outcome)]) -> RecordId {
        let logged = passes.iter().map(|(at, outcome)| {
            let entry = PassEntry { eye, amount: um(*at), outcome: *outcome, insist: true };
            self.work.log_pass(job, &entry).unwrap().id
        });
        logged.last().unwrap()
    }

    pub(super) fn girth(&mut self, job: JobId, eye: Eye, of: GirthOf, girth: i32) {
        let fact = |lens| Bench::Girth(Girth { lens, of, girth: um(girth) });
        self.work.log_lens(job, eye, fact).unwrap();
    }

    pub(super) fn strained(&mut self, job: JobId, eye: Eye) -> RecordId {
        let check = |lens| {
            Bench::Check(Check {
                entered: Entered::READ,
                of: Subject::Lens(lens),
                item: CheckItem::Strain,
                good: false,
            })
        };
        self.work.log_lens(job, eye, check).unwrap().id
    }

    pub(super) fn remade(&mut self, job: JobId, eye: Eye) {
        self.work.remake(job, eye, None, Cause::Undersize, Bearer::Shop, "").unwrap();
    }

    /// A keypad sends what was logged on it.
    pub(super) fn sends(&mut self, fact: Bench) {
        let data = fact.encode(&mut [0; MAX_ENCODED]).unwrap().try_into().unwrap();
        let record = Stored { seq: self.seq, boot: 1, ticks: self.seq, kind: fact.kind(), data };
        self.work.take_in(KEYPAD, [(record, None)]).unwrap();
        self.seq += 1;
    }

    pub(super) fn sized(&self, job: JobId) -> SizedJob {
        self.work.job(job).unwrap().sized().unwrap()
    }

    /// As its records tell it, and as the words do, that follow them.
    pub(super) fn told(&self, job: JobId) -> [String; 2] {
        let sized = self.sized(job);
        let lately = self.work.sized_lately(u32::MAX).unwrap();
        let lately: Vec<_> = lately.iter().filter(|pair| pair.position == sized.position).collect();
        assert_eq!(lately, [&sized.clone().lately()]);
        told(&sized.rims())
    }

    /// The models and sizes of the jobs that were sized last, the newest first.
    pub(super) fn lately(&self, most: u32) -> Vec<(String, Length, Rim)> {
        let pairs = self.work.sized_lately(most).unwrap().into_iter();
        pairs.map(|SizedPair { frame, .. }| (frame.model, frame.a, frame.rim)).collect()
    }

    /// The jobs that were sized in frames like that of `job`, in their order; the words tell the same of them.
    pub(super) fn alike(&self, job: JobId) -> Vec<JobId> {
        let frame = self.work.job(job).unwrap().order.frame;
        let sized = self.work.sized_of(&frame).unwrap();
        let lately: Vec<SizedPair> = sized.iter().cloned().map(SizedJob::lately).collect();
        let mut words = self.work.sized_lately(u32::MAX).unwrap();
        words.retain(|pair| pair.frame.is_alike(&FrameKey::of(&frame)));
        words.reverse();
        assert_eq!(words, lately);
        sized.iter().map(|sized| sized.id).collect()
    }
}

/// In one line for each rim: lenses apart by semicolons.
pub(super) fn told(rims: &Rims) -> [String; 2] {
    let lens = |tried: &Tried| {
        let mut told: Vec<String> = tried
            .too_big
            .iter()
            .map(|big| format!("{} {:+.3}", if big.much { "much" } else { "touch" }, big.at))
            .collect();
        told.extend(tried.end.map(|end| match end {
            End::Fits(at) => format!("fits {at:+.3}"),
            End::Loose(at) => format!("loose {at:+.3}"),
        }));
        told.extend(tried.by_girth.map(|at| format!("girth {at:+.3}")));
        told.join(", ")
    };
    rims.each_ref().map(|rim| rim.iter().map(lens).collect::<Vec<_>>().join("; "))
}
