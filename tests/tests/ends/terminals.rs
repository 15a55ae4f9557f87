//! Commands in a terminal: a pseudo-terminal that is closed, left unread, or sends what a person presses.

use crate::process::{SIGNALS, ends, left_whole, signal};
use crate::shop::at_sizing;
use bevelbook_tests::{Shop, console};
use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use std::io::{Read, Write};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, channel};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

const PATIENCE: Duration = Duration::from_secs(30);

pub(crate) struct Terminal {
    master: Option<Box<dyn MasterPty + Send>>,
    keys: Option<Box<dyn Write + Send>>,
    /// Ends the reading, once something more comes.
    read_no_more: Arc<AtomicBool>,
    reading: JoinHandle<()>,
    came: Receiver<Vec<u8>>,
    seen: vt100::Parser,
    pub(crate) child: Box<dyn Child + Send + Sync>,
}

impl Terminal {
    /// Runs the console with `args`; its terminal tells it of a hang-up by a signal only when it is its `own`.
    pub(crate) fn open(shop: &Shop, args: &[&str], own: bool) -> Self {
        let size = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(console());
        command.args(args);
        command.cwd(shop.folder());
        command.env("TERM", "xterm");
        command.env("BEVELBOOK_BOOK", shop.book());
        command.env("BEVELBOOK_SETTINGS", shop.settings());
        command.set_controlling_tty(own);
        let child = pair.slave.spawn_command(command).unwrap();
        let mut reader = pair.master.try_clone_reader().unwrap();
        let keys = Some(pair.master.take_writer().unwrap());
        let read_no_more = Arc::new(AtomicBool::new(false));
        let (enough, (send, came)) = (Arc::clone(&read_no_more), channel());
        let reading = thread::spawn(move || {
            let mut piece = [0; 4096];
            while let Ok(count @ 1..) = reader.read(&mut piece)
                && !enough.load(Ordering::Relaxed)
            {
                let _ = send.send(piece[..count].to_vec());
            }
        });
        let seen = vt100::Parser::default();
        Self { master: Some(pair.master), keys, read_no_more, reading, came, seen, child }
    }

    pub(crate) fn id(&self) -> u32 {
        self.child.process_id().unwrap()
    }

    pub(crate) fn press(&mut self, keys: &str) {
        self.keys.as_mut().unwrap().write_all(keys.as_bytes()).unwrap();
    }

    fn until(&mut self, what: &str, wanted: impl Fn(&vt100::Screen) -> bool) {
        let begun = Instant::now();
        while !wanted(self.seen.screen()) {
            assert!(begun.elapsed() < PATIENCE, "no {what}: {}", self.seen.screen().contents());
            if let Ok(bytes) = self.came.recv_timeout(Duration::from_millis(100)) {
                self.seen.process(&bytes);
            }
        }
    }

    pub(crate) fn shows(&mut self, text: &str) {
        self.until(text, |screen| screen.contents().contains(text));
    }

    /// The port that a keypad in it opened.
    fn port(&self) -> String {
        let shown = self.seen.screen().contents();
        let (_, from) = shown.split_once("port ").unwrap();
        from.split_whitespace().next().unwrap().to_owned()
    }

    /// Reads nothing any more; `keys` make it say something, so that the reading notices.
    fn leave_unread(&mut self, keys: &str) {
        self.read_no_more.store(true, Ordering::Relaxed);
        self.press(keys);
        let begun = Instant::now();
        while !self.reading.is_finished() {
            assert!(begun.elapsed() < PATIENCE, "it says nothing");
            thread::sleep(Duration::from_millis(5));
        }
    }

    fn close(&mut self) {
        drop((self.master.take(), self.keys.take()));
    }

    /// Whether lines are put together by the terminal and echoed, as before.
    fn is_as_before(&self) -> bool {
        let modes = format!("{:?}", self.master.as_ref().unwrap().get_termios().unwrap().local_flags);
        modes.contains("ICANON") && modes.contains("ECHO")
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

const SCREEN: [&str; 4] = ["bench", "--port", "software", "--yes"];
const LINES: [&str; 5] = ["bench", "--port", "software", "--yes", "--plain"];

/// The bench in its terminal, one record in the book.
fn bench(shop: &Shop, args: &[&str], own: bool) -> Terminal {
    let mut bench = Terminal::open(shop, args, own);
    bench.shows("is on the keypad");
    let plain = args.contains(&"--plain");
    bench.press(if plain { "centre\r" } else { "\r" });
    thread::sleep(Duration::from_millis(400));
    bench.press(if plain { "up\r" } else { "\u{1b}[A" });
    bench.shows("job 1  right: ");
    bench
}

#[test]
fn a_signal_puts_the_terminal_back_and_ends_the_bench() {
    for name in SIGNALS {
        let shop = at_sizing(1);
        let mut bench = bench(&shop, &SCREEN, true);
        assert!(!bench.is_as_before());
        let id = bench.id();
        ends(id, name, || signal(id, name));
        bench.until("end", |screen| !screen.alternate_screen() && !screen.hide_cursor());
        assert!(bench.is_as_before(), "{name}");
        assert!(bench.child.wait().unwrap().success(), "{name}");
        left_whole(&shop, name);
    }
}

#[test]
fn a_closed_terminal_ends_everything_in_it() {
    for (args, own) in [(&SCREEN[..], true), (&SCREEN[..], false), (&LINES[..], true), (&LINES[..], false)] {
        let what = format!("{args:?} {own}");
        let shop = at_sizing(1);
        let mut bench = bench(&shop, args, own);
        bench.leave_unread(if args.contains(&"--plain") { "wait 1\r" } else { "\u{1b}[B" });
        let id = bench.id();
        ends(id, &what, || bench.close());
        let _ = bench.child.wait();
        left_whole(&shop, &what);
    }
}

#[test]
fn a_keypad_alone_ends_with_its_terminal_too() {
    for args in [&["keypad", "software"][..], &["keypad", "software", "--pty"]] {
        for own in [true, false] {
            let shop = at_sizing(1);
            let mut keypad = Terminal::open(&shop, args, own);
            keypad.shows("no job here");
            keypad.leave_unread("C");
            let id = keypad.id();
            ends(id, &format!("{args:?} {own}"), || keypad.close());
            let _ = keypad.child.wait();
            bevelbook::keypad::open_memory(&shop.folder().join("keypad.mem"), None).unwrap();
        }
    }
}

#[test]
fn a_terminal_that_nobody_reads_ends_the_bench_and_is_put_back() {
    let shop = at_sizing(1);
    let mut bench = bench(&shop, &SCREEN, true);
    bench.leave_unread("\u{1b}[B");
    let mut keys = bench.keys.take().unwrap();
    ends(bench.id(), "unread", || {
        // The menu comes and goes, a whole screen each time.
        thread::spawn(move || while keys.write_all(b"C\r").is_ok() {});
    });
    assert!(bench.is_as_before());
    assert!(!bench.child.wait().unwrap().success());
    left_whole(&shop, "unread");
}

#[test]
fn the_end_of_the_input_is_a_key_too() {
    for (args, code) in [(&SCREEN[..], 0), (&LINES[..], 0)] {
        let shop = at_sizing(1);
        let mut bench = bench(&shop, args, true);
        let id = bench.id();
        ends(id, "Ctrl-D", || bench.press("\u{4}"));
        assert_eq!(bench.child.wait().unwrap().exit_code(), code);
        left_whole(&shop, "Ctrl-D");
    }
}

#[test]
fn a_question_that_nobody_answers_ends_with_its_terminal() {
    for name in SIGNALS {
        let shop = at_sizing(1);
        let mut keypad = Terminal::open(&shop, &["keypad", "software", "--pty"], true);
        keypad.shows("port /dev/");
        let port = keypad.port();
        let mut bench = Terminal::open(&shop, &["bench", "--plain", "--port", &port], true);
        bench.shows("add it as");
        let id = bench.id();
        ends(id, name, || signal(id, name));
        let _ = bench.child.wait();
        drop(keypad);
        bevelbook::keypad::open_memory(&shop.folder().join("keypad.mem"), None).unwrap();
    }
}
