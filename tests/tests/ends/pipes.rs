//! Commands between pipes, as other programs run them.

use crate::process::{SIGNALS, ends, is_ignored, left_whole, signal};
use crate::shop::at_sizing;
use bevelbook::settings::Settings;
use bevelbook::work::Work;
use bevelbook_tests::Shop;
use std::io::{BufRead, BufReader, Read, Write};
use std::process::{Child, ChildStdin, ChildStdout, Stdio};
use std::time::Duration;

struct Piped {
    child: Child,
    input: Option<ChildStdin>,
    output: Option<BufReader<ChildStdout>>,
}

impl Piped {
    fn start(shop: &Shop, args: &[&str]) -> Self {
        let mut command = shop.command();
        command.args(args).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        let (input, output) = (child.stdin.take(), child.stdout.take().map(BufReader::new));
        Self { child, input, output }
    }

    fn send(&mut self, lines: &str) {
        self.input.as_mut().unwrap().write_all(lines.as_bytes()).unwrap();
    }

    /// The next line with `part` in it.
    fn until(&mut self, part: &str) -> String {
        let output = self.output.as_mut().unwrap();
        output.lines().map(Result::unwrap).find(|line| line.contains(part)).unwrap()
    }

    fn ends(&mut self, what: &str, code: i32, cause: impl FnOnce(&mut Self)) -> String {
        ends(self.child.id(), what, || cause(self));
        let mut said = String::new();
        self.child.stderr.take().unwrap().read_to_string(&mut said).unwrap();
        assert_eq!(self.child.wait().unwrap().code(), Some(code), "{what}: {said}");
        said
    }
}

impl Drop for Piped {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// A console with a keypad in its process, one record in the book.
fn bench(shop: &Shop) -> Piped {
    let mut bench = Piped::start(shop, &["bench", "--port", "software", "--yes", "--json"]);
    bench.until("job-sent");
    bench.send("centre\nup\n");
    bench.until("much too big");
    bench.send("wait 310\n");
    bench
}

/// A keypad on a port, and a console at that, one record in the book.
fn console(shop: &Shop) -> (Piped, Piped) {
    let mut keypad = Piped::start(shop, &["keypad", "software", "--pty"]);
    let port = keypad.until("/dev/");
    let mut console = Piped::start(shop, &["bench", "--yes", "--port", &port]);
    console.until("is on the keypad");
    keypad.send("centre\nup\n");
    console.until("much too big");
    (keypad, console)
}

#[test]
fn a_signal_ends_the_bench_and_both_ends_of_a_port() {
    for name in SIGNALS {
        let shop = at_sizing(1);
        bench(&shop).ends(&format!("bench, {name}"), 0, |it| signal(it.child.id(), name));
        left_whole(&shop, name);

        let shop = at_sizing(1);
        let (mut keypad, mut console) = console(&shop);
        console.ends(&format!("console, {name}"), 0, |it| signal(it.child.id(), name));
        keypad.ends(&format!("keypad, {name}"), 0, |it| signal(it.child.id(), name));
        left_whole(&shop, name);
    }
}

#[test]
fn a_signal_ends_the_wait_for_a_port() {
    let shop = at_sizing(1);
    let (mut keypad, mut console) = console(&shop);
    keypad.ends("keypad", 0, |it| drop(it.input.take()));
    console.until("waiting for keypad");
    console.ends("console without a port", 0, |it| signal(it.child.id(), "TERM"));
    left_whole(&shop, "TERM");
}

#[test]
fn the_end_of_the_input_ends_the_keypad_when_all_is_done_that_was_asked() {
    let shop = at_sizing(1);
    bench(&shop).ends("bench", 0, |it| drop(it.input.take()));
    left_whole(&shop, "end of input");
    // The last line is still done, and what it saves still reaches the book.
    let mut again = Piped::start(&shop, &["bench", "--port", "software", "--json"]);
    again.until("connected");
    again.ends("bench again", 0, |it| {
        it.send("up");
        drop(it.input.take());
    });
    let log = shop.run(["keypad", "log", "software", "--json"]).json();
    assert_eq!(log.as_array().unwrap().len(), 2, "{log}");
}

#[test]
fn a_reader_that_is_gone_ends_what_has_nothing_to_say() {
    let shop = at_sizing(1);
    bench(&shop).ends("bench", 0, |it| drop(it.output.take()));
    left_whole(&shop, "bench");

    let shop = at_sizing(1);
    let (mut keypad, mut console) = console(&shop);
    console.ends("console", 0, |it| drop(it.output.take()));
    keypad.ends("keypad", 0, |it| drop(it.output.take()));
    left_whole(&shop, "both");
}

#[test]
fn a_reader_that_reads_no_more_ends_the_keypad_and_is_told_why() {
    let shop = at_sizing(1);
    let mut bench = bench(&shop);
    // Far more than a pipe holds.
    let flood = "screen\n".repeat(2000);
    let told = bench.ends("bench", 4, |it| {
        let mut input = it.input.take().unwrap();
        std::thread::spawn(move || input.write_all(flood.as_bytes()).is_ok());
    });
    assert!(told.contains("nobody reads what it says"), "{told}");
    left_whole(&shop, "bench");
}

#[test]
fn a_signal_ends_what_a_reader_holds_up() {
    let shop = at_sizing(1);
    let mut bench = bench(&shop);
    let mut input = bench.input.take().unwrap();
    std::thread::spawn(move || input.write_all("screen\n".repeat(2000).as_bytes()).is_ok());
    std::thread::sleep(Duration::from_millis(300));
    ends(bench.child.id(), "bench", || signal(bench.child.id(), "TERM"));
    left_whole(&shop, "bench");
}

#[test]
fn what_only_reports_waits_for_its_reader_holds_nothing_and_is_ended_by_any_signal() {
    let shop = at_sizing(1);
    let settings = Settings::load(&shop.settings()).unwrap().0;
    let mut work = Work::open(shop.book(), settings).unwrap();
    let job = work.find("1").unwrap().id;
    // More than a pipe holds.
    for _ in 0..500 {
        work.note(job, &"called the customer ".repeat(8)).unwrap();
    }
    for name in SIGNALS.into_iter().filter(|name| !is_ignored(name)) {
        let mut shown = Piped::start(&shop, &["job", "show", "1"]);
        shown.until("job 1");
        std::thread::sleep(Duration::from_millis(1500));
        work.note(job, "meanwhile").unwrap();
        ends(shown.child.id(), name, || signal(shown.child.id(), name));
        assert_eq!(shown.child.wait().unwrap().code(), None, "{name}: the system ended it");
    }
}
