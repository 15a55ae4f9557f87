//! Two machines that were made of one disk image pass for one console of a server's book.

use super::*;
use bevelbook::settings::Settings;
use bevelbook::work::{Place, Work};
use bevelbook_core::record::RecordId;
use bevelbook_server::Server;
use std::thread;

#[test]
fn machines_of_one_image_lose_nothing_and_are_told_of_each_other() {
    let Some(server) = Server::shared() else { return };
    let (database, shop) = (server.database(), Shop::new());
    let on_server = |args: &[&str]| done(&shop, &[args, &["--book", &database.url()]].concat());
    on_server(&["book", "begin"]);
    let order = usual_order(&[]);
    on_server(&order.iter().map(String::as_str).collect::<Vec<_>>());
    let work =
        || Work::reopen(Place::named(database.url().into()).unwrap(), Settings::defaults().unwrap()).unwrap();
    // Both write under one journal, at once.
    let notes = |mut work: Work| -> Vec<RecordId> {
        let job = work.find("J1").unwrap().id;
        (0..20).map(|number| work.note(job, &format!("note {number}")).unwrap()).collect()
    };
    let [first, second] = [work(), work()];
    assert_eq!(first.own_journal().unwrap(), second.own_journal().unwrap());
    let mut ids = thread::scope(|scope| {
        let both = [first, second].map(|work| scope.spawn(|| notes(work)));
        both.into_iter().flat_map(|one| one.join().unwrap()).collect::<Vec<_>>()
    });
    ids.sort_unstable_by_key(|id| id.seq);
    let seqs: Vec<u32> = ids.iter().map(|id| id.seq).collect();
    assert_eq!(seqs, (seqs[0]..seqs[0] + 40).collect::<Vec<_>>(), "none twice, and no gap");
    on_server(&["book", "check"]);
    // Two programs of one machine are no two machines.
    let held = work();
    let note = || on_server(&["record", "note", "1", "pads missing"]);
    assert_eq!(note().stderr, "");
    let (mut other, which) = (
        database.client(),
        "SELECT DISTINCT (CAST(CAST(classid AS bigint) AS bigint) << 32) + CAST(objid AS bigint) FROM pg_locks
         WHERE locktype = 'advisory' AND database = (SELECT oid FROM pg_database WHERE datname = current_database())",
    );
    let keys: Vec<i64> = other.query(which, &[]).unwrap().iter().map(|row| row.get(0)).collect();
    let [own] = keys[..] else { panic!("each connection tells of itself: {keys:?}") };
    // Another start is another machine's, or this one's own of before.
    other.execute("SELECT pg_advisory_lock_shared($1)", &[&(own ^ 1)]).unwrap();
    let told = note();
    assert!(told.stderr.contains("another machine works with this book as this console"), "{told:?}");
    assert!(told.stderr.contains("machine-id") && told.stderr.contains("--station"), "{told:?}");
    drop(held);
    other.execute("SELECT pg_advisory_unlock_all()", &[]).unwrap();
    assert_eq!(note().stderr, "");
}
