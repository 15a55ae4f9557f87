//! What holds, worked out in the simplest way: a plain list of records in the order of commits, looked through from its
//! beginning for every question.
//!
//! - A record does not hold when any record of the list voids it.
//! - What a keypad logged of a job of its own belongs to the order under which a filing that holds puts that job.
//! - An eye goes on with a new lens where a record that holds says so, at the keypad or at the console, and its number is
//!   above the present one. Then the lens starts anew, and so does what was measured on the pair.
//! - Of a lens holds what was logged of it while it was the present one.
//! - A lens that fitted fits no more once strain was seen in it.
//! - The dial is the one stated last.
//!
//! How passes sum up to a size is not the question here: [`Sizing`] counts them.

use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::record::{Bench, Check, CheckItem, GirthOf, LensId, Stage, StationEvent, Subject};
use bevelbook_core::record::{JobId, PairId, RecordId};
use bevelbook_core::sizing::{Dial, RimShown, Size, Sizing};
use bevelbook_core::units::{Axis, Length, Power};
use std::collections::BTreeMap;

/// A record, as far as it matters here.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Record {
    pub(crate) id: RecordId,
    pub(crate) says: Says,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Says {
    /// A fact of the bench, logged at the keypad or typed.
    Bench(Bench),
    /// A job was ordered.
    Order(JobId),
    /// The console made a lens again, or told why the keypad did.
    Remake(LensId),
    /// The console put a keypad's job under an order.
    Filing { from: JobId, to: JobId },
}

/// One lens.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Lens {
    pub(crate) number: u8,
    pub(crate) mark: Option<Axis>,
    pub(crate) uncut: Option<Power>,
    pub(crate) mounted: Option<Power>,
    pub(crate) girths: [Option<Length>; 2],
    pub(crate) sizing: Sizing,
    pub(crate) checks: BTreeMap<&'static str, bool>,
}

/// A job's work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct State {
    pub(crate) lenses: [Lens; 2],
    pub(crate) rims: [RimShown; 2],
    pub(crate) centres: Option<PupillaryDistance>,
    pub(crate) checks: BTreeMap<&'static str, bool>,
}

impl State {
    fn new() -> Self {
        let lens = || Lens { number: 1, ..Lens::default() };
        Self { lenses: [lens(), lens()], rims: Default::default(), centres: None, checks: BTreeMap::new() }
    }

    fn numbers(&self) -> [u8; 2] {
        [self.lenses[0].number, self.lenses[1].number]
    }
}

/// Every record there is for somebody, in the order in which it came to them.
pub(crate) struct Naive<'r>(pub(crate) &'r [Record]);

impl Naive<'_> {
    pub(crate) fn is_void(&self, id: RecordId) -> bool {
        let voids =
            |record: &Record| matches!(record.says, Says::Bench(Bench::Void(void)) if void.target == id);
        self.0.iter().any(voids)
    }

    /// Whether the console may void it: no order, no void, not void already.
    pub(crate) fn can_be_voided(&self, record: &Record) -> bool {
        let never = matches!(record.says, Says::Order(_) | Says::Bench(Bench::Void(_)));
        !never && !self.is_void(record.id)
    }

    fn standing(&self) -> impl DoubleEndedIterator<Item = &Record> {
        self.0.iter().filter(|record| !self.is_void(record.id))
    }

    /// Every order.
    pub(super) fn orders(&self) -> impl Iterator<Item = JobId> {
        self.0.iter().filter_map(|record| if let Says::Order(job) = record.says { Some(job) } else { None })
    }

    /// The job to which belongs what was logged under `job`.
    fn home(&self, job: JobId) -> JobId {
        let filed = self.standing().rev().find_map(|record| match record.says {
            Says::Filing { from, to } if from == job => Some(to),
            _ => None,
        });
        filed.unwrap_or(job)
    }

    /// The facts of `job` that hold, those filed under it among them, as facts of this job.
    fn facts(&self, job: JobId) -> Vec<Says> {
        self.facts_by_id(job).into_iter().map(|(_, says)| says).collect()
    }

    fn facts_by_id(&self, job: JobId) -> Vec<(RecordId, Says)> {
        let at_home = |record: &Record| match record.says {
            Says::Bench(fact) if self.home(fact.job()?) == job => {
                Some((record.id, Says::Bench(fact.filed_under(job))))
            }
            says @ Says::Remake(lens) if lens.job == job => Some((record.id, says)),
            _ => None,
        };
        self.standing().filter_map(at_home).collect()
    }

    /// What bears on the sizes of the lenses of an order, in its order; and the lenses that it is at.
    pub(super) fn sized(&self, job: JobId) -> (Vec<(RecordId, LensId, Bench)>, [u8; 2]) {
        let (mut state, mut all) = (State::new(), Vec::new());
        for (id, says) in self.facts_by_id(job) {
            take(&mut state, &says, &mut |lens, fact| all.push((id, lens, *fact)));
        }
        (all, state.numbers())
    }

    /// The jobs that were opened at the keypad and belong to no order.
    pub(crate) fn unfiled(&self) -> Vec<JobId> {
        let opened = self.standing().filter_map(|record| match record.says {
            Says::Bench(Bench::Opened(opened)) => Some(opened.job),
            _ => None,
        });
        opened.filter(|job| !self.is_filed(*job)).collect()
    }

    pub(crate) fn is_filed(&self, job: JobId) -> bool {
        self.home(job) != job
    }

    pub(crate) fn state(&self, job: JobId) -> State {
        let mut state = State::new();
        for fact in self.facts(job) {
            take(&mut state, &fact, &mut |_, _| {});
        }
        state
    }

    /// The sizes at which lenses fitted, spoiled ones among them, of all orders.
    pub(crate) fn history(&self) -> Vec<Size> {
        let mut fits = Vec::new();
        for job in self.orders() {
            let mut lenses: BTreeMap<(usize, u8), Sizing> = BTreeMap::new();
            for (_, lens, fact) in self.sized(job).0 {
                size(lenses.entry((lens.eye.index(), lens.number)).or_default(), &fact);
            }
            fits.extend(lenses.into_values().filter_map(|sizing| sizing.fits));
        }
        fits
    }

    pub(crate) fn dial(&self) -> Option<Dial> {
        self.standing().rev().find_map(|record| match record.says {
            Says::Bench(Bench::Station(StationEvent::Dial(dial))) => Some(dial),
            _ => None,
        })
    }

    /// The numbers that a remake of this eye may give its lens: the present one when the keypad began it, nobody has told
    /// why yet and nothing was logged of it; else the next one.
    pub(crate) fn remade(&self, job: JobId, eye: usize) -> u8 {
        let number = self.state(job).lenses[eye].number;
        let of = |lens: LensId| lens.eye.index() == eye && lens.number == number;
        let facts = self.facts(job);
        let begun = facts.iter().any(|says| matches!(says, Says::Bench(Bench::NewLens(new)) if of(new.lens)));
        let told = facts.iter().any(|says| matches!(says, Says::Remake(lens) if of(*lens)));
        let logged = facts.iter().any(|says| match says {
            Says::Bench(Bench::NewLens(_)) | Says::Remake(_) => false,
            Says::Bench(fact) => {
                fact.lens().is_some_and(of) || fact.pair().is_some_and(|pair| of_pair(pair, eye, number))
            }
            _ => false,
        });
        if begun && !told && !logged { number } else { number + 1 }
    }
}

fn of_pair(pair: PairId, eye: usize, number: u8) -> bool {
    pair.numbers[eye] == number
}

/// Takes one fact into account; `sized` is told of what bears on the size of a lens, present or earlier.
fn take(state: &mut State, says: &Says, sized: &mut dyn FnMut(LensId, &Bench)) {
    let fact = match says {
        Says::Remake(lens) => return begin(state, *lens),
        Says::Bench(Bench::NewLens(new)) => return begin(state, new.lens),
        Says::Bench(fact) => fact,
        Says::Order(_) | Says::Filing { .. } => return,
    };
    if let Some(lens) = fact.lens() {
        let now = &mut state.lenses[lens.eye.index()];
        if lens.number <= now.number {
            sized(lens, fact);
        }
        if lens.number == now.number {
            look(now, fact);
        }
    } else if let Some(pair) = fact.pair()
        && pair.numbers == state.numbers()
    {
        match fact {
            Bench::CentreDistance(distance) => state.centres = Some(distance.centres),
            Bench::Check(check) => drop(state.checks.insert(check.item.words(), check.good)),
            _ => {}
        }
    }
}

fn begin(state: &mut State, lens: LensId) {
    let now = &mut state.lenses[lens.eye.index()];
    if lens.number > now.number {
        state.rims[lens.eye.index()].take(&now.sizing);
        *now = Lens { number: lens.number, girths: [None, now.girths[1]], ..Lens::default() };
        state.centres = None;
        state.checks.clear();
    }
}

pub(super) fn size(sizing: &mut Sizing, fact: &Bench) {
    match fact {
        Bench::Pass(pass) => sizing.apply(&pass.dialled, pass.outcome),
        Bench::Check(Check { item: CheckItem::Strain, good: false, .. }) => sizing.reopen(),
        _ => {}
    }
}

fn look(lens: &mut Lens, fact: &Bench) {
    size(&mut lens.sizing, fact);
    match fact {
        Bench::Mark(mark) => lens.mark = Some(mark.axis),
        Bench::Reading(reading) => {
            let sphere = Some(reading.read.power().sphere);
            match reading.stage {
                Stage::Uncut => lens.uncut = sphere,
                Stage::Mounted => lens.mounted = sphere,
            }
        }
        Bench::Girth(girth) => lens.girths[usize::from(girth.of == GirthOf::Rim)] = Some(girth.girth),
        // What was measured of it and said of its edges and its seat held for the size before.
        Bench::Pass(_) => {
            lens.girths[0] = None;
            for item in [CheckItem::Bevel, CheckItem::Firm, CheckItem::Strain] {
                lens.checks.remove(item.words());
            }
        }
        Bench::Check(Check { of: Subject::Lens(_), item, good, .. }) => {
            lens.checks.insert(item.words(), *good);
        }
        _ => {}
    }
}
