//! The console's screen in a real terminal: a pseudo-terminal, its escape sequences followed by a terminal in memory.
#![allow(clippy::unwrap_used, reason = "a terminal that fails fails the test")]

use bevelbook_server::{Proxy, Server};
use bevelbook_tests::{Shop, console, usual_order};
use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use std::ffi::OsStr;
use std::io::{BufRead, BufReader, Read, Write};
use std::num::NonZero;
use std::process::Stdio;
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::{Duration, Instant};

/// How long anything may take on a busy machine.
const PATIENCE: Duration = Duration::from_secs(30);

const ENTER: &str = "\r";

/// The console in a terminal.
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
    fn open(shop: &Shop, args: &[&str], columns_rows: (u16, u16)) -> Self {
        Self::open_on(shop, shop.book().as_os_str(), args, columns_rows)
    }

    fn open_on(shop: &Shop, book: &OsStr, args: &[&str], columns_rows: (u16, u16)) -> Self {
        let pair = native_pty_system().openpty(size(columns_rows)).unwrap();
        let mut command = CommandBuilder::new(console());
        command.args(args);
        command.cwd(shop.folder());
        command.env("TERM", "xterm");
        command.env_remove("NO_COLOR");
        command.env("BEVELBOOK_BOOK", book);
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

/// Where the keypad in the terminal lists the job.
const CHOICE: &str = "> 1 Lindgren";

const SOFTWARE: [&str; 3] = ["bench", "--port", "software"];

/// A keypad on a port, in a process of its own.
struct Keypad {
    child: std::process::Child,
    /// Held open: without a reader it ends.
    _said: BufReader<std::process::ChildStdout>,
    port: String,
}

impl Keypad {
    fn start(shop: &Shop) -> Self {
        let mut command = shop.command();
        command.args(["keypad", "software", "--pty", "--name", "drum", "--memory", "drum.mem"]);
        let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
        let mut port = String::new();
        let mut said = BufReader::new(child.stdout.take().unwrap());
        said.read_line(&mut port).unwrap();
        Self { child, _said: said, port: port.trim().into() }
    }

    fn press(&mut self, lines: &str) {
        self.child.stdin.as_mut().unwrap().write_all(lines.as_bytes()).unwrap();
    }

    fn unplug(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }
}

impl Drop for Keypad {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn the_software_keypad_is_added_without_a_question_and_what_it_logs_stands_on_the_first_page() {
    let shop = shop();
    let mut terminal = Terminal::open(&shop, &SOFTWARE, (80, 24));
    terminal.shows("keypad software on this screen: connected, nothing waiting");
    // The card of the open job arrives, and the keypad lists it.
    terminal.shows("then read the uncut right lens");
    terminal.shows(CHOICE);
    terminal.press(ENTER);
    for question in ["uncut sphere line", "cylinder line", "axis", "centred in focimeter"] {
        terminal.shows(question);
        terminal.press(ENTER);
    }
    terminal.shows("right: read uncut");
    terminal.shows("✓ power 0.00 of 0.13 D");
    terminal.press("?");
    terminal.shows("undo what was logged last of this pair");
    terminal.press("q");
    terminal.until("end", |screen| !screen.alternate_screen() && !screen.hide_cursor());
    assert!(terminal.child.wait().unwrap().success());
    assert!(shop.run(["job", "show", "1"]).stdout.contains("right: read uncut -1.25 -0.75 x 15"));
}

#[test]
fn a_terminal_that_is_too_small_says_so_its_keys_are_dead_and_it_goes_on_when_it_is_large_again() {
    let shop = shop();
    let mut terminal = Terminal::open(&shop, &SOFTWARE, (80, 24));
    terminal.shows(CHOICE);
    terminal.resize((59, 15));
    terminal.shows("too small: 59x15, 60x16 needed");
    // Would open the job, and accept what is read of it.
    for _ in 0..6 {
        terminal.press(ENTER);
    }
    terminal.press("u?");
    thread::sleep(Duration::from_millis(500));
    terminal.resize((120, 40));
    terminal.shows("arrows, Enter: keypad");
    terminal.shows("then read the uncut right lens");
    terminal.press("\u{3}");
    terminal.until("end", |screen| !screen.alternate_screen());
    assert!(terminal.child.wait().unwrap().success());
    assert!(!shop.run(["job", "show", "1"]).stdout.contains("read uncut"));
}

#[test]
fn a_keypad_on_a_port_is_asked_about_comes_and_goes_and_its_last_word_is_undone_by_a_key() {
    let shop = shop();
    let mut keypad = Keypad::start(&shop);
    let port = shop.folder().join("port");
    std::os::unix::fs::symlink(&keypad.port, &port).unwrap();
    let mut terminal = Terminal::open(&shop, &["bench", "--port", port.to_str().unwrap()], (100, 30));
    terminal.shows("new keypad; add it as drum?");
    terminal.press("y");
    terminal.shows("keypad drum on");
    terminal.shows("connected, nothing waiting");
    terminal.shows("is on the keypad");
    keypad.press(&"centre\n".repeat(5));
    terminal.shows("right: read uncut");
    keypad.press("wait 400\ncentre\n");
    terminal.shows("right: spotted");
    keypad.unplug();
    terminal.shows("waiting for keypad");
    let mut keypad = Keypad::start(&shop);
    std::fs::remove_file(&port).unwrap();
    std::os::unix::fs::symlink(&keypad.port, &port).unwrap();
    terminal.shows("keypad drum on");
    terminal.press("u");
    terminal.shows("undo right: spotted at 15");
    terminal.press("y");
    terminal.shows("undone: right: spotted at 15");
    terminal.shows("next: mark the right lens");
    // A second keypad, in the terminal itself.
    terminal.press("k");
    terminal.shows("● keypad here");
    terminal.shows(CHOICE);
    keypad.press("quit\n");
    terminal.press("q");
    terminal.until("end", |screen| !screen.alternate_screen() && !screen.hide_cursor());
    assert!(terminal.child.wait().unwrap().success());
}

#[test]
fn a_keypad_that_is_refused_is_not_taken_in_and_the_screen_stays() {
    let shop = shop();
    let keypad = Keypad::start(&shop);
    let mut terminal = Terminal::open(&shop, &["bench", "--port", &keypad.port], (80, 24));
    terminal.shows("new keypad; add it as drum?");
    terminal.press("n");
    terminal.shows("the new keypad was not added");
    terminal.shows("not added");
    terminal.press("q");
    assert!(terminal.child.wait().unwrap().success());
    assert_eq!(shop.run(["keypad", "list", "--json"]).json()["keypads"], serde_json::json!([]));
}

/// A shop with job 1 and the dial stated, its book on a server.
fn shop_on(book: &str) -> Shop {
    let shop = Shop::new();
    let dial = ["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"].map(str::to_owned);
    for args in [["book", "begin"].map(str::to_owned).to_vec(), usual_order(&[]), dial.to_vec()] {
        let output = shop.run([vec!["--book".to_owned(), book.to_owned()], args].concat());
        assert_eq!(output.status, Some(0), "{output:?}");
    }
    shop
}

const ON_SERVER: [&str; 5] = ["bench", "--port", "software", "--memory", "keypad.mem"];

#[test]
fn the_screen_tells_what_waits_while_the_server_is_away_and_all_of_it_comes_in() {
    let Some(server) = Server::start() else { return };
    let database = server.database();
    let book = database.url();
    let shop = shop_on(&book);
    let mut terminal = Terminal::open_on(&shop, OsStr::new(&book), &ON_SERVER, (80, 24));
    terminal.shows(CHOICE);
    server.kill9();
    terminal.shows(", nothing waiting on the keypad");
    terminal.press(ENTER);
    for question in ["uncut sphere line", "cylinder line", "axis", "centred in focimeter"] {
        terminal.shows(question);
        terminal.press(ENTER);
    }
    terminal.shows(", 1 waiting on the keypad");
    terminal.shows("1 to send");
    terminal.shows("as it stood at");
    server.restart();
    terminal.shows("connected, nothing waiting");
    terminal.shows("1 record came in");
    terminal.shows("✓ power 0.00 of 0.13 D");
    terminal.press("q");
    terminal.until("end", |screen| !screen.alternate_screen());
    let shown = shop.run(["--book", &book, "job", "show", "1"]).stdout;
    assert_eq!(shown.matches("right: read uncut").count(), 1, "{shown}");
}

#[test]
fn keys_are_answered_while_the_server_is_not_heard_of() {
    let Some(server) = Server::start() else { return };
    let database = server.database();
    let shop = shop_on(&database.url());
    let proxy = Proxy::before(&server);
    let book = proxy.url(database.name());
    let mut terminal = Terminal::open_on(&shop, OsStr::new(&book), &ON_SERVER, (80, 24));
    terminal.shows(CHOICE);
    proxy.freeze();
    terminal.shows("no answer for 5 s; the keypad logs on");
    terminal.press("?");
    terminal.shows("undo what was logged last of this pair");
    terminal.press("?");
    terminal.press(ENTER);
    terminal.shows("uncut sphere line");
    terminal.press("q");
    terminal.until("end", |screen| !screen.alternate_screen());
    assert!(terminal.child.wait().unwrap().success());
}
