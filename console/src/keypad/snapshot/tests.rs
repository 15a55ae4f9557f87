//! Many random histories of a job on two keypads and a console: each keypad's state is the console's.

use super::*;
use crate::desk::{Bearer, Cause, sample};
use crate::settings::Settings;
use crate::work::{PassEntry, Work};
use bevelbook_core::prescription::{Eye, SphereCylinder};
use bevelbook_core::record::{
    Bench, Check, CheckItem, Entered, LensId, MAX_ENCODED, NewLens, PairId, Pass, Read, Reading, RecordId,
    Stage, StationEvent, Stored, Subject, Void,
};
use bevelbook_core::sizing::{Basis, Counting, Dial, Dialled, Outcome};
use bevelbook_core::units::{Length, Power};
use std::collections::HashMap;

const KEYPADS: [JournalId; 2] = [JournalId(0xaa), JournalId(0xbb)];

/// Xorshift, seeded: the histories are the same each time.
struct Dice(u64);

impl Dice {
    fn below(&mut self, many: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % many
    }

    fn eye(&mut self) -> Eye {
        Eye::BOTH[self.below(2) as usize]
    }
}

/// A keypad's own copy of what it wrote, as its memory holds it.
#[derive(Default)]
struct Memory {
    facts: Vec<Bench>,
}

impl Memory {
    /// The state by the rules of the keypad: the card's, and the own records behind it that none of these voids.
    fn state(&self, journal: JournalId, id: JobId, snapshot: &Snapshot) -> JobState {
        let own = || (1..).zip(&self.facts).filter(|(seq, _)| *seq > snapshot.includes_upto);
        let voids = |seq: u32| {
            let target = RecordId { journal, seq };
            own().any(|(_, fact)| *fact == Bench::Void(Void { job: Some(id), target }))
        };
        let mut state = snapshot.state;
        for (seq, fact) in own().filter(|(_, fact)| fact.job() == Some(id)) {
            if !voids(seq) && !matches!(fact, Bench::Void(_)) {
                state.apply(fact);
            }
        }
        state
    }
}

struct History {
    work: Work,
    job: JobId,
    memories: HashMap<JournalId, Memory>,
    _folder: tempfile::TempDir,
}

impl History {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut work = Work::open(folder.path().join("book.db"), Settings::defaults().unwrap()).unwrap();
        let dial =
            Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(50) };
        work.log_station(StationEvent::Dial(dial)).unwrap();
        let job = work.open_job(sample(), None).unwrap().0.id;
        Self { work, job, memories: HashMap::new(), _folder: folder }
    }

    fn keypad(&mut self, journal: JournalId, fact: Bench) {
        let memory = self.memories.entry(journal).or_default();
        memory.facts.push(fact);
        let mut buffer = [0; MAX_ENCODED];
        let data = heapless::Vec::from_slice(fact.encode(&mut buffer).unwrap()).unwrap();
        let seq = memory.facts.len() as u32;
        let record = Stored { seq, boot: 1, ticks: seq, kind: fact.kind(), data };
        self.work.take_in(journal, [(record, None)]).unwrap();
    }

    fn pair(&self) -> PairId {
        self.work.job(self.job).unwrap().pair()
    }

    fn fact(&self, dice: &mut Dice, job: JobId) -> Bench {
        let eye = dice.eye();
        let pair = PairId { job, ..self.pair() };
        let lens = pair.lens(eye);
        match dice.below(5) {
            0 | 1 => {
                let amount = Length::from_milli(dice.below(10) as i32 * 50);
                let dialled = Dialled { basis: Basis::Diameter, counting: Counting::Absolute, amount };
                let outcome =
                    [Outcome::FarTooBig, Outcome::JustTooBig, Outcome::Fits][dice.below(3) as usize];
                Bench::Pass(Pass { advised: None, lens, dialled, outcome, past: false })
            }
            2 => {
                let sphere = Power::from_milli(dice.below(8) as i32 * -125);
                let read = Read::Direct(SphereCylinder::sphere(sphere));
                Bench::Reading(Reading {
                    entered: Entered::READ,
                    lens,
                    stage: Stage::Mounted,
                    read,
                    prism: None,
                    add: None,
                })
            }
            3 => {
                let good = dice.below(2) == 0;
                Bench::Check(Check {
                    entered: Entered::READ,
                    of: Subject::Lens(lens),
                    item: CheckItem::Strain,
                    good,
                })
            }
            _ => Bench::Check(Check {
                entered: Entered::READ,
                of: Subject::Pair(pair),
                item: CheckItem::Alignment,
                good: true,
            }),
        }
    }

    fn step(&mut self, dice: &mut Dice) {
        let (journal, eye) = (KEYPADS[usize::from(dice.below(4) == 0)], dice.eye());
        let last = self.memories.get(&journal).map_or(0, |memory| memory.facts.len() as u32);
        match dice.below(20) {
            0 => {
                let lens = self.pair().lens(eye);
                if lens.number < 200 {
                    self.keypad(
                        journal,
                        Bench::NewLens(NewLens { lens: LensId { number: lens.number + 1, ..lens } }),
                    );
                }
            }
            1 => {
                let spoiled = Some(self.pair().lens(eye).number);
                self.work.remake(self.job, eye, spoiled, Cause::Slipped, Bearer::Shop, "").unwrap();
            }
            2 => {
                let entry = PassEntry {
                    eye,
                    amount: Length::from_milli(dice.below(10) as i32 * 50),
                    outcome: Outcome::JustTooBig,
                    insist: true,
                };
                self.work.log_pass(self.job, &entry).unwrap();
            }
            3 => {
                let tray = dice.below(90).to_string();
                // Where it lies there already nothing is written.
                let _ = self.work.amend(self.job, "moved", None, |order| order.tray = Some(tray.clone()));
            }
            // The console voids any record of a keypad; what cannot be voided stays.
            4 if last > 0 => {
                let seq = 1 + dice.below(last.into()) as u32;
                let _ = self.work.void(RecordId { journal, seq });
            }
            // The keypad undoes one of its newest, whatever its card already includes.
            5 | 6 if last > 0 => {
                let seq = last - (dice.below(3) as u32).min(last - 1);
                let target = self.memories[&journal].facts[seq as usize - 1];
                if target.job() == Some(self.job) && !matches!(target, Bench::Void(_)) {
                    let target = RecordId { journal, seq };
                    self.keypad(journal, Bench::Void(Void { job: Some(self.job), target }));
                }
            }
            7 => {
                for _ in 0..dice.below(60) {
                    let other = self.fact(dice, JobId(77));
                    self.keypad(journal, other);
                }
            }
            _ => {
                let fact = self.fact(dice, self.job);
                self.keypad(journal, fact);
            }
        }
    }
}

/// What the card of a job would be made of, and its revision.
fn snapshot(work: &Work, journal: JournalId, id: JobId) -> (Snapshot, u32) {
    let ring = Ring::of(work, journal, work.stated_position().unwrap()).unwrap();
    let shown = |state: &JobState| {
        let lens = |eye| (state.lens(eye).number, &state.lens(eye).sizing);
        let [right, left] =
            Eye::BOTH.map(lens).map(|(number, sizing)| (number, sizing.fits, sizing.is_scrap()));
        let done = Eye::BOTH.into_iter().all(|eye| state.lens(eye).sizing.is_done());
        Showing { done, ends: (!done).then_some([right, left]) }
    };
    ring.snapshot(id, &work.job(id).unwrap().lines, 0, shown).unwrap()
}

#[test]
fn a_keypads_state_is_the_consoles_through_many_random_histories() {
    let (mut left_out, mut made, mut steps) = (0, 0, 0);
    for seed in 1..=12 {
        let (mut dice, mut history) = (Dice(seed * 0x9e37_79b9), History::new());
        let mut sent: HashMap<JournalId, (Snapshot, u32)> = HashMap::new();
        for _ in 0..120 {
            history.step(&mut dice);
            steps += KEYPADS.len();
            let job = history.work.job(history.job).unwrap();
            let whole = job.state;
            for journal in KEYPADS {
                let (snapshot, revision) = snapshot(&history.work, journal, job.id);
                let empty = Memory::default();
                let memory = history.memories.get(&journal).unwrap_or(&empty);
                let state = memory.state(journal, history.job, &snapshot);
                assert_eq!(state, whole, "seed {seed} {journal} {snapshot:?}");
                let last = memory.facts.len() as u32;
                assert!(snapshot.includes_upto <= last);
                let parts = |seq: u32, fact: &Bench| {
                    let Bench::Void(void) = fact else { return false };
                    seq > snapshot.includes_upto && void.target.seq <= snapshot.includes_upto
                };
                let own = || (1..).zip(&memory.facts);
                assert!(!own().any(|(seq, fact)| parts(seq, fact)), "no keypad takes it: {snapshot:?}");
                let out =
                    own().filter(|(seq, f)| *seq > snapshot.includes_upto && f.job() == Some(history.job));
                let out = out.map(|(seq, _)| seq).collect::<Vec<u32>>();
                assert!(out.iter().all(|seq| seq + LEFT_OUT > last), "{out:?} of {last}");
                left_out += out.len();
                // A snapshot that is not asked for again before its number is reached stands until then.
                let before = sent.insert(journal, (snapshot.clone(), revision));
                let Some((before, made_by)) = before else { continue };
                assert!(revision > made_by || (revision, &snapshot.state) == (made_by, &before.state));
                assert!(revision > made_by || snapshot.includes_upto == before.includes_upto);
                made += usize::from(revision > made_by);
            }
        }
    }
    assert!(left_out > 1000, "the newest records can be undone: {left_out}");
    // Others write about it all the time here.
    assert!(made * 3 < steps * 2, "in {steps} steps {made} cards were made anew");
}

#[test]
fn a_book_put_back_from_a_copy_gives_no_revision_that_was_given_before() {
    let folder = tempfile::tempdir().unwrap();
    let [first, second] = ["first.db", "second.db"].map(|name| folder.path().join(name));
    let mut work = Work::open(&first, Settings::defaults().unwrap()).unwrap();
    let job = work.open_job(sample(), None).unwrap().0.id;
    let revision = |work: &mut Work, axis: i32| {
        let axis = bevelbook_core::units::Axis::from_milli(axis);
        let prism = bevelbook_core::units::PrismPair::NONE;
        let mark =
            |lens| Bench::Mark(bevelbook_core::record::Mark { entered: Entered::READ, lens, axis, prism });
        work.log_lens(job, Eye::Right, mark).unwrap();
        // What is logged at the desk is none of this keypad's own.
        (work.job(job).unwrap().lines.last().unwrap().position, snapshot(work, KEYPADS[0], job).1)
    };
    drop(work);
    std::fs::copy(&first, &second).unwrap();
    let mut went_on = [&first, &second].map(|path| Work::open(path, Settings::defaults().unwrap()).unwrap());
    let own = went_on.each_ref().map(|work| work.own_journal().unwrap());
    let [one, other] = went_on.each_mut().map(|work| revision(work, 90_000));
    assert_eq!(one.0, other.0, "both wrote at the same place");
    assert_eq!(one.1 == other.1, own[0].0 as u8 == own[1].0 as u8, "{own:?}");
}
