//! The backup that is made by itself.

use super::{customers, done, open_job};
use bevelbook_tests::Shop;
use std::path::PathBuf;

fn backups(shop: &Shop) -> Vec<PathBuf> {
    let folder = std::fs::read_dir(shop.folder().join("backups"));
    folder.into_iter().flatten().map(|file| file.unwrap().path()).collect()
}

#[test]
fn the_first_write_of_a_day_to_a_book_with_records_makes_one_that_can_be_brought_back() {
    let shop = Shop::new();
    assert!(done(&shop, ["book", "where"]).stderr.contains("no backup yet"));
    open_job(&shop, "K-1");
    assert_eq!(backups(&shop).len(), 0, "the book had no record yet");
    open_job(&shop, "K-2");
    open_job(&shop, "K-3");
    let made = backups(&shop);
    assert_eq!(made.len(), 1, "one a day");
    let told = done(&shop, ["book", "where"]);
    assert!(told.stderr.contains("last backup") && told.stderr.contains("less than an hour ago"), "{told:?}");
    assert!(done(&shop, ["book", "check", "--json"]).json()["last_backup"].is_string());
    let checked = done(&shop, ["book", "check", made[0].to_str().unwrap(), "--json"]).json();
    assert_eq!((&checked["sound"], &checked["jobs"]), (&true.into(), &1.into()));
    done(&shop, ["book", "restore", made[0].to_str().unwrap()]);
    assert_eq!(customers(&shop), ["K-1"]);
}

#[test]
fn one_more_is_made_when_asked_for_and_none_by_itself_where_the_settings_say_so() {
    let shop = Shop::new();
    std::fs::write(shop.settings(), "backup.days = 0\n").unwrap();
    open_job(&shop, "K-1");
    open_job(&shop, "K-2");
    assert_eq!(backups(&shop).len(), 0);
    let made = done(&shop, ["book", "backup", "--json"]).json();
    assert_eq!(backups(&shop), [PathBuf::from(made["path"].as_str().unwrap())]);
}

#[test]
fn a_backup_that_cannot_be_made_is_told_and_stops_nothing() {
    let shop = Shop::new();
    open_job(&shop, "K-1");
    std::fs::write(shop.folder().join("backups"), "a file where the folder belongs").unwrap();
    let opened = shop.run(bevelbook_tests::usual_order(&[["--customer", "K-2"]]));
    assert_eq!(opened.status, Some(0), "{opened:?}");
    assert!(opened.stderr.contains("no backup was made today"), "{opened:?}");
    assert_eq!(customers(&shop), ["K-1", "K-2"]);
}
