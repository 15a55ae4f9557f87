//! A memory that does not answer now and then: what is known is whole or not there, and what was saved is saved once.

use super::{CENTRE, Console, JOB, Pages, card, layout, skip_to_sizing, with_card};
use crate::app::App;
use crate::app::entry::Entry;
use crate::app::job;
use crate::app::legend::BEAT_MS;
use crate::keys::{Key, Press};
use crate::memory::Memory;
use crate::screen::text::render;
use crate::screen::{Body, Picture};
use bevelbook_core::link::Card;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, Clock, JobId};
use std::string::{String, ToString};
use std::vec::Vec;

fn open(pages: Pages) -> App<Pages> {
    App::new(Memory::open(pages, layout()).unwrap().0, "test")
}

fn disturb(app: &mut App<Pages>, one_in: u64) {
    app.memory.pages.leave_unanswered(one_in);
    app.memory.pages.disturb_writes(one_in / 4);
}

/// The same keypad started anew with a memory that answers.
fn healed(app: &App<Pages>) -> App<Pages> {
    let mut pages = app.memory.pages.clone();
    pages.leave_unanswered(0);
    pages.disturb_writes(0);
    open(pages)
}

/// What a card says, whichever revision says it.
fn said(card: &Card) -> Card {
    Card { revision: 0, includes_upto: 0, ..card.clone() }
}

/// What is true of a job.
fn truth(app: &App<Pages>, id: JobId) -> Card {
    let mut healed = healed(app);
    healed.load(id).unwrap();
    healed.job.unwrap().card
}

fn shows(app: &App<Pages>, now_ms: u64) -> String {
    render(&app.screen(now_ms)).to_string()
}

/// Whatever shows of the job in hand is the whole truth, and no size is advised past what fitted.
fn assert_whole(app: &App<Pages>, now_ms: u64) {
    if app.is_silent() {
        return;
    }
    let Some(job) = &app.job else { return };
    assert_eq!(said(&job.card), said(&truth(app, job.id())), "{}", shows(app, now_ms));
    if let Entry::Sizing(entry) = &app.entry {
        assert_eq!(Some(entry.dial), job::dial(&mut healed(app).memory).unwrap());
        let shown = app.screen(now_ms).body;
        if let Body::Question { picture: Picture::Gauge { now, fits, .. }, .. } = shown {
            let fit = job.state().lens(entry.eye).sizing.fits;
            assert_eq!(fits, fit.map(|size| size.on(entry.dial.basis)));
            assert!(entry.is_changing() || entry.is_past() || fits.is_none_or(|fits| now >= fits));
        }
    }
}

/// Sizing has come to a fit of the right lens.
fn fitted() -> (App<Pages>, Console) {
    let (mut app, mut console) = with_card();
    console.press(&mut app, &[CENTRE]);
    skip_to_sizing(&mut app, &mut console);
    console.press(&mut app, &[Press::short(Key::Right), Press::short(Key::Down)]);
    let job = app.job.as_ref().unwrap();
    assert!(job.state().lens(Eye::Right).sizing.fits.is_some());
    (app, console)
}

/// Switched off and on. A start that is not answered says so; in the end one is.
fn restarted(app: App<Pages>, one_in: u64) -> App<Pages> {
    let mut pages = app.into_memory().into_pages();
    for _ in 0..8 {
        if let Ok((memory, _)) = Memory::open(&mut pages, layout()) {
            drop(memory);
            break;
        }
    }
    pages.leave_unanswered(0);
    pages.disturb_writes(0);
    let mut memory = Memory::open(pages, layout()).unwrap().0;
    memory.pages.leave_unanswered(one_in);
    memory.pages.disturb_writes(one_in / 4);
    App::new(memory, "test")
}

#[test]
fn a_fit_is_never_forgotten_whatever_is_not_answered() {
    let (mut silent, mut open) = (0, 0);
    for seed in 0..40_u64 {
        let (mut app, mut console) = fitted();
        let one_in = 20 + seed * 7 % 181;
        app.memory.pages.seed(seed);
        disturb(&mut app, one_in);
        let mut random = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1;
        let mut revision = 1;
        for _ in 0..40 {
            random = random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            match random >> 59 {
                0 => app = restarted(app, one_in),
                // What was logged so far is told by a card from now on.
                1 if !app.memory().is_unsettled() => {
                    revision += 1;
                    let card = card(revision, app.memory().next() - 1, truth(&app, JOB).state);
                    console.session.send_card(&card).unwrap();
                }
                // Another job, and back.
                2 => console.press(&mut app, &[Press::long(Key::Centre), Press::short(Key::Down), CENTRE]),
                // The lens that fits once more, smaller.
                3 | 4 => {
                    let recut = [Press::long(Key::Centre)].into_iter().chain([Press::short(Key::Down); 4]);
                    let smaller = [CENTRE, CENTRE, Press::short(Key::Down), Press::short(Key::Down), CENTRE];
                    for press in recut.chain(smaller) {
                        console.press(&mut app, &[press]);
                        assert_whole(&app, console.now_ms);
                    }
                }
                n => {
                    let key = Key::ALL[n as usize % 5];
                    console.press(&mut app, &[if n == 31 { Press::long(key) } else { Press::short(key) }]);
                }
            }
            assert_whole(&app, console.now_ms);
            silent += u32::from(app.is_silent());
            open += u32::from(app.memory().is_unsettled());
            console.talk(&mut app, 40);
            assert_whole(&app, console.now_ms);
        }
        app.memory.pages.leave_unanswered(0);
        app.memory.pages.disturb_writes(0);
        console.talk(&mut app, 600);
        assert!(!app.is_silent() && !app.memory().is_unsettled(), "it went on by itself");
        assert_whole(&app, console.now_ms);
        app.load(JOB).unwrap();
        assert_eq!(said(&app.job.as_ref().unwrap().card), said(&truth(&app, JOB)));
    }
    assert!(silent > 15 && open > 8, "{silent} times silent, {open} times open");
}

#[test]
fn each_press_is_in_the_book_once_or_was_refused() {
    let (mut unsettled, mut refused, mut dated) = (0, 0, 0);
    for seed in 0..150_u64 {
        let (mut app, mut console) = with_card();
        console.press(&mut app, &[CENTRE]);
        skip_to_sizing(&mut app, &mut console);
        let before = console.facts.len();
        app.memory.pages.seed(seed);
        // Some have a clock, which is to stand before the first press.
        if seed % 6 == 1 || seed % 6 == 4 {
            app.memory.started_at(Clock { utc_s: Some(1_795_867_200) });
        }
        app.memory.pages.disturb_writes(2 + seed % 3);
        app.memory.pages.leave_unanswered(if seed % 2 == 0 { 0 } else { 40 });
        // Every third memory is worn: twelve pages in a row take nothing.
        let worn = (seed % 3 == 0).then(|| (2 + seed as u16 % 9) + 52);
        worn.into_iter().flat_map(|first| first..first + 12).for_each(|page| app.memory.pages.stick(page));
        let mut saved = 0;
        for _ in 0..12 {
            // Alone, or with a console that takes each as soon as it is there.
            if seed % 4 == 0 {
                console.talk(&mut app, 200);
            }
            for asked in 0.. {
                let text = shows(&app, console.now_ms);
                if text.contains("rim size") {
                    break;
                }
                assert!(asked < 200, "seed {seed}: {text}");
                console.press(&mut app, &[CENTRE]);
            }
            console.press(&mut app, &[Press::long(Key::Up)]);
            unsettled += u32::from(app.memory().is_unsettled());
            for asked in 0.. {
                if !app.is_silent() {
                    break;
                }
                assert!(asked < 200, "seed {seed}: it never answers");
                let text = shows(&app, console.now_ms);
                assert_eq!(text.contains("saved or not?"), app.memory().is_unsettled(), "{text}");
                // Nothing is logged meanwhile.
                console.press(&mut app, &[Press::short(Key::Down)]);
            }
            match shows(&app, console.now_ms).contains("NOT SAVED") {
                true => refused += 1,
                false => saved += 1,
            }
        }
        app.memory.pages.leave_unanswered(0);
        app.memory.pages.disturb_writes(0);
        console.talk(&mut app, 20_000);
        let is_clock = |(_, fact): &(u32, Bench)| matches!(fact, Bench::Clock(_));
        let (clocks, facts): (Vec<_>, Vec<_>) = console.facts[before..].iter().copied().partition(is_clock);
        assert_eq!((clocks.len() <= 1, facts.len()), (true, saved), "seed {seed}");
        assert!(clocks.iter().all(|(seq, _)| facts.iter().all(|(other, _)| seq < other)));
        dated += clocks.len();
        assert!(facts.iter().all(|(_, fact)| matches!(fact, Bench::Pass(_))));
        assert!(facts.is_sorted_by(|(one, _), (next, _)| one < next));
    }
    assert!(
        unsettled > 200 && refused > 20 && dated > 40,
        "{unsettled} open, {refused} refused, {dated} dated"
    );
}

#[test]
fn a_page_that_does_not_answer_is_told_and_asked_again_by_itself_and_by_a_key() {
    let (mut app, mut console) = fitted();
    let before = shows(&app, console.now_ms + BEAT_MS);
    let other_job = [Press::long(Key::Centre), Press::short(Key::Down), CENTRE];
    app.memory.pages.leave_unanswered(1);
    console.press(&mut app, &other_job);
    assert!(shows(&app, console.now_ms).contains("memory: no answer"));
    let next = app.memory().next();
    let keys = Key::ALL.map(Press::short).into_iter().chain(Key::ALL.map(Press::long));
    console.press(&mut app, &keys.collect::<Vec<_>>());
    assert!(app.is_silent() && app.memory().next() == next, "nothing is logged");
    assert!(app.next_deadline(console.now_ms).is_some_and(|asks_ms| asks_ms <= console.now_ms + 250));
    app.memory.pages.leave_unanswered(0);
    console.press(&mut app, &[Press::short(Key::Left)]);
    assert_eq!(shows(&app, console.now_ms), before, "by a key, which says nothing else");
    assert_eq!(app.memory().next(), next);
    app.memory.pages.leave_unanswered(1);
    console.press(&mut app, &other_job);
    console.talk(&mut app, 1000);
    assert!(app.is_silent());
    app.memory.pages.leave_unanswered(0);
    console.talk(&mut app, 300);
    assert!(shows(&app, console.now_ms).contains("bevel"), "and by itself");
}
