//! A book is looked over, exported and copied while others write to it: what is told is what it was at one moment.

use super::*;
use bevelbook::settings::Settings;
use bevelbook::work::{Place, Work};
use std::ffi::OsString;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::Duration;

/// How often it is looked over.
const LOOKS: usize = 20;

/// So many jobs are there before, so that a look takes a while.
const JOBS: usize = 60;

fn work(place: &OsStr) -> Work {
    Work::open(Place::named(place.to_owned()).unwrap(), Settings::defaults().unwrap()).unwrap()
}

/// Opens and closes jobs like the first, one write behind the other, until told to end; how many.
fn write(place: &OsStr, ended: &AtomicBool) -> usize {
    let mut work = work(place);
    let order = work.find("J1").unwrap().order;
    let mut opened = 0;
    while !ended.load(Ordering::Relaxed) {
        let job = work.open_job(order.clone(), None).unwrap().0.id;
        work.close(job, "collected", Some("a test")).unwrap();
        opened += 1;
        // A book that grows faster than it is read is no more of a test.
        thread::sleep(Duration::from_millis(10));
    }
    opened
}

/// Runs `look` again and again while two consoles write.
fn while_others_write(place: &OsStr, look: impl Fn(usize) + Sync) {
    let ended = AtomicBool::new(false);
    thread::scope(|scope| {
        let writers = [0; 2].map(|_| scope.spawn(|| write(place, &ended)));
        let looked = scope.spawn(|| (0..LOOKS).for_each(&look)).join();
        ended.store(true, Ordering::Relaxed);
        let opened: usize = writers.into_iter().map(|writer| writer.join().unwrap()).sum();
        assert!(opened >= LOOKS, "nobody wrote meanwhile: {opened}");
        looked.unwrap();
    });
}

/// What a check, an export and a backup tell of a book at `place` beside others that write.
fn is_told_as_at_one_moment(shop: &Shop, place: &OsStr) {
    let run = |args: &[&str]| {
        let output = shop.command().args([OsStr::new("--book"), place]).args(args).output().unwrap();
        let text = |bytes| String::from_utf8(bytes).unwrap();
        assert!(output.status.success(), "{args:?}: {}{}", text(output.stdout), text(output.stderr));
        text(output.stdout)
    };
    run(&usual_order(&[]).iter().map(String::as_str).collect::<Vec<_>>());
    let mut first = work(place);
    let order = first.find("J1").unwrap().order;
    (0..JOBS).for_each(|_| drop(first.open_job(order.clone(), None).unwrap()));
    while_others_write(place, |look| {
        let checked: serde_json::Value = serde_json::from_str(&run(&["book", "check", "--json"])).unwrap();
        assert_eq!((&checked["sound"], &checked["problems"]), (&true.into(), &serde_json::json!([])));
        if look % 7 == 0 {
            let [lines, copy] =
                ["book.jsonl", "copy.db"].map(|name| shop.folder().join(format!("{look}-{name}")));
            run(&["book", "export", lines.to_str().unwrap()]);
            run(&["book", "backup", copy.to_str().unwrap()]);
            for from in [lines, copy] {
                let other = Shop::new();
                done(&other, [OsString::from("book"), "import".into(), from.into()]);
                done(&other, ["book", "check"]);
            }
        }
    });
}

#[test]
fn a_check_beside_consoles_that_write_finds_nothing_that_is_not_so() {
    let shop = Shop::new();
    let book = shop.book();
    is_told_as_at_one_moment(&shop, book.as_os_str());
}

#[cfg(unix)]
#[test]
fn a_check_beside_consoles_that_write_to_a_server_finds_nothing_that_is_not_so() {
    let Some(server) = bevelbook_server::Server::shared() else { return };
    let (database, shop) = (server.database(), Shop::new());
    done(&shop, ["book", "begin", &database.url()]);
    is_told_as_at_one_moment(&shop, OsStr::new(&database.url()));
}
