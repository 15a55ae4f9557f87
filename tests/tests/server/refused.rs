//! A database that is somebody else's, a book of a newer version, a role without the right: a clear refusal, and nothing is half
//! done.

use crate::account;
use crate::shop;
use bevelbook::store::Trouble;
use bevelbook::work::WorkError;
use bevelbook_server::{Database, Server};
use bevelbook_tests::{Output, Shop};

/// Runs a command on the book at a URL.
fn run(shop: &Shop, url: &str, args: &[&str]) -> Output {
    let mut command = shop.command();
    let ended =
        command.env("BEVELBOOK_BOOK", url).env("XDG_DATA_HOME", shop.folder()).args(args).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    Output { status: ended.status.code(), stdout: text(ended.stdout), stderr: text(ended.stderr) }
}

/// Asserts that a command is refused with something said.
fn assert_refused(output: &Output, said: &[&str]) {
    assert!(output.status != Some(0) && output.stdout.is_empty(), "{output:?}");
    assert!(said.iter().all(|said| output.stderr.contains(said)), "{output:?}");
}

/// Every table of the database that is no part of the server itself, with how many rows it has.
fn tables(database: &Database<'_>) -> Vec<(String, i64)> {
    let mut client = database.client();
    let sql = "SELECT format('%I.%I', schemaname, tablename) FROM pg_tables
               WHERE schemaname NOT IN ('pg_catalog', 'information_schema') ORDER BY 1";
    let names: Vec<String> = client.query(sql, &[]).unwrap().iter().map(|row| row.get(0)).collect();
    let mut count =
        |name: &String| client.query_one(&format!("SELECT count(*) FROM {name}"), &[]).unwrap().get(0);
    names.iter().map(|name| (name.clone(), count(name))).collect()
}

#[test]
fn a_schema_of_the_name_that_is_somebody_elses_is_refused_and_left_as_it_is() {
    let Some(server) = Server::shared() else { return };
    let theirs = [
        "CREATE TABLE bevelbook.other (id int)",
        "CREATE TABLE bevelbook.book (title text); INSERT INTO bevelbook.book VALUES ('Optics')",
        "CREATE TABLE bevelbook.book (mark text, version bigint)",
    ];
    for tables_of in theirs {
        let (database, shop) = (server.database(), Shop::new());
        database.sql(&format!("CREATE SCHEMA bevelbook; {tables_of}"));
        let before = tables(&database);
        for args in [&["book", "begin"][..], &["job", "list"], &["record", "note", "1", "a remark"]] {
            assert_refused(&run(&shop, &database.url(), args), &["is not a bevelbook book"]);
        }
        assert_eq!(tables(&database), before);
    }
}

#[test]
fn a_book_of_a_newer_version_is_refused_and_left_as_it_is() {
    let Some(server) = Server::shared() else { return };
    let (database, shop) = (server.database(), Shop::new());
    shop::begin(&database.url());
    // It was open when somebody with a newer version came.
    let mut open = shop::open(&database.url()).unwrap();
    database.sql("UPDATE bevelbook.book SET version = version + 1");
    let before = account::book(&mut database.client()).len();
    for args in [&["job", "list"][..], &["record", "note", "1", "a remark"]] {
        assert_refused(&run(&shop, &database.url(), args), &["use the newer bevelbook"]);
    }
    let job = open.find("1").unwrap().id;
    let written = open.note(job, "a remark");
    assert!(
        matches!(&written, Err(WorkError::Store(error)) if matches!(error.trouble, Trouble::NewerSchema { .. })),
        "{written:?}"
    );
    assert_eq!(account::book(&mut database.client()).len(), before);
}

#[test]
fn a_role_without_the_right_is_told_and_changes_nothing() {
    let Some(server) = Server::shared() else { return };
    let (database, shop) = (server.database(), Shop::new());
    shop::begin(&database.url());
    let name = database.name();
    database.sql(&format!(
        "CREATE ROLE nothing_{name} LOGIN; CREATE ROLE reads_{name} LOGIN;
         GRANT USAGE ON SCHEMA bevelbook TO reads_{name}; GRANT SELECT ON ALL TABLES IN SCHEMA bevelbook TO reads_{name}"
    ));
    let before = tables(&database);
    let may = |role: &str, args: &[&str]| run(&shop, &database.url_as(&format!("{role}_{name}")), args);
    let role = format!("nothing_{name}");
    for args in [&["job", "list"][..], &["record", "note", "1", "a remark"], &["book", "begin"]] {
        assert_refused(&may("nothing", args), &[&role]);
    }
    assert_eq!(may("reads", &["job", "show", "1"]).status, Some(0));
    assert_refused(&may("reads", &["record", "note", "1", "a remark"]), &[&format!("reads_{name}")]);
    assert_eq!(tables(&database), before);
    // What does not exist is told by its name, too.
    assert_refused(&run(&shop, &server.url("no_such"), &["job", "list"]), &["no_such"]);
    assert_refused(&run(&shop, &database.url_as("nobody_here"), &["job", "list"]), &["nobody_here"]);
}
