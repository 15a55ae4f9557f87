//! What was undone here while a card was on its way that includes it.

use super::{CENTRE, JOB, OWN, Pages, card, nothing_done, skip_to_sizing, with_card};
use crate::app::App;
use crate::keys::{Key, Press};
use bevelbook_core::link::Card;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, JobId, RecordId, Void};

/// How many passes of the right lens are advised by, and the revision of the card that is held.
fn known(app: &App<Pages>) -> (u16, Option<u32>) {
    let passes = app.in_hand().unwrap().lens(Eye::Right).sizing.passes;
    (passes, app.memory().find_card(JOB).map(|card| card.revision))
}

#[test]
fn what_was_undone_here_does_not_come_back_with_a_card_that_was_made_before() {
    let (mut app, mut console) = with_card();
    console.press(&mut app, &[CENTRE]);
    skip_to_sizing(&mut app, &mut console);
    console.press(&mut app, &[Press::short(Key::Up)]);
    console.talk(&mut app, 1000);
    let (seq, pass) = *console.facts.last().unwrap();
    assert!(matches!(pass, Bench::Pass(_)) && known(&app) == (1, Some(1)), "{pass:?}");
    let mut state = nothing_done();
    state.apply(&pass);
    console.press(&mut app, &[Press::long(Key::Left)]);
    let (voided, void) = (seq + 1, Void { job: Some(JOB), target: RecordId { journal: OWN, seq } });
    assert_eq!(app.record_at(voided).unwrap().unwrap().fact(), Ok(Bench::Void(void)));
    assert_eq!(known(&app), (0, Some(1)));
    // One that names the job as filed under it includes the pass too.
    let other = JobId(42);
    let mut above = Card { job: other, filed: [JOB].into_iter().collect(), ..card(2, seq, nothing_done()) };
    above.state.pair.job = other;
    console.session.send_card(&card(2, seq, state)).unwrap();
    console.session.send_card(&above).unwrap();
    console.talk(&mut app, 2000);
    assert_eq!((known(&app), app.memory().find_card(other)), ((0, Some(1)), None));
    // Of another job it may have the same numbers.
    let next_to = Card { filed: heapless::Vec::new(), ..above };
    console.session.send_card(&next_to).unwrap();
    // The console has heard of it and made the card anew.
    console.session.send_card(&card(3, voided, nothing_done())).unwrap();
    console.talk(&mut app, 2000);
    assert_eq!(console.facts.last(), Some(&(voided, Bench::Void(void))));
    assert_eq!((known(&app), app.memory().find_card(other).is_some()), ((0, Some(3)), true));
}
