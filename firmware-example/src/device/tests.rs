//! Starting, in every state a memory can be in, and a first record, through nothing but keys, bytes and the screen.

use super::showing::LOOK_MS;
use super::*;
use crate::memory::PAGE;
use crate::memory::faults::{Cut, Fault, FaultyPages, Torn};
use crate::screen::text::render;
use crate::screen::{Canvas, graphics};
use std::string::String;
use std::vec::Vec;

const SMALL: u16 = 64;

pub(super) type Faulty = FaultyPages<{ SMALL as usize }>;

fn layout() -> Layout {
    Layout::new(SMALL, 0, 0).unwrap()
}

/// A device with its keys and its clock.
pub(super) struct Bench<'p> {
    pub(super) device: Device<&'p mut Faulty>,
    now_ms: u64,
}

impl<'p> Bench<'p> {
    pub(super) fn on(pages: &'p mut Faulty, entropy: u64) -> Self {
        Self { device: Device::start(pages, layout(), "test", entropy), now_ms: 0 }
    }

    fn levels(&mut self, closed: u8, for_ms: u64) {
        for _ in 0..for_ms {
            self.now_ms += 1;
            self.device.keys(closed, self.now_ms);
        }
    }

    fn key(&mut self, key: Key, for_ms: u64) {
        let bit = Key::ALL.iter().position(|known| *known == key).unwrap();
        self.levels(1 << bit, for_ms);
        self.levels(0, 400);
    }

    pub(super) fn press(&mut self, key: Key) {
        self.key(key, 100);
    }

    pub(super) fn hold(&mut self, key: Key) {
        self.key(key, 900);
    }

    fn shows(&self) -> String {
        std::format!("{}", render(&self.device.screen(self.now_ms)))
    }

    #[track_caller]
    pub(super) fn assert_shows(&self, part: &str) {
        assert!(self.shows().contains(part), "no `{part}` on\n{}", self.shows());
    }

    fn journal(&self) -> Option<u64> {
        self.device.app().map(|app| app.memory().journal().0)
    }

    /// A job is opened here and its dial stated: two records.
    pub(super) fn work(&mut self) {
        self.hold(Key::Centre);
        for _ in 0..6 {
            self.press(Key::Down);
        }
        self.press(Key::Centre);
        self.press(Key::Centre);
        self.assert_shows("sphere line");
    }
}

fn begun(pages: &mut Faulty) -> u64 {
    let mut bench = Bench::on(pages, 7);
    bench.hold(Key::Centre);
    bench.journal().unwrap()
}

#[test]
fn a_blank_memory_begins_a_journal_only_with_the_centre_held() {
    let mut pages = Faulty::blank();
    let mut bench = Bench::on(&mut pages, 7);
    bench.assert_shows("first start");
    for (key, name) in Key::ALL.into_iter().zip(["up", "down", "left", "right", "centre"]) {
        bench.press(key);
        bench.assert_shows(&std::format!("{name} works."));
    }
    bench.hold(Key::Up);
    assert_eq!(bench.journal(), None);
    bench.hold(Key::Centre);
    bench.assert_shows("no job here");
    let journal = bench.journal().unwrap();
    assert_ne!(journal, 7);
    // It is there at the next start.
    let again = Bench::on(&mut pages, 8);
    again.assert_shows("no job here");
    assert_eq!(again.journal(), Some(journal));
}

#[test]
fn the_id_follows_from_the_chip_and_from_the_times_of_keys() {
    let id = |entropy: u64, wait: u64, word: Option<u32>| {
        let mut pages = Faulty::blank();
        let mut bench = Bench::on(&mut pages, entropy);
        bench.levels(0, wait);
        word.into_iter().for_each(|word| bench.device.stir(word));
        bench.hold(Key::Centre);
        bench.journal().unwrap()
    };
    let ids = [id(1, 5, None), id(2, 5, None), id(1, 6, None), id(1, 5, Some(0)), id(1, 5, Some(1))];
    for (n, one) in ids.iter().enumerate() {
        assert!(ids.iter().skip(n + 1).all(|other| one != other), "{ids:?}");
    }
    assert_eq!(id(1, 5, None), ids[0]);
}

#[test]
fn an_unclear_memory_is_erased_by_two_held_keys_and_by_nothing_less() {
    let mut pages = Faulty::blank();
    pages.put(40, [0x5a; PAGE]);
    let mut bench = Bench::on(&mut pages, 7);
    bench.assert_shows("memory is unclear");
    bench.assert_shows("1 pages in use");
    bench.hold(Key::Up);
    bench.press(Key::Centre);
    bench.hold(Key::Centre);
    bench.assert_shows("hold UP");
    bench.press(Key::Left);
    bench.assert_shows("memory is unclear");
    bench.hold(Key::Centre);
    bench.hold(Key::Up);
    bench.assert_shows("no job here");
    drop(bench);
    assert_eq!(pages.content()[40], [0xff; PAGE]);
}

#[test]
fn a_new_journal_is_offered_at_a_start_with_up_and_down_held() {
    let mut pages = Faulty::blank();
    let first = begun(&mut pages);
    let mut bench = Bench::on(&mut pages, 8);
    bench.levels(OFFER_KEYS, 400);
    bench.levels(0, 400);
    bench.assert_shows("new log?");
    bench.press(Key::Centre);
    assert_eq!(bench.journal(), Some(first), "and it is left as it was");
    // Later on the two keys mean nothing.
    bench.levels(0, 2000);
    bench.levels(OFFER_KEYS, 400);
    bench.levels(0, 400);
    bench.work();
    let mut bench = Bench::on(&mut pages, 8);
    bench.levels(OFFER_KEYS, 400);
    bench.levels(0, 400);
    bench.assert_shows("1 records are in");
    bench.hold(Key::Centre);
    bench.assert_shows("1 records go for good");
    bench.hold(Key::Up);
    let second = bench.journal().unwrap();
    assert_ne!(first, second);
    bench.assert_shows("no job here");
}

#[test]
fn what_was_cut_while_it_was_saved_is_told_at_the_next_start() {
    let mut pages = Faulty::blank();
    begun(&mut pages);
    let mut bench = Bench::on(&mut pages, 8);
    bench.work();
    let before = bench.device.app().unwrap().memory().next();
    drop(bench);
    // The mark of a start is its first write, the copy of the newest record perhaps its second; then a reading.
    for write in 0..6 {
        let mut pages = pages.clone();
        pages.power_on();
        pages.cut_at(Cut { write, torn: Torn::Garbage, seed: 5 });
        let mut bench = Bench::on(&mut pages, 8);
        if bench.device.app().is_none() {
            bench.assert_shows("memory is silent");
            continue;
        }
        for _ in 0..6 {
            bench.press(Key::Centre);
        }
        drop(bench);
        pages.power_on();
        let mut bench = Bench::on(&mut pages, 8);
        if bench.device.app().unwrap().memory().next() == before {
            continue;
        }
        bench.assert_shows("power was cut?");
        bench.assert_shows(&std::format!("record {before} is not"));
        bench.press(Key::Centre);
        bench.assert_shows("sphere line");
        return;
    }
    unreachable!("no cut hit a record");
}

/// A memory whose chip is not there.
struct Silent;

impl Pages for Silent {
    type Error = Fault;

    fn count(&self) -> u16 {
        PAGES
    }

    fn read(&mut self, _: u16, _: &mut crate::memory::Page) -> Result<(), Fault> {
        Err(Fault::PowerOff)
    }

    fn write(&mut self, _: u16, _: &crate::memory::Page) -> Result<(), Fault> {
        Err(Fault::PowerOff)
    }
}

#[test]
fn a_silent_chip_is_told_and_says_nothing_on_the_link() {
    let mut device = Device::start(Silent, LAYOUT, "test", 1);
    assert!(std::format!("{}", render(&device.screen(0))).contains("memory is silent"));
    device.press(Press::long(Key::Centre), 10);
    device.press(Press::short(Key::Centre), 20);
    assert!(std::format!("{}", render(&device.screen(30))).contains("memory is silent"));
    let mut buffer = [0; MAX_WIRE];
    device.feed(&[0; 40], 40);
    assert_eq!(device.poll_transmit(&mut buffer, 5000), None);
}

#[test]
fn a_chip_that_is_disturbed_while_it_starts_is_asked_again_by_itself() {
    let mut pages = Faulty::blank();
    let journal = begun(&mut pages);
    Bench::on(&mut pages, 8).work();
    for reads in [1, 2, 100, 1000] {
        let mut pages = pages.clone();
        // The first page asked for, or one later on.
        pages.leave_unanswered(if reads < 100 { 0 } else { reads });
        pages.deafen(if reads < 100 { reads } else { 1 });
        let mut bench = Bench::on(&mut pages, 8);
        bench.assert_shows("memory is silent");
        for _ in 0..100_000 {
            bench.now_ms += LOOK_MS;
            bench.device.redraw(bench.now_ms);
            if bench.journal().is_some() {
                break;
            }
            bench.assert_shows("memory is silent");
        }
        assert_eq!(bench.journal(), Some(journal), "one of {reads}");
        assert!(bench.now_ms >= if reads == 2 { 2 } else { 1 } * LOOK_MS);
    }
}

#[test]
fn it_is_drawn_when_it_changed_and_at_no_other_time() {
    let mut pages = Faulty::blank();
    let mut bench = Bench::on(&mut pages, 7);
    assert!(bench.device.redraw(0), "nothing was drawn yet");
    assert!(!(1..3000).any(|now_ms| bench.device.redraw(now_ms)), "and nothing happened");
    bench.now_ms = 3000;
    bench.hold(Key::Centre);
    assert!(bench.device.redraw(bench.now_ms), "another screen");
    let now_ms = bench.now_ms;
    assert!(bench.device.next_deadline(now_ms) <= now_ms, "it says that it was started");
    let mut buffer = [0; MAX_WIRE];
    assert!(bench.device.poll_transmit(&mut buffer, now_ms).is_some());
}

#[test]
fn a_key_that_is_held_shows_how_far_it_has_come_where_it_does_something() {
    const CENTRE: u8 = 1 << 4;
    const RIGHT: u8 = 1 << 3;
    let mut pages = Faulty::blank();
    begun(&mut pages);
    let mut bench = Bench::on(&mut pages, 7);
    bench.work();
    let canvas: &mut Canvas = &mut Canvas::in_shades();
    let mut holding = |closed: u8| {
        let mut seen = Vec::new();
        for _ in 0..900 {
            bench.levels(closed, 1);
            if bench.device.redraw(bench.now_ms) {
                let (shown, whole) =
                    (bench.device.screen(bench.now_ms), &mut Canvas::in_shades() as &mut Canvas);
                bench.device.draw(canvas);
                graphics::draw(&shown, whole);
                assert_eq!(*canvas, *whole, "a part that is drawn makes the whole of it");
                seen.push(shown.header.hold);
            }
        }
        bench.levels(0, 900);
        seen
    };
    assert_eq!(holding(CENTRE), [0, 1, 2, 3, 4, 5, 6, 0], "and then the menu");
    assert!(holding(RIGHT).iter().all(|hold| *hold == 0), "nothing is behind it");
}

#[test]
fn it_draws_on_a_canvas_with_shades_as_on_one_without() {
    let mut pages = Faulty::blank();
    let mut bench = Bench::on(&mut pages, 7);
    let (shades, plain): (&mut Canvas, &mut Canvas) =
        (&mut Canvas::in_shades(), &mut Canvas::black_and_white());
    let lit =
        |canvas: &Canvas| canvas.pages().as_flattened().iter().map(|byte| byte.count_ones()).sum::<u32>();
    bench.device.draw(shades);
    assert_eq!(lit(shades), 0);
    bench.device.redraw(0);
    bench.device.draw(shades);
    bench.device.draw(plain);
    assert!(lit(shades) > 300, "{}", lit(shades));
    assert_eq!(shades.pages(), plain.pages());
}
