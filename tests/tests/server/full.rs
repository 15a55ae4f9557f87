//! The server's disk is full.

use crate::account::{self, Account, Answer};
use crate::shop;
use bevelbook_server::Server;
use bevelbook_tests::Shop;
use std::fs::File;
use std::io::Write;

/// More remarks than fit into what is left of the pages that were begun.
const ENOUGH: usize = 500;

#[test]
fn on_a_full_disk_a_command_is_refused_as_a_whole_and_once_there_is_room_it_is_done() {
    let small = [("max_wal_size", "32MB"), ("min_wal_size", "32MB")];
    let setup = small.into_iter().fold(Server::setup(), |setup, (name, value)| setup.setting(name, value));
    let Some(server) = setup.disk("96m").start() else { return };
    let database = server.database();
    shop::begin(&database.url());
    let filler = server.data().join("filler");
    let mut file = File::create(&filler).unwrap();
    while file.write_all(&[0; 65_536]).is_ok() {}
    while file.write_all(&[0]).is_ok() {}
    drop(file);

    let mut account = Account::default();
    let refused = (0..ENOUGH).find(|at| {
        // As long as a text may be, so that pages are full soon.
        let text = format!("remark-{at:0190}");
        let typed = shop::open(&database.url()).and_then(|mut work| {
            let job = work.find("1")?.id;
            work.note(job, &text).map(Some)
        });
        let answer = account::answer(typed);
        account.typed.insert(text, answer.clone());
        matches!(answer, Answer::Not(_))
    });
    let refused = refused.unwrap_or_else(|| panic!("the disk does not become full"));

    let shop = Shop::new();
    let run = |args: &[&str]| {
        let mut command = shop.command();
        command.env("BEVELBOOK_BOOK", database.url()).env("XDG_DATA_HOME", shop.folder());
        let ended = command.args(args).output().unwrap();
        (ended.status.code(), String::from_utf8(ended.stderr).unwrap())
    };
    let (code, said) = run(&["record", "note", "1", &"n".repeat(190)]);
    assert_ne!(code, Some(0), "{said}");
    assert!(said.contains("no room left on the disk") && said.contains("the write was not done"), "{said}");
    assert_eq!(run(&["job", "show", "1"]).0, Some(0), "it can be read");
    account.assert_all(&account::book(&mut database.client()), &shop::open(&database.url()).unwrap());

    std::fs::remove_file(&filler).unwrap();
    let (code, said) = run(&["record", "note", "1", "once there is room"]);
    assert_eq!(code, Some(0), "{said}");
    let book = account::book(&mut database.client());
    account.assert_all(&book, &shop::open(&database.url()).unwrap());
    assert_eq!(book.iter().filter(|row| row.texts().any(|text| text == "once there is room")).count(), 1);
    println!(
        "full disk: {refused} remarks still fitted, the next were refused as a whole, and were done once there was room"
    );
}
