//! `book conflicts`, run as a person runs it.

use bevelbook::settings::Settings;
use bevelbook::work::Work;
use bevelbook_core::record::{Bench, JournalId, MAX_ENCODED, StationEvent, Stored};
use bevelbook_tests::{Shop, usual_order};

const KEYPAD: JournalId = JournalId(0xb0a4d);

fn record(seq: u32, event: StationEvent) -> (Stored, Option<i64>) {
    let (mut buffer, fact) = ([0; MAX_ENCODED], Bench::Station(event));
    let data = heapless::Vec::from_slice(fact.encode(&mut buffer).unwrap()).unwrap();
    (Stored { seq, boot: 1, ticks: 7, kind: fact.kind(), data }, None)
}

#[test]
fn both_records_are_shown_and_a_decision_makes_the_book_fine_again() {
    let shop = Shop::new();
    assert_eq!(shop.run(usual_order(&[])).status, Some(0));
    assert_eq!(shop.run(["keypad", "add", "00000000000b0a4d", "--name", "left", "--yes"]).status, Some(0));
    let nothing = shop.run(["book", "conflicts"]);
    assert_eq!((nothing.status, nothing.stdout.as_str()), (Some(0), ""), "{nothing:?}");
    let mut work = Work::open(shop.book(), Settings::defaults().unwrap()).unwrap();
    work.take_in(KEYPAD, [record(1, StationEvent::NewWheel)]).unwrap();
    work.take_in(KEYPAD, [record(1, StationEvent::Recalibrated)]).unwrap();
    drop(work);

    let waits = shop.run(["book", "check", "--json"]);
    let (fine, json) = (waits.status, waits.json());
    assert_eq!((fine, &json["sound"], &json["unsettled"]), (Some(1), &true.into(), &1.into()), "{waits:?}");
    assert!(waits.stderr.contains("book conflicts"), "{waits:?}");
    let listed = shop.run(["book", "conflicts"]);
    assert_eq!(listed.status, Some(1));
    for told in
        ["00000000000b0a4d:1 of keypad left", "new wheel", "recalibrated", "settle", "--keep book|arrived"]
    {
        assert!(listed.stdout.contains(told), "{told}: {listed:?}");
    }
    for (wrong, status) in [("b0a4d:1", 3), ("00000000000b0a4d:2", 3)] {
        assert_eq!(
            shop.run(["book", "conflicts", "settle", wrong, "--keep", "book"]).status,
            Some(status),
            "{wrong}"
        );
    }
    let settled = shop.run(["book", "conflicts", "settle", "00000000000b0a4d:1", "--keep", "arrived"]);
    assert_eq!(settled.status, Some(0), "{settled:?}");
    assert_eq!(shop.run(["book", "check"]).status, Some(0));
    let listed = shop.run(["book", "conflicts", "--json"]);
    assert_eq!((listed.status, &listed.json()[0]["settled"]), (Some(0), &"arrived".into()), "{listed:?}");
    let log = shop.run(["keypad", "log", "left", "--json"]);
    assert_eq!(log.json()[0]["void"], true, "the one in the book is voided: {log:?}");
}
