//! The job that README.md goes through step by step is done as it stands there, in a shop of its own.

#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test that cannot go on fails")]

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
