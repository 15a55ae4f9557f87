//! A damaged record costs its own job, and no other.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on fails")]

use bevelbook::store::{Book, NewEntry};
use bevelbook::work::WorkError;
use bevelbook_core::record::FIRST_DESK_KIND;
use bevelbook_tests::{Shop, usual_order};

/// A shop with two jobs; a record of the first, or its order itself, is no JSON.
fn shop(kind: u8) -> Shop {
    let shop = Shop::new();
    for customer in ["K-17", "K-18"] {
        assert_eq!(shop.run(usual_order(&[["--customer", customer]])).status, Some(0));
    }
    let mut book = Book::open_or_begin(shop.book()).unwrap();
    let job = book.entries_of_kind(FIRST_DESK_KIND).unwrap()[0].job;
    let torn = NewEntry { kind, job, payload: b"{\"why\":".to_vec(), utc_ms: None };
    book.write(|tx| tx.append(&torn).map_err(WorkError::from)).unwrap();
    shop
}

#[test]
fn the_other_jobs_are_listed_and_found_and_the_damage_is_named() {
    let shop = shop(FIRST_DESK_KIND + 1);
    let listed = shop.run(["job", "list", "--json"]);
    let numbers: Vec<u64> =
        listed.json().as_array().unwrap().iter().map(|job| job["job"].as_u64().unwrap()).collect();
    assert_eq!(numbers, [2]);
    assert!(listed.stderr.contains("left out: the records of job") && listed.stderr.contains("damaged"));
    assert_eq!(shop.run(["plan", "k-18"]).status, Some(0));
    assert_eq!(shop.run(["plan", "1"]).status, Some(4), "the damaged job itself is a fault");
    let missing = shop.run(["plan", "k-17"]);
    assert_eq!(missing.status, Some(3));
    assert!(missing.stderr.contains("one job is damaged"), "{}", missing.stderr);
}

#[test]
fn a_number_is_not_given_twice_when_an_order_cannot_be_read() {
    let shop = shop(FIRST_DESK_KIND);
    let opened = shop.run(usual_order(&[["--customer", "K-19"]]).into_iter().chain(["--json".to_owned()]));
    assert_eq!(opened.status, Some(0), "{}", opened.stderr);
    assert!(opened.json()["job"].as_u64().unwrap() > 2);
}
