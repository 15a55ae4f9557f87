//! The job that README.md goes through step by step is done as it stands there, in a shop of its own.

#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test that cannot go on fails")]

use bevelbook_server::Server;
use bevelbook_tests::{Shop, console, usual_order};
use std::fs;
use std::path::Path;
use std::process::Command;

const INSTALLING: &str = "cargo install";

#[test]
fn the_job_of_the_readme_goes_through_as_it_is_told() {
    let readme = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("../README.md")).unwrap();
    let (_, told) = readme.split_once("## A job, step by step\n\n```sh\n").unwrap();
    let (told, _) = told.split_once("```").unwrap();
    let commands: Vec<&str> = told.lines().filter(|line| !line.starts_with(INSTALLING)).collect();
    let shop = Shop::new();
    let ran = Command::new("sh")
        .args(["-ec", "bevelbook() { \"$CONSOLE\" \"$@\"; }\neval \"$COMMANDS\""])
        .env("CONSOLE", console())
        .env("COMMANDS", commands.join("\n"))
        .env("BEVELBOOK_BOOK", shop.book())
        .env("BEVELBOOK_SETTINGS", shop.settings())
        .current_dir(shop.folder())
        .output()
        .unwrap();
    let [said, beside] = [&ran.stdout, &ran.stderr].map(|bytes| String::from_utf8_lossy(bytes));
    assert!(ran.status.success(), "{said}\n{beside}");
    for told in ["Signed off by EM", "pair   within by ISO 21987:2017", "job 1: handed over", "Ann Wolff"] {
        assert!(said.contains(told), "{told}: {said}");
    }
    for file in ["job-1.html", "job-1-card.html", "job-1-wearer.html", "months.svg"] {
        assert!(shop.folder().join(file).exists(), "{file}");
    }
}

/// Several benches on one server, set up as the README tells; the server stands in for the one at `books.example`.
#[test]
fn a_book_on_a_server_is_set_up_as_the_readme_tells() {
    let Some(server) = Server::start() else { return };
    let readme = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("../README.md")).unwrap();
    let (_, told) = readme.split_once("## Several benches, one book\n").unwrap();
    let (_, told) = told.split_once("```sh\n").unwrap();
    let (told, behind) = told.split_once("```").unwrap();
    let (_, bench) = behind.split_once("BEVELBOOK_BOOK=").unwrap();
    let host = format!("{}:{}", server.socket().display().to_string().replace('/', "%2F"), server.port());
    let there = |text: &str| text.replace("books.example", &host);
    let old = Shop::new();
    assert_eq!(old.run(usual_order(&[["--tray", "7"]])).status, Some(0));
    // It lies still: no console has it open.
    fs::copy(old.book(), old.folder().join("book.db")).unwrap();
    let run = |commands: &str| {
        Command::new("sh")
            .args(["-ec", "bevelbook() { \"$CONSOLE\" \"$@\"; }\neval \"$COMMANDS\""])
            .env("CONSOLE", console())
            .env("COMMANDS", there(commands))
            .envs([("PGHOST", server.socket().display().to_string()), ("PGPORT", server.port().to_string())])
            .env("PGUSER", "postgres")
            .env("BEVELBOOK_SETTINGS", old.settings())
            .env("XDG_DATA_HOME", old.folder().join("data"))
            .current_dir(old.folder())
            .output()
            .unwrap()
    };
    let ran = run(told);
    let said = String::from_utf8_lossy(&ran.stdout).into_owned();
    assert!(ran.status.success(), "{said}\n{}", String::from_utf8_lossy(&ran.stderr));
    for told in ["began a new book", "bench1  bench:", "counter  counter:", "office  reader:"] {
        assert!(said.contains(told), "{told}: {said}");
    }
    let (bench, _) = bench.split_once('`').unwrap();
    let day = run(&format!("BEVELBOOK_BOOK='{bench}' bevelbook day"));
    let said = String::from_utf8_lossy(&day.stdout).into_owned();
    assert!(
        said.contains("1 open") && said.contains("T7"),
        "{said}\n{}",
        String::from_utf8_lossy(&day.stderr)
    );
}

#[test]
fn the_plan_of_the_readme_is_what_it_says_of_such_a_book() {
    let readme = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("../README.md")).unwrap();
    let (_, told) = readme.split_once("of the sixth pair of a model:\n\n```text\n").unwrap();
    let (told, _) = told.split_once("```").unwrap();
    let shop = Shop::new();
    let run = |words: &[&str]| {
        let done = shop.run(words);
        assert_eq!(done.status, Some(0), "{done:?}");
        done.stdout
    };
    run(&["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    let opened = || assert_eq!(shop.run(usual_order(&[["--ed", "53"], ["--heights", "20"]])).status, Some(0));
    let fits = [["0.05", "0.10"], ["0.10", "0.10"], ["0.15", "0.10"], ["0.05", "0.05"], ["0.10", "0.15"]];
    for (job, eyes) in (1..).zip(fits) {
        opened();
        for (eye, fit) in ["right", "left"].into_iter().zip(eyes) {
            let touch = format!("{:.2}", fit.parse::<f64>().unwrap() + 0.1);
            run(&["record", "pass", &format!("{job}"), eye, &touch, "touch"]);
            run(&["record", "pass", &format!("{job}"), eye, fit, "fits"]);
        }
    }
    opened();
    let plan = run(&["plan", "6"]);
    assert!(plan.ends_with(told), "{plan}\nis not\n{told}");
}
