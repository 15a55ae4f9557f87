//! The console's screen in a real terminal: a pseudo-terminal, its escape sequences followed by a terminal in memory.
#![allow(clippy::unwrap_used, reason = "a terminal that fails fails the test")]

use bevelbook_tests::{Shop, console, usual_order};
use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use std::io::{Read, Write};
use std::num::NonZero;
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::{Duration, Instant};

/// How long anything may take on a busy machine.
const PATIENCE: Duration = Duration::from_secs(30);

const ENTER: &str = "\r";

/// `bench --port software` in a terminal.
struct Terminal {
    master: Box<dyn MasterPty + Send>,
    keys: Box<dyn Write + Send>,
    came: Receiver<Vec<u8>>,
    seen: vt100::Parser,
    child: Box<dyn Child + Send + Sync>,
}

const fn size((cols, rows): (u16, u16)) -> PtySize {
    PtySize { rows, cols, pixel_width: 0, pixel_height: 0 }
}

fn least(cells: u16) -> NonZero<u16> {
    NonZero::new(cells).unwrap()
}

impl Terminal {
    fn open(shop: &Shop, columns_rows: (u16, u16)) -> Self {
        let pair = native_pty_system().openpty(size(columns_rows)).unwrap();
        let mut command = CommandBuilder::new(console());
        command.args(["bench", "--port", "software"]);
        command.cwd(shop.folder());
        command.env("TERM", "xterm");
        command.env("BEVELBOOK_BOOK", shop.book());
        command.env("BEVELBOOK_SETTINGS", shop.settings());
        let child = pair.slave.spawn_command(command).unwrap();
        let (mut reader, keys) =
            (pair.master.try_clone_reader().unwrap(), pair.master.take_writer().unwrap());
        let (send, came) = channel();
        thread::spawn(move || {
            let mut piece = [0; 4096];
            while let Ok(count @ 1..) = reader.read(&mut piece) {
                if send.send(piece[..count].to_vec()).is_err() {
                    break;
                }
            }
        });
        let (columns, rows) = columns_rows;
        Self {
            master: pair.master,
            keys,
            came,
            seen: vt100::Parser::new(least(rows), least(columns), 0),
            child,
        }
    }

    /// Follows the terminal until `wanted` holds of what stands in it.
    fn until(&mut self, what: &str, wanted: impl Fn(&vt100::Screen) -> bool) {
        let begun = Instant::now();
        while !wanted(self.seen.screen()) {
            let left = PATIENCE.checked_sub(begun.elapsed());
            assert!(left.is_some(), "no {what}: {}", self.seen.screen().contents());
            if let Ok(bytes) = self.came.recv_timeout(Duration::from_millis(100)) {
                self.seen.process(&bytes);
            }
        }
    }

    fn shows(&mut self, text: &str) {
        self.until(text, |screen| screen.contents().contains(text));
    }

    fn press(&mut self, keys: &str) {
        self.keys.write_all(keys.as_bytes()).unwrap();
        self.keys.flush().unwrap();
    }

    fn resize(&mut self, (columns, rows): (u16, u16)) {
        self.seen.screen_mut().set_size(least(rows), least(columns));
        self.master.resize(size((columns, rows))).unwrap();
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        let _ = self.child.kill();
    }
}

fn shop() -> Shop {
    let shop = Shop::new();
    assert_eq!(shop.run(usual_order(&[])).status, Some(0));
    let dial = ["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"];
    assert_eq!(shop.run(dial).status, Some(0));
    shop
}

#[test]
fn the_keypad_above_and_the_log_below_from_adoption_to_a_record_in_the_book() {
    let shop = shop();
    let mut terminal = Terminal::open(&shop, (80, 24));
    terminal.shows("adopt it as");
    terminal.press("y");
    // The card of the open job arrives, and the keypad lists it.
    terminal.shows("job 1");
    terminal.press(ENTER);
    terminal.shows("uncut sphere line");
    assert!(terminal.seen.screen().contents().contains("arrows, Enter"), "the keys stand in the last row");
    terminal.press(ENTER);
    terminal.shows("cylinder line");
    terminal.press(ENTER);
    terminal.shows("axis wheel");
    terminal.press(ENTER);
    terminal.shows("dot");
    terminal.press(ENTER);
    terminal.shows("right: read uncut");
    terminal.press("q");
    terminal.until("end", |screen| !screen.alternate_screen() && !screen.hide_cursor());
    assert!(terminal.child.wait().unwrap().success());
    assert!(shop.run(["job", "show", "1"]).stdout.contains("right: read uncut -1.25 -0.75 x 15"));
}

#[test]
fn a_terminal_that_is_too_small_says_so_and_goes_on_when_it_is_large_again() {
    let shop = shop();
    let mut terminal = Terminal::open(&shop, (80, 24));
    terminal.shows("adopt it as");
    terminal.resize((40, 10));
    terminal.shows("too small: 40x10, 80x24 needed");
    terminal.resize((120, 40));
    terminal.shows("adopt it as");
    terminal.press("\u{3}");
    terminal.until("end", |screen| !screen.alternate_screen());
    assert!(terminal.child.wait().unwrap().success());
}
