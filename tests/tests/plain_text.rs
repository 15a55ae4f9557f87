//! Whatever people write: a terminal sees letters and line ends of ours alone, programs read it back as it was written.
#![allow(clippy::unwrap_used, reason = "all of this is called by tests alone")]

use bevelbook_core::link::{plain, steers};
use bevelbook_tests::{Output, Shop, usual_order};
use serde_json::Value;
use std::io::Write;
use std::process::Stdio;

/// How a command ended, and how many lines it showed and how many messages it gave.
type Said = (Option<i32>, usize, usize);

/// An escape sequence, a turn of the direction, every kind of line end, and what has no width.
const HOSTILE: &str = "A\u{1b}[2J\u{202e}B\nerror: C\tD\r\u{9b}\u{2028}\u{200b}E\u{7f}\u{feff}F";

/// How a command ended, how many lines it answered, and how many messages it gave: what follows in one is set in.
fn said(output: &Output, what: &str) -> Said {
    for text in [&output.stdout, &output.stderr] {
        let wrong = text.chars().find(|&letter| letter != '\n' && steers(letter));
        assert_eq!(wrong, None, "{what}: {text:?}");
        assert!(!text.contains("\nerror: C"), "{what}: {text}");
    }
    let messages = output.stderr.lines().filter(|line| !line.starts_with("  ")).count();
    (output.status, output.stdout.lines().count(), messages)
}

/// A job's whole life with `text` wherever a person may write, as text and as JSON. How each command answered.
fn life(text: &str) -> Vec<(String, Said)> {
    let shop = Shop::new();
    let mut answers = Vec::new();
    let mut run = |args: &[&str]| {
        let output = shop.run(args);
        answers.push((args.join(" ").replace(text, "TEXT"), said(&output, &format!("{args:?}"))));
        output
    };
    let order = usual_order(&[
        ["--customer", text],
        ["--name", text],
        ["--tray", text],
        ["--frame", text],
        ["--rim-material", text],
        ["--treatment", text],
    ]);
    run(&order.iter().map(String::as_str).collect::<Vec<_>>());
    let written = [
        &["job", "amend", "1", "--why", text, "--b", "37"][..],
        &["job", "remake", "1", "left", "--cause", "slipped", "--bearer", "shop", "--story", text],
        &["job", "arrive", "1", "left", "--what", text],
        &["record", "note", "1", text],
        &["record", "void", "1"],
        // Initials and names of keypads are refused that are no line of letters.
        &["inspect", "1", "--sign-off", "EM", "--despite", text],
        &["keypad", "add", "00000000000000aa", "--name", "edger", "--yes"],
        &["keypad", "add", "00000000000000bb", "--name", "edger", "--yes"],
        &["job", "new", "--like", "1", "--tray", text, "--frame", text],
        &["job", "close", "1", "--how", text, "--despite", text],
    ];
    for args in written {
        run(args);
    }
    let read = [
        &["job", "list", "--all"][..],
        &["job", "show", "1"],
        &["job", "show", text],
        &["plan", "1"],
        &["inspect", "1"],
        &["record", "note", "1", "x"],
        &["keypad", "list"],
        &["keypad", "log", "edger"],
        &["sheet", "1", "--out", "-", "--with-name"],
        &["sheet", "1", "--out", text],
    ];
    for args in read {
        run(args);
        run(&[args, &["--json"]].concat());
    }
    let wrong = [
        &["job", "show", "nobody", "--book", text][..],
        &["job", "show", text, "--book", "no/such"],
        &["settings", "show", "--settings", "."],
        &[text],
        &["job", text],
        &["job", "list", &format!("--{text}")],
        &["job", "new", "--rim", text],
        &["job", "new", "--right", text],
        &["record", "pass", "1", "r", text, "far"],
        &["job", "amend", "1", "--why", "x", "--trace", text],
        &["bench", "--port", text],
        &["keypad", "log", &format!("{text}2")],
        &["record", "pass", "1", text, "1", "far"],
    ];
    for args in wrong {
        run(args);
    }
    std::fs::write(shop.folder().join(format!("f{text}")), "standard = 7\n").unwrap();
    run(&["settings", "show", "--settings", &format!("f{text}")]);
    // All that is written, and all that is read twice; the rest is refused, or not within.
    assert_eq!(answers.iter().filter(|(_, (status, ..))| *status == Some(0)).count(), 26, "{answers:?}");
    answers
}

#[test]
fn a_terminal_sees_letters_alone_and_as_many_lines_as_of_plain_words() {
    for (hostile, harmless) in life(HOSTILE).into_iter().zip(life(&plain(HOSTILE).collect::<String>())) {
        assert_eq!(hostile, harmless);
    }
}

#[test]
fn programs_read_what_was_written() {
    let shop = Shop::new();
    let order = usual_order(&[["--customer", HOSTILE], ["--tray", HOSTILE], ["--name", HOSTILE]]);
    assert_eq!(shop.run(order).status, Some(0));
    assert_eq!(shop.run(["record", "note", "1", HOSTILE]).status, Some(0));
    let output = shop.run(["job", "show", "1", "--json"]);
    said(&output, "json");
    let job = output.json();
    for field in ["reference", "tray", "customer_name"] {
        assert_eq!(job[field], HOSTILE, "{field}");
    }
    let notes = job["records"].as_array().unwrap().iter().map(|record| record["says"].as_str().unwrap());
    assert!(notes.collect::<Vec<_>>().contains(&format!("note: {HOSTILE}").as_str()));
    let exported = shop.run(["book", "export", "-"]);
    said(&exported, "export");
    let person = |line: &Value| line["name"] == HOSTILE && line["reference"] == HOSTILE;
    assert!(exported.stdout.lines().any(|line| person(&serde_json::from_str(line).unwrap())), "{exported:?}");
    let html: Value = shop.run(["sheet", "1", "--out", "-", "--json"]).json();
    assert!(!html["html"].as_str().unwrap().contains('\u{202e}'));
}

#[test]
fn the_bench_and_its_keypad_show_letters_alone() {
    let shop = Shop::new();
    assert_eq!(shop.run(usual_order(&[["--frame", HOSTILE], ["--tray", HOSTILE]])).status, Some(0));
    for json in [&[][..], &["--json"]] {
        let mut bench = shop.command();
        bench.args(["bench", "--port", "software", "--yes"]).args(json);
        let mut bench = bench.stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
        let lines = format!("wait 2000\nscreen\n{}\n", HOSTILE.replace('\n', " "));
        bench.stdin.take().unwrap().write_all(lines.as_bytes()).unwrap();
        let output = bench.wait_with_output().unwrap();
        let [stdout, stderr] = [output.stdout, output.stderr].map(|text| String::from_utf8(text).unwrap());
        let output = Output { status: output.status.code(), stdout, stderr };
        said(&output, "bench");
        assert!(output.stdout.contains("is no command"), "{output:?}");
        assert!(output.stdout.contains("[2J"), "{output:?}");
    }
}
