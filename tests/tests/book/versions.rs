//! Two versions of the program that find jobs by other words keep one book: the older one leaves those of the newer one alone.

use super::*;
use bevelbook::settings::Settings;
use bevelbook::work::{Place, Work};
use std::path::Path;

/// What a statement gives, as text.
type Ask<'a> = &'a dyn Fn(&str) -> Vec<String>;

const WORDS: &str = "SELECT job || ' ' || word FROM found_by ORDER BY 1";
const UPTO: &str = "SELECT version || ' ' || position FROM found_upto";

/// What an older program does in the book of a newer one: `ask` asks the book's tables past it.
fn leaves_newer_words_alone(shop: &Shop, place: &OsStr, ask: Ask<'_>) {
    let run = |args: &[&str]| {
        let output = shop.command().args([OsStr::new("--book"), place]).args(args).output().unwrap();
        let text = |bytes| String::from_utf8(bytes).unwrap();
        Output { status: output.status.code(), stdout: text(output.stdout), stderr: text(output.stderr) }
    };
    let done = |args: &[&str]| {
        let output = run(args);
        assert_eq!(output.status, Some(0), "{args:?}: {output:?}");
        output
    };
    let order = |customer: &str| usual_order(&[["--customer", customer]]);
    let open = |customer: &str| done(&order(customer).iter().map(String::as_str).collect::<Vec<_>>());
    ["K-1", "K-2"].map(open).into_iter().for_each(drop);
    let version = ask(UPTO).join("").split(' ').next().unwrap().to_owned();
    let place_named = || Place::named(place.to_owned()).unwrap();
    let runs = Work::reopen(place_named(), Settings::defaults().unwrap()).unwrap();
    let numbers = |work: &Work| work.open_jobs(|job| job.order.number).unwrap().whole;
    runs.version().unwrap();
    // What is not to be seen by who knows other words: the newer program's are of another sort.
    ask("UPDATE found_upto SET version = version + 93 RETURNING ''");
    ask("UPDATE found_by SET word = 'newer ' || word RETURNING ''");
    let kept = || [ask(WORDS), ask(UPTO)];
    let before = kept();
    let told = open("K-3");
    assert!(told.stderr.contains("a newer bevelbook") && told.stdout.contains("job 3"), "{told:?}");
    runs.version().unwrap();
    assert_eq!(numbers(&runs), [1, 2, 3], "who ran before finds jobs by its own words, too");
    done(&["record", "note", "2", "pads missing"]);
    done(&["job", "close", "1", "--despite", "not wanted any more"]);
    let refused = run(&["job", "close", "1", "--despite", "twice"]);
    assert!(refused.stderr.contains("job 1 is closed"), "{refused:?}");
    assert_eq!(done(&["job", "show", "K-3", "--json"]).json()["job"], 3);
    let open_jobs = done(&["job", "list", "--json"]).json();
    assert_eq!(open_jobs.as_array().map(Vec::len), Some(2), "{open_jobs}");
    done(&["book", "check"]);
    assert_eq!(kept(), before);
    // A program that runs on follows what others write, and goes on behind what was refused.
    let mut work = Work::reopen(place_named(), Settings::defaults().unwrap()).unwrap();
    assert_eq!(numbers(&work), [2, 3]);
    open("K-4");
    work.version().unwrap();
    assert_eq!(numbers(&work), [2, 3, 4]);
    let fourth = work.find("J4").unwrap();
    assert!(work.close(fourth.id, "collected", None).is_err());
    assert_eq!(work.open_job(fourth.order.clone(), None).unwrap().0.order.number, 5);
    assert_eq!(numbers(&work), [2, 3, 4, 5]);
    assert_eq!(kept(), before);
    // The newer one goes on from where it was.
    ask(&format!("UPDATE found_upto SET version = {version} RETURNING ''"));
    ask("UPDATE found_by SET word = substr(word, 7) RETURNING ''");
    done(&["record", "note", "5", "pads found"]);
    let sound = done(&["book", "check"]);
    assert!(!sound.stderr.contains("a newer bevelbook"), "{sound:?}");
    let version_now = ask(UPTO).join("").split(' ').next().unwrap().to_owned();
    assert_eq!((version_now, ask(WORDS).iter().any(|word| word.ends_with("customer k-4"))), (version, true));
}

#[test]
fn an_older_program_leaves_what_a_newer_one_finds_jobs_by_alone() {
    let shop = Shop::new();
    let book = shop.book();
    let ask = |sql: &str| rows_of_file(&book, sql);
    leaves_newer_words_alone(&shop, book.as_os_str(), &ask);
}

fn rows_of_file(book: &Path, sql: &str) -> Vec<String> {
    let conn = rusqlite::Connection::open(book).unwrap();
    let mut asked = conn.prepare(sql).unwrap();
    let rows = asked.query_map([], |row| row.get(0)).unwrap();
    rows.collect::<Result<_, _>>().unwrap()
}

#[cfg(unix)]
#[test]
fn an_older_program_leaves_what_a_newer_one_finds_jobs_by_alone_on_a_server() {
    let Some(server) = bevelbook_server::Server::shared() else { return };
    let (database, shop) = (server.database(), Shop::new());
    done(&shop, ["book", "begin", &database.url()]);
    let ask = |sql: &str| -> Vec<String> {
        let mut client = database.client();
        client.batch_execute("SET search_path = bevelbook").unwrap();
        client.query(sql, &[]).unwrap().iter().map(|row| row.get(0)).collect()
    };
    leaves_newer_words_alone(&shop, OsStr::new(&database.url()), &ask);
}
