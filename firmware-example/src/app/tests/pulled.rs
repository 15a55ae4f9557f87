//! Records pulled from a memory that is full, or that does not always answer.

use super::{CENTRE, Console, Pages, app, card, layout, nothing_done, skip_to_sizing, with_card};
use crate::app::App;
use crate::keys::{Key, Press};
use crate::memory::{AppendError, Memory, Urgency};
use crate::screen::Body;
use bevelbook_core::record::{Bench, StationEvent};

#[test]
fn a_page_that_is_not_answered_while_records_are_pulled_is_no_lost_record() {
    let (mut app, mut console) = (app(), Console::new());
    for n in 0..60 {
        app.memory.append_fact(&Bench::Station(StationEvent::NewWheel), n, Urgency::Ordinary).unwrap();
    }
    app.memory.pages.leave_unanswered(4);
    console.talk(&mut app, 120_000);
    assert_eq!(console.lost, []);
    assert!(console.facts.iter().map(|(seq, _)| *seq).eq(1..=60), "{:?}", console.facts.len());
    assert_eq!(app.memory().unacknowledged(), 0);
}

#[test]
fn a_full_memory_says_so_and_loses_nothing() {
    let (mut app, mut console) = with_card();
    // Open the job, pass over reading and marking of both eyes, and try the same lens again and again, alone.
    console.press(&mut app, &[CENTRE]);
    skip_to_sizing(&mut app, &mut console);
    let mut passes = 0;
    loop {
        console.press(&mut app, &[Press::long(Key::Up)]);
        if matches!(&app.screen(console.now_ms).body, Body::Message { title, .. } if title.as_str() == "NOT SAVED")
        {
            break;
        }
        passes += 1;
        assert!(passes < 200, "the memory never fills");
    }
    let is_full = |app: &App<Pages>, now_ms| {
        let Body::Message { title, lines } = app.screen(now_ms).body else { return false };
        (title.as_str(), lines[0].as_str()) == ("NOT SAVED", "memory is full:")
    };
    assert!(is_full(&app, console.now_ms));
    console.talk(&mut app, 20_000);
    assert_eq!(console.facts.len(), passes);
    assert!(console.facts.iter().map(|(seq, _)| *seq).eq(1..=passes as u32));
    // The console has them all, and the card includes none of them: they are still laid over it.
    console.press(&mut app, &[CENTRE, Press::long(Key::Up)]);
    assert!(is_full(&app, console.now_ms));
    // With a card that does there is room again.
    let mut state = nothing_done();
    console.facts.iter().for_each(|(_, fact)| state.apply(fact));
    console.session.send_card(&card(2, passes as u32, state)).unwrap();
    console.talk(&mut app, 2000);
    console.press(&mut app, &[CENTRE, Press::long(Key::Up)]);
    console.talk(&mut app, 2000);
    assert_eq!(console.facts.len(), passes + 1);
}

#[test]
fn a_lens_that_is_said_to_be_spoiled_goes_on_with_a_new_one_in_the_last_page_too() {
    let wheel = |app: &mut App<Pages>| {
        let fact = Bench::Station(StationEvent::NewWheel);
        app.memory.append_fact(&fact, 0, Urgency::Ordinary).is_ok()
    };
    let loose = || {
        let (mut app, mut console) = with_card();
        console.press(&mut app, &[CENTRE]);
        skip_to_sizing(&mut app, &mut console);
        console.press(&mut app, &[Press::short(Key::Left)]);
        (app, console)
    };
    let (mut filled, _) = loose();
    let room = core::iter::from_fn(|| wheel(&mut filled).then_some(())).count();
    let (mut app, mut console) = loose();
    assert!((1..room).all(|_| wheel(&mut app)));
    // Why is asked with the likeliest on top.
    console.press(&mut app, &[CENTRE; 2]);
    let made =
        [app.memory.next() - 2, app.memory.next() - 1].map(|seq| app.record_at(seq).unwrap().unwrap().fact());
    assert!(matches!(made, [Ok(Bench::Spoiled(_)), Ok(Bench::NewLens(_))]), "{made:?}");
}

#[test]
fn numbers_gone_to_nothing_are_not_told_since_they_are_given_again() {
    let (mut app, mut console) = (app(), Console::new());
    let append = |app: &mut App<Pages>| {
        app.memory.append_fact(&Bench::Station(StationEvent::NewWheel), 0, Urgency::Ordinary)
    };
    append(&mut app).unwrap();
    // The pages of 2 to 9 take nothing and keep no trace.
    (2..10).for_each(|seq| app.memory.pages.stick(52 + seq));
    assert!(matches!(append(&mut app), Err(AppendError::ReadBack { .. })));
    console.talk(&mut app, 5000);
    assert_eq!((console.facts.len(), &console.lost[..]), (1, &[][..]));
    // The next start gives them again: none is in a book as lost.
    let app = App::new(Memory::open(app.into_memory().into_pages(), layout()).unwrap().0, "test");
    assert_eq!(app.memory().next(), 2);
}
