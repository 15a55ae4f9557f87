//! Keypads at two stations: each is told the dial of its own, and by it its passes count.

use super::*;
use bevelbook_core::record::StationId;

const fn dial(step: i32) -> Dial {
    Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(step) }
}

/// A shop of two stations whose dials have other steps; keypad 11 stands at the second.
fn two_stations(work: &mut Work) -> StationId {
    work.log_station(StationEvent::Dial(dial(50))).unwrap();
    work.name_station(StationId::FIRST, "Edge 1").unwrap();
    let naming = work.add_station("Edge 2").unwrap();
    let second = StationId::told_by(naming);
    work.stand(JournalId(11), second, None).unwrap();
    work.take_in(JournalId(11), [stated(25)]).unwrap();
    second
}

/// A dial as a keypad states it, in its first record.
fn stated(step: i32) -> (Stored, Option<i64>) {
    let mut store = Store::new(11);
    store.log(StationEvent::Dial(dial(step)));
    (store.records[&1].clone(), None)
}

fn step(rig: &Rig) -> Option<i32> {
    rig.store.station.and_then(|station| station.dial).map(|dial| dial.step.milli())
}

#[test]
fn a_keypad_is_told_the_dial_of_its_station_and_another_one_when_it_is_moved() {
    let mut second = StationId::FIRST;
    let mut rig = Rig::new(Store::new(10), |work| {
        second = two_stations(work);
        work.open_job(sample(), None).unwrap();
    });
    rig.run(3000);
    assert_eq!((step(&rig), rig.store.written), (Some(50), 1));
    // What is said of the other station changes nothing here.
    rig.store.log(StationEvent::NewWheel);
    rig.run(3000);
    assert_eq!(step(&rig), Some(50));
    rig.work().stand(JournalId(10), second, None).unwrap();
    rig.run(3000);
    assert_eq!(step(&rig), Some(25), "it stands at the other one");
    let written = rig.store.written;
    assert!(written > 1, "its cards were made for the one before");
    // It states the dial of where it stands.
    rig.store.log(StationEvent::Dial(dial(100)));
    rig.run(3000);
    let work = rig.work();
    let step = |station| work.dial(station).unwrap().map(|dial| dial.step.milli());
    assert_eq!((step(StationId::FIRST), step(second)), (Some(50), Some(100)));
    let epochs = work.station_epochs().unwrap();
    let wheel = epochs.iter().find(|epoch| epoch.event == StationEvent::NewWheel).unwrap();
    assert_eq!(wheel.station, StationId::FIRST, "it was said before it was moved");
}

#[test]
fn a_keypad_that_was_here_keeps_its_station_when_there_is_a_second_one_and_a_new_one_is_asked_about() {
    let mut rig = Rig::new(wheels(10, 1), |work| {
        two_stations(work);
    });
    rig.run(2000);
    let mut work = rig.work();
    assert_eq!(work.station_of(JournalId(10)).unwrap(), StationId::FIRST);
    work.adopt(JournalId(10), "another name").unwrap();
    let refused = work.adopt(JournalId(12), "new").unwrap_err();
    assert!(matches!(refused, WorkError::WhichStation { .. }), "{refused}");
    assert_eq!(work.keypads().unwrap().len(), 2);
    let mut settings = Settings::defaults().unwrap();
    settings.desk.station = Some("edge 2".into());
    let mut at_second = Work::open(rig.folder.path().join("book.db"), settings).unwrap();
    at_second.adopt(JournalId(12), "new").unwrap();
    assert_eq!(at_second.station_of(JournalId(12)).unwrap(), at_second.here().unwrap());
}

#[test]
fn a_card_advises_for_the_station_of_its_keypad() {
    use crate::work::PassEntry;
    use bevelbook_core::prescription::Eye;
    use bevelbook_core::sizing::Outcome;
    let mut rig = Rig::new(Store::new(10), |work| {
        two_stations(work);
        work.take_in(
            JournalId(11),
            [(Store::new(11), 2)].map(|(mut store, seq)| {
                store.next = seq;
                store.log(StationEvent::Dial(dial(50)));
                (store.records[&seq].clone(), None)
            }),
        )
        .unwrap();
        // The second one leaves lenses larger: they fit by a dial that is smaller.
        for (station, fits) in [("Edge 1", 200), ("Edge 2", 50)].repeat(5) {
            let mut settings = Settings::defaults().unwrap();
            settings.desk.station = Some(station.into());
            let mut work = Work::open(work.place().clone(), settings).unwrap();
            let (job, _) = work.open_job(sample(), None).unwrap();
            for eye in Eye::BOTH {
                for (milli, outcome) in [(fits + 50, Outcome::JustTooBig), (fits, Outcome::Fits)] {
                    let amount = Length::from_milli(milli);
                    work.log_pass(job.id, &PassEntry { eye, amount, outcome, insist: false }).unwrap();
                }
            }
            work.close(job.id, "handed over", Some("a test")).unwrap();
        }
        work.open_job(sample(), None).unwrap();
    });
    let first = |rig: &Rig| {
        let advice = rig.store.cards.values().next().unwrap().advice.clone();
        advice.unwrap().first.first().unwrap().milli()
    };
    rig.run(3000);
    let one = first(&rig);
    rig.store = Store::new(11);
    rig.store.next = 3;
    rig.keypad = KeypadSession::new("other", "1");
    rig.run(9000);
    let two = first(&rig);
    assert!((one - two - 150).abs() <= 50, "{one} {two}");
}
