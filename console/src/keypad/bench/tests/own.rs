//! How often a card is written by what its keypad logs itself, and that both ends hold the same all the while.

use super::*;
use crate::work::{PassEntry, facts_of, state_of};
use bevelbook_core::link::LEFT_OUT;
use bevelbook_core::prescription::{Eye, SphereCylinder};
use bevelbook_core::record::{
    CentreDistance, Check, CheckItem, Entered, JobState, LensId, Pass, Progress, Read, Reading, RecordId,
    Stage, Subject, Told, Void,
};
use bevelbook_core::sizing::{Dialled, Outcome};
use bevelbook_core::units::PrismPair;

const DIAL: Dial =
    Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(50) };

/// A shop with a keypad that holds the cards of two jobs.
fn shop() -> (Rig, [JobId; 2]) {
    let mut jobs = [JobId(0); 2];
    let mut rig = Rig::new(Store::new(10), |work| {
        work.log_station(StationEvent::Dial(DIAL)).unwrap();
        jobs = ["Lindgren 7", "Skerry 3"].map(|model| {
            let mut order = sample();
            (order.tray, order.frame.model) = (None, model.into());
            work.open_job(order, None).unwrap().0.id
        });
    });
    rig.run(3000);
    (rig, jobs)
}

fn pass(job: JobId, eye: Eye, milli: i32, outcome: Outcome) -> Fact {
    let lens = LensId { job, eye, number: 1 };
    let (basis, counting, amount) = (DIAL.basis, DIAL.counting, Length::from_milli(milli));
    Fact::Pass(Pass {
        advised: None,
        lens,
        dialled: Dialled { basis, counting, amount },
        outcome,
        past: false,
    })
}

/// Passes of a lens that is far too big, of a job with a card or without one.
fn tries(job: JobId, many: i32) -> impl Iterator<Item = Fact> {
    (0..many).map(move |n| pass(job, Eye::Right, 900 - 10 * n, Outcome::FarTooBig))
}

/// A job that the console knows nothing else of.
const WALK_IN: JobId = JobId(77);

/// All that is asked of one lens of `job`, and the pass that fits.
fn of_lens(
    job: JobId,
    eye: Eye,
    power: SphereCylinder,
    add: Option<bevelbook_core::units::Power>,
) -> Vec<Fact> {
    let lens = LensId { job, eye, number: 1 };
    let entered = Entered::READ;
    let (read, prism) = (Read::Direct(power), Some(PrismPair::NONE));
    let reading = |stage| Fact::Reading(Reading { entered, lens, stage, read, prism, add });
    let check = |item| Fact::Check(Check { entered, of: Subject::Lens(lens), item, good: true });
    let before = [reading(Stage::Uncut), pass(job, eye, 200, Outcome::Fits), reading(Stage::Mounted)];
    before.into_iter().chain(CheckItem::FINISH.map(check)).collect()
}

impl Rig {
    /// Logs at the keypad, one behind the other; how many cards that wrote.
    fn logs(&mut self, facts: impl IntoIterator<Item = Fact>) -> u32 {
        let before = self.store.written;
        for fact in facts {
            self.store.keep(fact);
            self.run(1000);
            self.both_hold_the_same();
        }
        self.store.written - before
    }

    /// What the keypad makes of a card and its own records behind it.
    fn at_keypad(&self, card: &Card) -> JobState {
        let own = self.store.records.range(card.includes_upto + 1..).filter_map(|(seq, record)| {
            let id = RecordId { journal: self.store.journal, seq: *seq };
            Some(Told::from(bevelbook_core::record::Logged { id, fact: record.fact().ok()? }))
        });
        let own: Vec<Told> = own.collect();
        let mut state = card.state;
        facts_of(card.job, own.iter().copied()).iter().for_each(|logged| state.apply(&logged.fact));
        state
    }

    fn both_hold_the_same(&self) {
        for card in self.store.cards.values() {
            assert_eq!(self.at_keypad(card), self.work().job(card.job).unwrap().state);
        }
    }

    fn progress(&self, job: JobId) -> Progress {
        self.store.cards[&job].progress
    }
}

#[test]
fn a_whole_pair_writes_its_card_once_when_it_is_put_away_done() {
    let (mut rig, [job, other]) = shop();
    let order = rig.work().job(job).unwrap().order;
    let mut facts: Vec<Fact> = Eye::BOTH
        .into_iter()
        .flat_map(|eye| of_lens(job, eye, order.expected(eye).power, order.expected(eye).add))
        .collect();
    let pair = rig.work().job(job).unwrap().pair();
    let (entered, centres, heights) = (Entered::READ, order.pd(), order.heights);
    facts.push(Fact::CentreDistance(CentreDistance { entered, pair, centres, heights }));
    let item = CheckItem::Alignment;
    facts.push(Fact::Check(Check { entered, of: Subject::Pair(pair), item, good: true }));
    assert_eq!(rig.logs(facts.clone()), 0, "{} records", facts.len());
    assert_eq!(rig.progress(job), Progress::NotBegun, "the keypad knows better");
    assert_eq!(rig.logs([pass(other, Eye::Right, 500, Outcome::FarTooBig)]), 1);
    assert_eq!((rig.progress(job), rig.progress(other)), (Progress::Done, Progress::NotBegun));
    // Put away, nothing of it is left out.
    assert_eq!(rig.store.cards[&job].includes_upto, facts.len() as u32);
    assert_eq!(rig.logs(tries(WALK_IN, 80)), 1, "the other is old by then");
}

#[test]
fn a_pair_that_is_put_away_half_done_writes_its_card_once_when_its_records_are_old() {
    let (mut rig, [job, other]) = shop();
    assert_eq!(rig.logs(tries(job, 6)), 0);
    // The other one is in hand when it is that old: its newest stay out.
    assert_eq!(rig.logs(tries(other, 58)), 0);
    assert_eq!(rig.logs(tries(other, 12)), 2);
    assert_eq!(rig.store.cards[&job].includes_upto, 6);
    assert_eq!(rig.store.cards[&other].includes_upto, 71 - 8);
    let old = LEFT_OUT as i32 - 7;
    assert_eq!(rig.logs(tries(WALK_IN, old)), 1);
    assert_eq!(rig.store.cards[&other].includes_upto, 76);
}

#[test]
fn what_others_write_is_on_the_card_at_once_and_takes_in_what_was_left_out() {
    let (mut rig, [job, _]) = shop();
    assert_eq!(rig.logs([pass(job, Eye::Right, 500, Outcome::FarTooBig)]), 0);
    let typed = |work: &mut Work, eye, milli| {
        let (amount, outcome) = (Length::from_milli(milli), Outcome::JustTooBig);
        work.log_pass(job, &PassEntry { eye, amount, outcome, insist: false }).unwrap();
    };
    typed(&mut rig.work(), Eye::Left, 300);
    rig.run(2000);
    rig.both_hold_the_same();
    assert_eq!(rig.store.cards[&job].includes_upto, 1);
    assert_eq!(rig.logs([pass(job, Eye::Right, 300, Outcome::JustTooBig)]), 0);
    // What the order says changes nothing of what is laid over it, and a word is on no card.
    rig.work().note(job, "a word").unwrap();
    rig.work().amend(job, "moved", None, |order| order.tray = Some("9".into())).unwrap();
    rig.run(2000);
    rig.work().note(job, "another").unwrap();
    rig.run(2000);
    rig.both_hold_the_same();
    assert_eq!((rig.store.cards[&job].includes_upto, rig.store.written), (1, 2 + 2));
}

#[test]
fn what_is_undone_at_either_end_is_undone_at_both() {
    let (mut rig, [job, _]) = shop();
    let void = |seq| {
        let target = RecordId { journal: JournalId(10), seq };
        Fact::Void(Void { job: Some(job), target })
    };
    rig.logs([200, 150].map(|milli| pass(job, Eye::Right, milli, Outcome::JustTooBig)));
    rig.logs([void(2)]);
    rig.work().void(RecordId { journal: JournalId(10), seq: 1 }).unwrap();
    rig.run(2000);
    rig.both_hold_the_same();
    assert_eq!(rig.work().job(job).unwrap().state, state_of(job, std::iter::empty()));
}

#[test]
fn a_card_that_includes_what_was_undone_meanwhile_is_made_anew_and_sent() {
    let (mut rig, [job, _]) = shop();
    rig.logs([pass(job, Eye::Right, 200, Outcome::JustTooBig)]);
    let target = RecordId { journal: JournalId(10), seq: 1 };
    rig.store.meanwhile = Some(Fact::Void(Void { job: Some(job), target }));
    let entry = PassEntry {
        eye: Eye::Left,
        amount: Length::from_milli(300),
        outcome: Outcome::JustTooBig,
        insist: false,
    };
    rig.work().log_pass(job, &entry).unwrap();
    rig.run(3000);
    rig.both_hold_the_same();
    assert_eq!((rig.store.meanwhile, rig.store.cards[&job].includes_upto), (None, 2));
    let passes = Eye::BOTH.map(|eye| rig.store.cards[&job].state.lens(eye).sizing.passes);
    assert_eq!(passes, [0, 1]);
    assert!(!rig.has(|note| matches!(note, Note::JobNotTaken { .. })), "{:?}", rig.notes);
    // It goes when the job does.
    rig.work().close(job, "cancelled", Some("moved away")).unwrap();
    rig.run(3000);
    assert!(!rig.store.cards.contains_key(&job));
}

#[test]
fn a_record_that_is_kept_apart_is_not_laid_over_the_card() {
    let (mut rig, [job, other]) = shop();
    rig.logs([pass(job, Eye::Right, 500, Outcome::FarTooBig)]);
    // No dial shows that.
    assert_eq!(rig.logs([pass(job, Eye::Right, 500_000, Outcome::Fits)]), 1);
    assert_eq!(rig.work().job(job).unwrap().state.lens(Eye::Right).sizing.fits, None);
    assert_eq!(rig.store.cards[&job].includes_upto, 2);
    assert_eq!(rig.logs([pass(other, Eye::Right, 500_000, Outcome::Fits)]), 1);
}

#[test]
fn a_console_that_is_started_again_writes_no_card_of_the_keypads_own_work() {
    let (mut rig, [job, _]) = shop();
    for n in 0..70 {
        rig.logs([pass(job, Eye::Left, 900 - n, Outcome::FarTooBig)]);
        let written = rig.store.written;
        rig.bench = Bench::new(rig.work(), Now { ms: rig.ms, utc_ms: 2_000_000 }).unwrap();
        rig.run(2000);
        rig.both_hold_the_same();
        assert_eq!(rig.store.written, written, "{n}");
    }
    assert_eq!(rig.store.written, 2 + 1);
}
