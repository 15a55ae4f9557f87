//! Pictures of the screen in letters, beside this file; `BEVELBOOK_RENEW=1` writes them anew, to be looked at.

use super::links::link;
use super::*;
use crate::cli::paint::Said;
use crate::desk::{Order, sample};
use crate::keypad::Gone;
use crate::keypad::{Link, Note, since_words};
use crate::settings::Settings;
use crate::work::{Job, PassEntry, Unfiled};
use bevelbook_core::prescription::{Eye, SphereCylinder, Wanted};
use bevelbook_core::record::{
    Bench as Fact, Entered, JobId, JobState, PairId, Read, Reading, Stage, StationEvent,
};
use bevelbook_core::sizing::{Advice, Basis, Counting, Dial, Ladder, Outcome, Rim, Rung};
use bevelbook_core::units::{Length, Notation};
use crossterm::event::{KeyCode, KeyModifiers};
use desk::without_book;
use jiff::Timestamp;
use pair::{Advised, Pair};
use ratatui::backend::TestBackend;
use ratatui::style::Color;
use std::path::Path;
use tempfile::TempDir;

/// A book with one job in it.
struct Shop {
    work: Work,
    job: JobId,
    /// What the book tells of its frame.
    book: Option<Advice>,
    _folder: TempDir,
}

impl Shop {
    fn with(change: impl FnOnce(&mut Order)) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut work = Work::open(folder.path().join("book"), Settings::defaults().unwrap()).unwrap();
        let step = Length::from_milli(50);
        work.log_station(StationEvent::Dial(Dial {
            basis: Basis::Diameter,
            counting: Counting::Absolute,
            step,
        }))
        .unwrap();
        let mut order = sample();
        change(&mut order);
        let job = work.open_job(order, None).unwrap().0.id;
        Self { work, job, book: None, _folder: folder }
    }

    fn pass(&mut self, eye: Eye, milli: i32, outcome: Outcome) {
        let entry = PassEntry { eye, amount: Length::from_milli(milli), outcome, insist: true };
        self.work.log_pass(self.job, &entry).unwrap();
    }

    fn read(&mut self, eye: Eye, stage: Stage, power: &str) {
        let read = Read::Direct(SphereCylinder::parse(power, Notation::Reading).unwrap());
        let entered = Entered::READ;
        let reading = |lens| Fact::Reading(Reading { entered, lens, stage, read, prism: None, add: None });
        self.work.log_lens(self.job, eye, reading).unwrap();
    }

    fn job(&self) -> Job {
        self.work.job(self.job).unwrap()
    }

    fn shown(&self) -> Shown {
        let settings = self.work.settings();
        let dial = self.work.station().unwrap();
        let standard = settings.tolerances().unwrap();
        let bench = Advised { habit: &settings.sizing, dial: dial.as_ref(), book: self.book.as_ref() };
        let mut shown = Shown::of(Pair::of(&self.job(), &standard, &bench));
        shown.links = vec![link(Link::Connected { keypad: "left".into(), waiting: 3 }, " on /dev/ttyACM0")];
        shown.say(Tone::Plain, "12:01:07  job 1  right: +0.40 mm on diameter: much too big");
        shown.say(Tone::Bad, "GAP: records 4 to 6 of keypad left are lost; log again what they held");
        shown
    }
}

/// A pair on its way: one lens fits and was read, the other is being sized.
fn under_way() -> Shop {
    let mut shop = Shop::with(|order| order.tray = Some("4".into()));
    shop.read(Eye::Right, Stage::Uncut, "-1.25 -0.75 x 15");
    shop.pass(Eye::Right, 400, Outcome::FarTooBig);
    shop.pass(Eye::Right, 200, Outcome::JustTooBig);
    shop.pass(Eye::Right, 100, Outcome::Fits);
    shop.read(Eye::Right, Stage::Mounted, "-1.25 -0.75 x 27");
    shop.pass(Eye::Left, 400, Outcome::FarTooBig);
    shop.pass(Eye::Left, 250, Outcome::Abandoned);
    shop
}

const KEYPAD: [&str; 8] = [
    "LEFT job 1    console",
    "rim size, on diameter",
    "    +0.25",
    "big at +0.40",
    "-----|---------B#####",
    "↑ much[stopped]↓ fits",
    "← loose[undo]→ touch",
    "● size[menu]",
];

fn with_keypad(mut shown: Shown) -> Shown {
    shown.keypad = Some(KEYPAD.map(str::to_owned).to_vec());
    shown
}

fn picture(shown: &Shown, (columns, rows): (u16, u16)) -> ratatui::buffer::Buffer {
    let mut terminal = ratatui::Terminal::new(TestBackend::new(columns, rows)).unwrap();
    terminal.draw(|frame| draw(shown, Paint { colour: true }, frame.buffer_mut())).unwrap();
    terminal.backend().buffer().clone()
}

fn letters(shown: &Shown, size: (u16, u16)) -> String {
    let buffer = picture(shown, size);
    let row = |y| (0..size.0).map(|x| buffer[(x, y)].symbol()).collect::<String>().trim_end().to_owned();
    (0..size.1).map(row).collect::<Vec<_>>().join("\n") + "\n"
}

fn assert_picture(name: &str, shown: &Shown, size: (u16, u16)) {
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("src/cli/bench/screen/pictures/{name}.txt"));
    let drawn = letters(shown, size);
    if std::env::var_os("BEVELBOOK_RENEW").is_some() {
        std::fs::write(&path, &drawn).unwrap();
    }
    let expected = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(drawn == expected, "{name} looks otherwise now:\n{drawn}");
}

#[test]
fn a_pair_under_way_at_every_size() {
    let shown = under_way().shown();
    assert_picture("80x24", &shown, (80, 24));
    assert_picture("80x24-keypad", &with_keypad(shown.clone()), (80, 24));
    assert_picture("120x40-keypad", &with_keypad(shown.clone()), (120, 40));
    assert_picture("60x16-keypad", &with_keypad(shown.clone()), (60, 16));
    assert_picture("59x15", &shown, (59, 15));
}

fn key(code: KeyCode) -> KeyEvent {
    KeyEvent::new(code, KeyModifiers::NONE)
}

#[test]
fn where_nothing_can_be_seen_no_key_does_anything_but_end() {
    let mut shown = with_keypad(under_way().shown());
    let before = shown.clone();
    for code in [KeyCode::Up, KeyCode::Enter, KeyCode::Char('u'), KeyCode::Char('?'), KeyCode::Tab] {
        assert_eq!(shown.key(key(code), false), Act::Nothing, "{code:?}");
    }
    assert_eq!(shown, before);
    assert_eq!(shown.key(key(KeyCode::Char('q')), false), Act::End);
    let fits = |size: (u16, u16)| fits(size.into(), LEAST);
    assert!(!fits((59, 24)) && !fits((60, 15)) && fits((60, 16)));
}

#[test]
fn an_undo_says_what_it_would_undo_and_takes_a_yes() {
    let mut shown = under_way().shown();
    shown.key(key(KeyCode::Char('u')), true);
    let last = "left: +0.25 mm on diameter: stopped early";
    assert!(shown.question().unwrap().starts_with(&format!("undo {last}")), "{:?}", shown.question());
    assert_eq!(shown.key(key(KeyCode::Up), true), Act::Nothing, "a question is open");
    assert_eq!(shown.key(key(KeyCode::Char('n')), true), Act::Nothing);
    shown.key(key(KeyCode::Char('u')), true);
    let Act::Undo(_, says) = shown.key(key(KeyCode::Char('y')), true) else { panic!("not undone") };
    assert!(says.starts_with(last), "{says}");
    assert_eq!(shown.mode, Mode::Watch);
}

#[test]
fn without_colour_every_word_stands_and_nothing_is_coloured() {
    let shown = with_keypad(under_way().shown());
    let mut plain = ratatui::Terminal::new(TestBackend::new(80, 24)).unwrap();
    plain.draw(|frame| draw(&shown, Paint { colour: false }, frame.buffer_mut())).unwrap();
    let (plain, coloured) = (plain.backend().buffer().clone(), picture(&shown, (80, 24)));
    let readable = [Color::Reset, Color::Green, Color::Red, Color::Magenta];
    for (bare, cell) in plain.content.iter().zip(&coloured.content) {
        assert_eq!(bare.symbol(), cell.symbol());
        assert!(bare.fg == Color::Reset && bare.bg == Color::Reset);
        assert!(readable.contains(&cell.fg) && cell.bg == Color::Reset, "{:?}", cell.fg);
    }
    assert!(coloured.content.iter().any(|cell| cell.fg == Color::Red));
}

#[test]
fn a_name_that_steers_a_terminal_is_letters() {
    let shop = Shop::with(|order| order.customer = "K\u{1b}[2J\u{202e}".into());
    let drawn = letters(&shop.shown(), (80, 24));
    assert!(!drawn.contains(['\u{1b}', '\u{202e}']), "{drawn}");
}

#[test]
fn what_is_asked_and_what_keys_there_are() {
    let mut shown = under_way().shown();
    shown.mode = Mode::Add("drum".into());
    assert_picture("question", &shown, (80, 24));
    shown.mode = Mode::Help;
    assert_picture("help", &shown, (60, 16));
}

#[test]
fn a_pair_that_is_done_and_one_of_which_a_lens_is_not_made() {
    let mut shop = Shop::with(|order| order.due = Some(jiff::civil::date(2026, 12, 4)));
    for (eye, power) in [(Eye::Right, "-1.25 -0.75 x 15"), (Eye::Left, "-1.50 -0.50 x 170")] {
        shop.read(eye, Stage::Uncut, power);
        shop.pass(eye, 400, Outcome::JustTooBig);
        shop.pass(eye, 250, Outcome::Fits);
        shop.read(eye, Stage::Mounted, power);
    }
    assert_picture("read-in-the-frame", &shop.shown(), (80, 24));
    let mut shop = Shop::with(|order| order.left.wanted = Wanted::Nothing { known: false });
    shop.pass(Eye::Right, 400, Outcome::Loose);
    assert_picture("one-lens-loose", &shop.shown(), (80, 24));
}

/// Nine lenses of this model fitted between +0.05 and +0.15.
fn nine_fitted() -> Advice {
    let mm = Length::from_milli;
    let rung = |at, far, just| Rung { at: mm(at), far: mm(far), just: mm(just) };
    let ladder = Ladder::new([rung(200, 0, 100), rung(100, -50, 50), rung(50, -100, 0)]);
    let fitted = Some([50, 150].map(mm));
    let (first, second) = (ladder.clone(), ladder);
    Advice {
        basis: Basis::Diameter,
        first,
        second,
        second_from_fit: false,
        lenses: 9,
        fitted,
        tenths: [15; 2],
    }
}

#[test]
fn what_the_book_tells_of_a_frame_stands_there_with_why_and_lies_on_the_gauge() {
    let mut shop = Shop::with(|order| order.tray = Some("4".into()));
    shop.book = Some(nine_fitted());
    shop.pass(Eye::Right, 350, Outcome::FarTooBig);
    assert_picture("by-the-book", &shop.shown(), (80, 24));
    assert_picture("by-the-book-60x16", &with_keypad(shop.shown()), (60, 16));
    let shown = shop.shown();
    assert!(shown.pair.next.text.ends_with("size the right lens; dial +0.20 mm on diameter"), "{shown:?}");
    shop.pass(Eye::Right, 100, Outcome::Fits);
    let [right, left] = shop.shown().pair.eyes.unwrap();
    assert_eq!((right.why, left.why.is_some()), (None, true), "of a lens that fits nothing more is told");
}

#[test]
fn a_walk_in_says_how_it_comes_to_its_order_and_no_job_how_one_is_opened() {
    let mut shown = under_way().shown();
    let pair = PairId { job: JobId(0x3fa9_0000_0000_0000), numbers: [1, 1] };
    let (state, rim) = (JobState::new(pair), Rim::Plastic);
    shown.pair = Pair::of_walk_in(&Unfiled { id: pair.job, rim, lines: Vec::new(), state, void: false });
    assert_picture("walk-in", &shown, (80, 24));
    let folder = tempfile::tempdir().unwrap();
    let work = Work::open(folder.path().join("book"), Settings::defaults().unwrap()).unwrap();
    let mut desk = Desk::new(BenchBook::place(&work)).unwrap();
    assert_eq!(renewed(&mut desk, None).heading, "no job is open");
    desk.pair = Pair::default();
    desk.renew(None, None, Clock::start().now());
    assert_eq!(desk.pair, Pair::default(), "nothing was written since");
}

/// The pair, once the desk has its book and has looked.
fn renewed(desk: &mut Desk, in_hand: Option<JobId>) -> Pair {
    let clock = Clock::start();
    desk.pair = Pair::default();
    while desk.pair.heading.is_empty() {
        desk.renew(in_hand, None, clock.now());
    }
    desk.pair.clone()
}

/// The same with an hour that does not pass.
fn at_14_02(said: &Said, since: Timestamp) -> Said {
    Said::new(said.tone, said.text.replace(&since_words(since), "14:02"))
}

#[test]
fn while_the_server_is_away_the_pair_stands_as_it_was_and_says_so() {
    let mut shown = with_keypad(under_way().shown());
    shown.keypad.as_mut().unwrap()[0] = "LEFT job 1 23 to send".into();
    let away = Timestamp::now();
    let gone = Gone { why: "connection refused".into(), away: Some(away) };
    shown.links =
        vec![at_14_02(&link(Link::Away { since: away, waiting: Some(23) }, " on /dev/ttyACM0"), away)];
    without_book(&mut shown.pair, &gone);
    shown.pair.next = at_14_02(&shown.pair.next, away);
    shown.note(&Note::ServerAway { since: away, why: gone.why.clone(), waiting: Some(23) });
    let told = shown.came.pop_back().unwrap();
    shown.came.push_back(at_14_02(&told, away));
    assert_picture("server-away", &shown, (80, 24));
    assert_picture("server-away-60x16", &shown, (60, 16));
    let mut never = Pair::default();
    without_book(&mut never, &gone);
    assert_eq!(
        (never.heading.as_str(), never.next.text.as_str()),
        ("waiting for the server", "connection refused")
    );
}

#[test]
fn what_cannot_be_undone_now_is_not_said_to_be_undone() {
    let shop = under_way();
    let (last, _) = shop.shown().pair.last.unwrap();
    let mut desk = Desk::new(BenchBook::place(&shop.work)).unwrap();
    assert!(desk.undo(last).is_err_and(|why| why.contains("nothing was undone")), "it is not open yet");
}

#[test]
fn other_open_jobs_are_looked_at_one_by_one_and_round() {
    let mut shop = Shop::with(|_| {});
    shop.work.open_job(sample(), None).unwrap();
    let first = shop.job;
    let mut desk = Desk::new(BenchBook::place(&shop.work)).unwrap();
    renewed(&mut desk, Some(first));
    let mut number = |further: Option<isize>| {
        desk.look(Some(first), further);
        renewed(&mut desk, Some(first)).heading.split(',').next().unwrap().to_owned()
    };
    assert_eq!([Some(1), Some(1), Some(-1)].map(&mut number), ["job 2", "job 1", "job 2"]);
    assert_eq!(number(None), "job 1");
}
