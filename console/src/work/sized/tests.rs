//! What records, typed or logged, show of rims. What is expected was worked out by hand.

use crate::belief::{End, Rims, Tried};
use crate::desk::{Bearer, Cause, Order, sample};
use crate::settings::Settings;
use crate::work::{Epoch, PassEntry, SizedJob, SizedPair, Work};
use bevelbook_core::prescription::Eye::{self, Left, Right};
use bevelbook_core::record::*;
use bevelbook_core::sizing::Outcome::{self, Abandoned, FarTooBig, Fits, JustTooBig, Loose};
use bevelbook_core::sizing::{Basis, Counting, Dial, Dialled, Rim};
use bevelbook_core::units::Length;
use tempfile::TempDir;

const KEYPAD: JournalId = JournalId(0xaa);

struct Shop {
    work: Work,
    seq: u32,
    _folder: TempDir,
}

fn um(micrometres: i32) -> Length {
    Length::from_milli(micrometres)
}

/// A shop whose dial shows the diameter that is left.
fn shop() -> Shop {
    let folder = tempfile::tempdir().unwrap();
    let work = Work::open(&folder.path().join("book.db"), Settings::defaults().unwrap()).unwrap();
    let mut shop = Shop { work, seq: 1, _folder: folder };
    shop.states(Basis::Diameter, Counting::Absolute);
    shop
}

impl Shop {
    fn states(&mut self, basis: Basis, counting: Counting) -> RecordId {
        let dial = Dial { basis, counting, step: um(50) };
        self.work.log_station(StationEvent::Dial(dial)).unwrap()
    }

    fn ordered(&mut self, change: impl FnOnce(&mut Order)) -> JobId {
        let mut order = sample();
        order.tray = None;
        change(&mut order);
        self.work.open_job(order, None).unwrap().0.id
    }

    fn job(&mut self) -> JobId {
        self.ordered(|_| {})
    }

    fn passes(&mut self, job: JobId, eye: Eye, passes: &[(i32, Outcome)]) -> RecordId {
        let logged = passes.iter().map(|(at, outcome)| {
            let entry = PassEntry { eye, amount: um(*at), outcome: *outcome, insist: true };
            self.work.log_pass(job, &entry).unwrap().id
        });
        logged.last().unwrap()
    }

    fn girth(&mut self, job: JobId, eye: Eye, of: GirthOf, girth: i32) {
        let fact = |lens| Bench::Girth(Girth { lens, of, girth: um(girth) });
        self.work.log_lens(job, eye, fact).unwrap();
    }

    fn strained(&mut self, job: JobId, eye: Eye) -> RecordId {
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

    fn remade(&mut self, job: JobId, eye: Eye) {
        self.work.remake(job, eye, None, Cause::Undersize, Bearer::Shop, "").unwrap();
    }

    /// A keypad sends what was logged on it.
    fn sends(&mut self, fact: Bench) {
        let data = fact.encode(&mut [0; MAX_ENCODED]).unwrap().try_into().unwrap();
        let record = Stored { seq: self.seq, boot: 1, ticks: self.seq, kind: fact.kind(), data };
        self.work.take_in(KEYPAD, [(record, None)]).unwrap();
        self.seq += 1;
    }

    fn sized(&self, job: JobId) -> SizedJob {
        self.work.job(job).unwrap().sized().unwrap()
    }

    /// As its records tell it, and as the words do, that follow them.
    fn told(&self, job: JobId) -> [String; 2] {
        let sized = self.sized(job);
        let lately = self.work.sized_lately(u32::MAX).unwrap();
        let lately: Vec<_> = lately.iter().filter(|pair| pair.position == sized.position).collect();
        let rims = sized.rims();
        assert_eq!(lately, [&SizedPair { frame: sized.frame, rims: rims.clone(), position: sized.position }]);
        told(&rims)
    }

    /// The models and sizes of the jobs that were sized last, the newest first.
    fn lately(&self, most: u32) -> Vec<(String, Length, Rim)> {
        let pairs = self.work.sized_lately(most).unwrap().into_iter();
        pairs.map(|SizedPair { frame, .. }| (frame.model, frame.a, frame.rim)).collect()
    }

    /// The jobs that were sized in frames like that of `job`, in their order.
    fn alike(&self, job: JobId) -> Vec<JobId> {
        let frame = self.work.job(job).unwrap().order.frame;
        self.work.sized_of(&frame).unwrap().iter().map(|sized| sized.id).collect()
    }
}

/// In one line for each rim: lenses apart by semicolons.
fn told(rims: &Rims) -> [String; 2] {
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

#[test]
fn a_pair_is_what_was_tried_of_each_lens_down_to_its_fit() {
    let mut shop = shop();
    let job = shop.job();
    shop.passes(job, Right, &[(500, FarTooBig), (300, JustTooBig), (200, Fits)]);
    shop.passes(job, Left, &[(250, JustTooBig), (150, Fits)]);
    assert_eq!(
        shop.told(job),
        ["much +0.500, touch +0.300, fits +0.200", "touch +0.250, fits +0.150"].map(String::from)
    );
    let sized = shop.sized(job);
    assert_eq!((sized.id, sized.number, sized.frame.rim), (job, 1, Rim::Metal));
    assert_eq!(
        (sized.frame.model.as_str(), sized.frame.a, sized.frame.dbl),
        ("Lindgren 7", um(50_000), um(18_000))
    );
    let last = shop.work.job(job).unwrap().lines.last().map(|line| (line.position, line.at)).unwrap();
    assert_eq!((sized.position, sized.at), last);
}

#[test]
fn a_strained_fit_is_a_touch_too_big_until_the_strain_is_undone() {
    let mut shop = shop();
    let job = shop.job();
    shop.passes(job, Right, &[(300, JustTooBig), (200, Fits)]);
    let strained = shop.strained(job, Right);
    assert_eq!(shop.told(job)[0], "touch +0.300, touch +0.200");
    shop.passes(job, Right, &[(150, Fits)]);
    assert_eq!(shop.told(job)[0], "touch +0.300, touch +0.200, fits +0.150");
    shop.work.void(strained).unwrap();
    // It fitted at both: the last one is how it ended.
    assert_eq!(shop.told(job)[0], "touch +0.300, fits +0.150");
}

#[test]
fn a_voided_pass_is_not_there() {
    let mut shop = shop();
    let job = shop.job();
    shop.passes(job, Right, &[(500, JustTooBig)]);
    let wrong = shop.passes(job, Right, &[(300, Loose)]);
    let before = shop.sized(job).position;
    shop.work.void(wrong).unwrap();
    assert_eq!(shop.told(job), ["touch +0.500", ""].map(String::from));
    assert!(shop.sized(job).position < before);
    let only = shop.sized(job).lenses[0][0].lens;
    let first = shop.work.job(job).unwrap().course(only)[0].0;
    shop.work.void(first).unwrap();
    assert_eq!(shop.work.job(job).unwrap().sized(), None);
    assert_eq!(shop.lately(9), []);
}

#[test]
fn a_loose_lens_that_is_made_anew_is_kept_beside_the_next() {
    let mut shop = shop();
    let job = shop.job();
    shop.passes(job, Right, &[(300, JustTooBig), (100, Loose)]);
    // Nothing is learned of a lens that is loose already.
    shop.passes(job, Right, &[(50, Loose)]);
    shop.remade(job, Right);
    shop.passes(job, Right, &[(250, JustTooBig), (200, Fits)]);
    assert_eq!(shop.told(job)[0], "touch +0.300, loose +0.100; touch +0.250, fits +0.200");
    let [lost, next] = &shop.sized(job).lenses[0][..] else { panic!("two lenses") };
    assert!(lost.sizing.is_scrap() && next.sizing.is_done());
    assert_eq!((lost.lens.number, lost.sizing.passes, next.lens.number), (1, 3, 2));
}

#[test]
fn who_insists_past_the_guard_is_told_and_the_last_that_was_felt_ends_it() {
    let mut shop = shop();
    let job = shop.job();
    shop.passes(job, Right, &[(200, Fits), (150, Fits), (50, Loose)]);
    assert_eq!(shop.told(job)[0], "loose +0.050");
    let past: Vec<bool> = shop.sized(job).lenses[0][0].passes.iter().map(|pass| pass.past).collect();
    assert_eq!(past, [false, true, true]);
    shop.passes(job, Left, &[(200, Fits), (200, JustTooBig)]);
    assert_eq!(shop.told(job)[1], "touch +0.200", "it is too big after all");
}

#[test]
fn a_size_that_is_not_known_exactly_is_left_out() {
    let mut shop = shop();
    let job = shop.job();
    shop.states(Basis::Diameter, Counting::TakeOff { from: um(600) });
    shop.passes(job, Right, &[(100, FarTooBig), (200, Abandoned), (50, JustTooBig)]);
    // Somewhere between 0.25 and 0.45.
    assert_eq!(shop.told(job)[0], "much +0.500");
    assert_eq!(shop.sized(job).lenses[0][0].sizing.passes, 3);
    // An end that is below all of that is known again.
    shop.states(Basis::Diameter, Counting::Absolute);
    shop.passes(job, Right, &[(200, Fits)]);
    assert_eq!(shop.told(job)[0], "much +0.500, fits +0.200");
}

#[test]
fn what_is_taken_off_a_radius_is_told_on_the_diameter() {
    let mut shop = shop();
    let job = shop.job();
    shop.states(Basis::Radius, Counting::TakeOff { from: um(400) });
    shop.passes(job, Right, &[(150, FarTooBig), (100, JustTooBig), (50, Fits)]);
    assert_eq!(shop.told(job)[0], "much +0.500, touch +0.300, fits +0.200");
}

#[test]
fn girths_tell_the_size_at_which_a_lens_is_as_long_round_as_its_rim() {
    let mut shop = shop();
    let job = shop.job();
    shop.passes(job, Right, &[(500, JustTooBig)]);
    shop.girth(job, Right, GirthOf::Lens, 141_942);
    assert_eq!(shop.told(job)[0], "touch +0.500", "nobody measured the rim");
    shop.girth(job, Right, GirthOf::Rim, 141_000);
    // 0.942 mm round is 0.942 / 3.14159 = 0.300 mm across.
    assert_eq!(shop.told(job)[0], "touch +0.500, girth +0.200");
    // What was measured at 0.50 tells as much of the rim when the lens has been ground on, and of the next lens too.
    shop.passes(job, Right, &[(100, Loose)]);
    shop.remade(job, Right);
    shop.passes(job, Right, &[(450, JustTooBig)]);
    shop.girth(job, Right, GirthOf::Lens, 141_785);
    assert_eq!(shop.told(job)[0], "touch +0.500, loose +0.100, girth +0.200; touch +0.450, girth +0.200");
}

#[test]
fn a_walk_in_counts_for_the_order_under_which_it_is_filed() {
    let mut shop = shop();
    let job = shop.job();
    let own = JobId::opened_by(RecordId { journal: KEYPAD, seq: 1 });
    shop.sends(Bench::Opened(Opened { job: own, rim: Rim::Metal }));
    for (at, outcome) in [(400, JustTooBig), (300, Fits)] {
        let dialled = Dialled { basis: Basis::Diameter, counting: Counting::Absolute, amount: um(at) };
        let lens = PairId::first(own).lens(Left);
        shop.sends(Bench::Pass(Pass { lens, dialled, outcome, past: false, advised: None }));
    }
    assert!(shop.alike(job).is_empty());
    shop.work.file(own, job).unwrap();
    assert_eq!(shop.alike(job), [job]);
    assert_eq!(shop.told(job), ["", "touch +0.400, fits +0.300"].map(String::from));
    assert_eq!(shop.sized(job).lenses[1][0].lens.job, job);
}

#[test]
fn frames_are_alike_by_model_size_and_rim_and_stand_in_the_order_of_the_station() {
    let mut shop = shop();
    let first = shop.ordered(|order| order.frame.model = "LINDGREN 7".into());
    // A trace measures a little beside what is printed.
    let traced = shop.ordered(|order| order.frame.size.a = um(50_400));
    let wide = shop.ordered(|order| order.frame.size.a = um(52_000));
    let plastic = shop.ordered(|order| order.frame.rim = Rim::Plastic);
    let rimless = shop.ordered(|order| order.frame.rim = Rim::Rimless);
    let untouched = shop.job();
    for job in [traced, wide, plastic, rimless, first] {
        shop.passes(job, Right, &[(300, JustTooBig), (200, Fits)]);
    }
    assert_eq!(shop.alike(untouched), [traced, first]);
    assert_eq!(shop.alike(wide), [wide]);
    assert_eq!(shop.alike(plastic), [plastic]);
    assert!(shop.alike(rimless).is_empty());
    assert_eq!(shop.work.job(rimless).unwrap().sized(), None);
    shop.passes(traced, Left, &[(200, Fits)]);
    assert_eq!(shop.alike(untouched), [first, traced], "by the last pass");
    let newest = [(50_400, Rim::Metal), (50_000, Rim::Metal), (50_000, Rim::Plastic), (52_000, Rim::Metal)];
    let lately = shop.lately(9);
    assert_eq!(lately.iter().map(|(_, a, rim)| (a.milli(), *rim)).collect::<Vec<_>>(), newest);
    assert_eq!(shop.lately(2), lately[..2]);
}

#[test]
fn an_amendment_of_the_model_takes_what_was_shown_with_it() {
    let mut shop = shop();
    let (job, other) = (shop.job(), shop.ordered(|order| order.frame.model = "Two".into()));
    shop.passes(job, Right, &[(200, Fits)]);
    assert_eq!((shop.alike(job), shop.alike(other)), (vec![job], vec![]));
    shop.work.amend(job, "misread", None, |order| order.frame.model = "two".into()).unwrap();
    assert_eq!(shop.alike(other), [job]);
    assert_eq!(shop.lately(9), [("two".to_owned(), um(50_000), Rim::Metal)]);
    let frame = sample().frame;
    assert!(shop.work.sized_of(&frame).unwrap().is_empty());
}

#[test]
fn what_happened_to_the_station_stands_between_what_it_cut_until_it_is_undone() {
    let mut shop = shop();
    let job = shop.job();
    shop.passes(job, Right, &[(200, Fits)]);
    let wheel = shop.work.log_station(StationEvent::NewWheel).unwrap();
    let before = shop.sized(job).position;
    shop.passes(job, Left, &[(200, Fits)]);
    let after = shop.sized(job).position;
    shop.sends(Bench::Station(StationEvent::Recalibrated));
    let events = |shop: &Shop| -> Vec<(StationEvent, i64)> {
        let epochs = shop.work.station_epochs().unwrap().into_iter();
        epochs.map(|Epoch { event, position, .. }| (event, position)).collect()
    };
    let all = events(&shop);
    let [
        (StationEvent::Dial(_), stated),
        (StationEvent::NewWheel, renewed),
        (StationEvent::Recalibrated, last),
    ] = all[..]
    else {
        panic!("{all:?}")
    };
    assert!(stated < before && before < renewed && renewed < after && after < last, "{all:?}");
    shop.work.void(wheel).unwrap();
    assert_eq!(events(&shop), [all[0], all[2]]);
}

#[test]
fn a_model_may_be_called_anything_and_a_word_that_cannot_be_read_tells_nothing() {
    let mut shop = shop();
    let job = shop.ordered(|order| order.frame.model = "7|;,f200 sized 000000000001".into());
    shop.passes(job, Right, &[(-50, Loose)]);
    assert_eq!(shop.told(job), ["loose -0.050", ""].map(String::from));
    let path = shop.work.path().to_owned();
    let by_hand = rusqlite::Connection::open(path).unwrap();
    by_hand
        .execute("UPDATE found_by SET word = replace(word, 'l-50', 'q') WHERE word LIKE 'sized%'", [])
        .unwrap();
    assert_eq!(shop.lately(9), []);
    let astray = shop.work.astray().unwrap();
    assert_eq!(astray.len(), 2, "{astray:?}");
    shop.work.renew().unwrap();
    assert_eq!(shop.told(job)[0], "loose -0.050");
}
