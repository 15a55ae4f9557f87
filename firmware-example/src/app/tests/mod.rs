//! The application against the console's end of the link, in virtual time. Screens are covered by the scenarios.

mod any;
mod legible;
mod pulled;
mod silent;
mod undone;

use super::App;
use super::job::OpenJob;
use super::legend::BEAT_MS;
use crate::keys::{Key, Press};
use crate::memory::faults::FaultyPages;
use crate::memory::{Consent, Layout, Memory, Urgency};
use crate::screen::Body;
use crate::screen::text::render;
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::link::{Card, End, Event, HostSession, MAX_WIRE, Station};
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::record::{
    Asked, Bench, Entered, Flow, JobId, JobState, JournalId, LensId, Mark, NewLens, PairId, Pass, RecordId,
    Void,
};
use bevelbook_core::sizing::{Basis, Counting, Dial, Dialled, Habit, Outcome};
use bevelbook_core::units::{Axis, Length, Power, PrismPair};
use std::string::ToString;
use std::vec::Vec;

const JOB: JobId = JobId(41);
const OWN: JournalId = JournalId(7);

type Pages = FaultyPages<128>;

fn layout() -> Layout {
    Layout::new(128, 3, 15).unwrap()
}

fn app() -> App<Pages> {
    let (mut memory, _) = Memory::begin(Pages::blank(), layout(), OWN, Consent::KeepRecords).unwrap();
    let step = Length::from_milli(50);
    let dial = Some(Dial { basis: Basis::Diameter, counting: Counting::Absolute, step });
    let station = Station { revision: 1, includes_upto: 0, dial, habit: Habit::COMMON, flow: Flow::COMMON };
    assert!(memory.store_station(station).unwrap());
    App::new(memory, "test")
}

fn card(revision: u32, includes_upto: u32, state: JobState) -> Card {
    let eye = EyeOrder::single_vision(SphereCylinder::sphere(Power::from_milli(-2000)));
    Card {
        number: 5,
        revision,
        label: "Skerry 3".try_into().unwrap(),
        tray: "2".try_into().unwrap(),
        eyes: [eye; 2],
        pd: PupillaryDistance::Binocular(Length::from_milli(62_000)),
        includes_upto,
        state,
        ..Card::blank(JOB)
    }
}

fn nothing_done() -> JobState {
    JobState::new(PairId { job: JOB, numbers: [1, 1] })
}

/// A console at the other end of a perfect line, which commits at once.
struct Console {
    session: HostSession,
    facts: Vec<(u32, Bench)>,
    /// Numbers that the keypad said are lost.
    lost: Vec<u32>,
    now_ms: u64,
}

impl Console {
    fn new() -> Self {
        Self {
            session: HostSession::new(JournalId(1), 9, 1_700_000_000_000, 0),
            facts: Vec::new(),
            lost: Vec::new(),
            now_ms: 0,
        }
    }

    /// Both ends talk for a while.
    fn talk(&mut self, app: &mut App<Pages>, for_ms: u64) {
        let until = self.now_ms + for_ms;
        let mut buffer = [0; MAX_WIRE];
        while self.now_ms < until {
            self.now_ms += 10;
            while let Some(bytes) = self.session.poll_transmit(&mut buffer, self.now_ms) {
                app.feed(bytes, self.now_ms);
            }
            while let Some(bytes) = app.poll_transmit(&mut buffer, self.now_ms) {
                self.session.feed(bytes, self.now_ms);
            }
            while let Some(event) = self.session.poll_event() {
                match event {
                    Event::Connected(_) => {
                        let last = self.facts.last().map_or(0, |(seq, _)| *seq);
                        self.session.resume(last, last + 1);
                    }
                    Event::Records { records, .. } => {
                        let mut last = 0;
                        for record in records.iter() {
                            last = record.seq;
                            self.facts.push((record.seq, Bench::decode(record.kind, &record.data).unwrap()));
                        }
                        self.session.committed(last);
                    }
                    Event::Gap { from, to, .. } => {
                        self.lost.extend(from..=to);
                        self.session.committed(to);
                    }
                    _ => {}
                }
            }
        }
    }

    fn press(&mut self, app: &mut App<Pages>, presses: &[Press]) {
        for press in presses {
            self.now_ms += 400;
            app.press(*press, self.now_ms);
        }
    }
}

/// A keypad that was just given its first card.
fn with_card() -> (App<Pages>, Console) {
    let (mut app, mut console) = (app(), Console::new());
    console.talk(&mut app, 500);
    console.session.send_card(&card(1, 0, nothing_done())).unwrap();
    console.talk(&mut app, 1000);
    (app, console)
}

/// Passes over reading and marking of both lenses.
fn skip_to_sizing(app: &mut App<Pages>, console: &mut Console) {
    for _ in 0..4 {
        console.press(app, &[Press::long(Key::Centre), Press::short(Key::Up), CENTRE]);
    }
}

const CENTRE: Press = Press::short(Key::Centre);

#[test]
fn presses_become_records_at_the_console_once_and_in_order() {
    let (mut app, mut console) = with_card();
    // Open the job; read uncut: first line, second line, centred; mark.
    console.press(&mut app, &[CENTRE; 5]);
    console.talk(&mut app, 2000);
    let facts = [console.facts[0].1, console.facts[1].1];
    assert!(matches!(facts, [Bench::Reading(_), Bench::Mark(_)]) && console.facts.len() == 2, "{facts:?}");
    assert_eq!(app.memory().unacknowledged(), 0);
    let screen = app.screen(console.now_ms);
    assert!(screen.header.console && screen.header.unsynced == 0);
    console.talk(&mut app, 5000);
    assert_eq!(console.facts.len(), 2, "nothing is sent twice");
}

#[test]
fn what_was_moved_counts_as_read_and_what_was_only_accepted_as_preset() {
    let (mut app, mut console) = with_card();
    let [up, down] = [Key::Up, Key::Down].map(Press::short);
    // The sphere line is moved and moved back, the rest is accepted; of the other reading the prism is told.
    console.press(&mut app, &[CENTRE, up, down, CENTRE, CENTRE, CENTRE, CENTRE]);
    console.press(&mut app, &[CENTRE, CENTRE, Press::short(Key::Right), CENTRE, CENTRE]);
    console.talk(&mut app, 2000);
    let of = |at: usize| {
        let fact: Bench = console.facts[at].1;
        fact.asked().into_iter().filter(|asked| fact.entered().was_preset(*asked)).collect::<Vec<_>>()
    };
    assert_eq!(of(0), [Asked::Cylinder, Asked::Prism]);
    assert_eq!(of(1), [Asked::Axis, Asked::Prism], "a mark is as it was asked for");
    assert_eq!(of(2), [Asked::Sphere, Asked::Cylinder]);
}

#[test]
fn a_new_card_of_the_job_in_hand_keeps_what_is_being_entered() {
    let (mut app, mut console) = with_card();
    console.press(&mut app, &[CENTRE, Press::short(Key::Up)]);
    let before = app.screen(console.now_ms);
    console.session.send_card(&card(2, 0, nothing_done())).unwrap();
    console.talk(&mut app, 1000);
    assert_eq!(app.screen(console.now_ms).body, before.body);
}

#[test]
fn a_pass_logged_by_somebody_else_is_advised_upon_at_once() {
    let (mut app, mut console) = with_card();
    console.press(&mut app, &[CENTRE]);
    skip_to_sizing(&mut app, &mut console);
    let figure = |app: &App<Pages>, now_ms| match app.screen(now_ms + BEAT_MS).body {
        Body::Question { figure, .. } => std::string::String::from(figure.as_str()),
        other => panic!("no question: {other:?}"),
    };
    assert_eq!(figure(&app, console.now_ms), "+0.40");
    let mut state = nothing_done();
    let lens = state.pair.lens(Eye::Right);
    let amount = Length::from_milli(400);
    let (dialled, outcome) =
        (Dialled { basis: Basis::Diameter, counting: Counting::Absolute, amount }, Outcome::JustTooBig);
    state.apply(&Bench::Pass(Pass { advised: None, lens, dialled, outcome, past: false }));
    console.session.send_card(&card(2, 0, state)).unwrap();
    console.talk(&mut app, 1000);
    assert_eq!(figure(&app, console.now_ms), "+0.30");
}

#[test]
fn a_station_stated_anew_while_a_lens_is_in_work_stops_it_until_it_was_seen() {
    let (mut app, mut console) = with_card();
    console.press(&mut app, &[CENTRE]);
    skip_to_sizing(&mut app, &mut console);
    let title = |app: &App<Pages>, now_ms| render(&app.screen(now_ms + BEAT_MS)).to_string();
    let tell = |app: &mut App<Pages>, console: &mut Console, revision, basis| {
        let dial = Dial { basis, counting: Counting::Absolute, step: Length::from_milli(50) };
        let station = Station {
            revision,
            includes_upto: 0,
            dial: Some(dial),
            habit: Habit::COMMON,
            flow: Flow::COMMON,
        };
        console.session.send_station(station);
        console.talk(app, 1000);
        title(app, console.now_ms)
    };
    // Nothing is ground yet: the size that stands there is advised anew.
    assert!(tell(&mut app, &mut console, 2, Basis::Girth).contains("on girth"));
    console.press(&mut app, &[Press::short(Key::Up)]);
    console.now_ms += 1000;
    assert!(tell(&mut app, &mut console, 3, Basis::Radius).contains("RADIUS"));
    console.press(&mut app, &[CENTRE]);
    assert!(title(&app, console.now_ms).contains("on radius"));
    assert!(
        tell(&mut app, &mut console, 4, Basis::Radius).contains("on radius"),
        "the same again is no change"
    );
    // Nor does it touch a size that is being changed.
    console.press(&mut app, &[CENTRE, Press::short(Key::Down)]);
    let changed = title(&app, console.now_ms);
    assert!(changed.contains("size on radius"), "{changed}");
    assert_eq!(tell(&mut app, &mut console, 5, Basis::Radius), changed);
}

#[test]
fn what_waits_behind_a_menu_goes_with_its_job() {
    let (mut app, mut console) = with_card();
    let menu = [Press::long(Key::Centre)];
    console.press(&mut app, &[CENTRE, Press::short(Key::Up), CENTRE]);
    console.press(&mut app, &menu);
    let shown = |app: &App<Pages>, now_ms| render(&app.screen(now_ms + BEAT_MS)).to_string();
    // Somebody else reads that lens meanwhile, and marks it.
    let mut state = nothing_done();
    let lens = state.pair.lens(Eye::Right);
    let mark = Mark { entered: Entered::READ, lens, axis: Axis::from_milli(180_000), prism: PrismPair::NONE };
    state.apply(&Bench::Mark(mark));
    console.session.send_card(&card(2, 0, state)).unwrap();
    console.talk(&mut app, 1000);
    assert!(shown(&app, console.now_ms).contains("> back"));
    console.press(&mut app, &[CENTRE]);
    let text = shown(&app, console.now_ms);
    assert!(text.contains("LEFT job 5") && text.contains("sphere line"), "{text}");
    // Nor is a new lens begun that somebody else has begun.
    console.press(&mut app, &menu);
    console.press(&mut app, &[Press::short(Key::Down), Press::short(Key::Down), CENTRE]);
    assert!(shown(&app, console.now_ms).contains("remake right, why?"));
    state.apply(&Bench::NewLens(NewLens { lens: LensId { number: 2, ..lens } }));
    console.session.send_card(&card(3, 0, state)).unwrap();
    console.talk(&mut app, 1000);
    console.press(&mut app, &[Press::long(Key::Left)]);
    let text = shown(&app, console.now_ms);
    assert!(text.contains("nothing to undo") && app.memory().next() == 1, "{text}");
}

#[test]
fn a_job_opened_here_is_listed_until_it_is_voided_or_the_console_sends_its_card() {
    let (mut app, mut console) = (app(), Console::new());
    let list = |app: &mut App<Pages>, console: &mut Console| {
        app.choose_job().unwrap();
        render(&app.screen(console.now_ms)).to_string()
    };
    let open = [Press::long(Key::Centre)].into_iter().chain([Press::short(Key::Down); 6]).chain([CENTRE; 2]);
    console.press(&mut app, &open.collect::<Vec<_>>());
    let Some(own) = app.job.as_ref().map(OpenJob::id) else { panic!("no job in hand") };
    console.talk(&mut app, 2000);
    assert_eq!((app.memory().unacknowledged(), console.facts.len()), (0, 1));
    assert!(list(&mut app, &mut console).contains("> walk-in"));
    let mut told = card(1, 1, JobState::new(PairId { job: own, numbers: [1, 1] }));
    told.job = own;
    console.session.send_card(&told).unwrap();
    console.talk(&mut app, 1000);
    let text = list(&mut app, &mut console);
    assert!(text.contains("> 5 T2 Skerry") && !text.contains("walk-in"), "{text}");
    app.memory.drop_card(own).unwrap();
    assert!(list(&mut app, &mut console).contains("> walk-in"));
    // Or the card of the order that it is filed under.
    let filed = Card { filed: [own].into_iter().collect(), ..card(1, 1, nothing_done()) };
    app.memory.store_card(JOB, 1, 0, &filed.encode()).unwrap();
    let text = list(&mut app, &mut console);
    assert!(text.contains("> 5 T2 Skerry") && !text.contains("walk-in"), "{text}");
    app.resume();
    assert_eq!(app.job.as_ref().map(OpenJob::id), Some(JOB));
    app.memory.drop_card(JOB).unwrap();
    assert!(list(&mut app, &mut console).contains("> walk-in"));
    let target = RecordId { journal: OWN, seq: 1 };
    app.memory.append_fact(&Bench::Void(Void { job: Some(own), target }), 0, Urgency::Ordinary).unwrap();
    assert!(list(&mut app, &mut console).contains("no job here"));
}

#[test]
fn what_a_card_includes_is_not_counted_twice() {
    let (mut app, mut console) = with_card();
    console.press(&mut app, &[CENTRE; 5]);
    console.talk(&mut app, 1000);
    let mut state = nothing_done();
    for (_, fact) in &console.facts {
        state.apply(fact);
    }
    let before = app.screen(console.now_ms).body;
    let newest = console.facts.last().unwrap().0;
    console.session.send_card(&card(2, newest, state)).unwrap();
    console.talk(&mut app, 1000);
    assert_eq!(app.screen(console.now_ms).body, before, "the next step is the same");
    // What the card includes is not undone here any more.
    console.press(&mut app, &[Press::long(Key::Left)]);
    let Body::Message { title, .. } = app.screen(console.now_ms).body else { panic!("no message") };
    assert_eq!(title.as_str(), "nothing to undo here");
}
