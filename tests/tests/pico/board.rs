//! A Pico in an emulator of its chip, with keys, display and memory, and its serial port as a pseudo-terminal.

use crate::image::built;
use crate::wires::gpio;
use bevelbook::keypad::{FilePages, Line, PAGES, Pty};
use bevelbook_keypad::device::{Device, LAYOUT};
use bevelbook_keypad::memory::Memory;
use bevelbook_keypad::screen::{Canvas, Shade};
use bevelbook_tests::build::root;
use embedded_io::{Read as _, ReadReady as _, Write as _};
use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Read, Write};
use std::os::unix::net::UnixStream;
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};
use tempfile::{NamedTempFile, TempDir};

/// How long anything may take: the emulated chip is slower than a real one on a busy machine.
pub(crate) const PATIENCE: Duration = Duration::from_secs(90);

/// The rows of the display above the title: job, eye, and what waits.
pub(crate) const HEADER_ROWS: usize = 9;

const ROWS: usize = 64;
const COLUMNS: usize = 128;

static ONE: Mutex<()> = Mutex::new(());

/// What the display shows, a row a line, `#` for lit.
pub(crate) type Picture = Vec<String>;

/// A board; dropping it cuts its power. One runs at a time.
pub(crate) struct Board {
    child: Child,
    input: ChildStdin,
    answers: Receiver<String>,
    memory: PathBuf,
    socket: PathBuf,
    /// What the host read from the USB device.
    pub(crate) usb: Value,
    folder: TempDir,
    _alone: MutexGuard<'static, ()>,
}

impl Drop for Board {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The serial port's way to a pseudo-terminal, open until this is dropped.
pub(crate) struct Cable {
    pub(crate) path: PathBuf,
    ends: Arc<AtomicBool>,
    carrier: Option<std::thread::JoinHandle<()>>,
}

impl Drop for Cable {
    fn drop(&mut self) {
        self.ends.store(true, Ordering::Relaxed);
        let _ = self.carrier.take().map(std::thread::JoinHandle::join);
    }
}

fn start(memory: &Path, socket: &Path, clock: bool) -> Child {
    let scripts = root().join("tests/rp2040js");
    assert!(scripts.join("node_modules/rp2040js").is_dir(), "run `npm ci` in tests/rp2040js first");
    let key = |name: &str| gpio(&format!("key_{name}"));
    let keys = ["up", "down", "left", "right", "centre"].map(|name| (name.to_owned(), key(name).into()));
    let pins = json!({
        "keys": serde_json::Map::from_iter(keys),
        "bus": [gpio("memory_data"), gpio("memory_clock")],
        "select": gpio("display_select"),
        "command": gpio("display_command"),
        "reset": gpio("display_reset"),
        "buzzer": gpio("buzzer"),
        "clock": clock,
    });
    let mut command = Command::new("node");
    command.arg(scripts.join("keypad.mjs")).arg(&built().file).args([memory, socket]).arg(pins.to_string());
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::inherit());
    command.spawn().unwrap_or_else(|why| panic!("this test needs Node.js 18 or newer: {why}"))
}

impl Board {
    /// A board with a blank memory, taken in by the USB host.
    pub(crate) fn new() -> Self {
        Self::on(TempDir::new().unwrap(), false)
    }

    /// The same, with a clock chip beside the memory, which says that it is 2026-12-01 08:30 UTC.
    pub(crate) fn with_clock() -> Self {
        Self::on(TempDir::new().unwrap(), true)
    }

    fn on(folder: TempDir, clock: bool) -> Self {
        let alone = ONE.lock().unwrap_or_else(PoisonError::into_inner);
        let (memory, socket) = (folder.path().join("memory"), folder.path().join("socket"));
        let _ = std::fs::remove_file(&socket);
        let mut child = start(&memory, &socket, clock);
        let (input, output) = (child.stdin.take().unwrap(), child.stdout.take().unwrap());
        let (sender, answers) = channel();
        std::thread::spawn(move || {
            BufReader::new(output).lines().map_while(Result::ok).try_for_each(|line| sender.send(line))
        });
        let mut board =
            Self { child, input, answers, memory, socket, usb: Value::Null, folder, _alone: alone };
        board.usb = board.told("usb");
        board
    }

    /// What it tells by itself: `word` and JSON.
    fn told(&self, word: &str) -> Value {
        let said = self.answer();
        let told = said.strip_prefix(word).unwrap_or_else(|| panic!("{said}"));
        serde_json::from_str(told).unwrap()
    }

    /// Waits until the watchdog has started it again and the host has taken it in anew; why, and when.
    pub(crate) fn restarted(&mut self) -> Value {
        let why = self.told("restarted");
        self.usb = self.told("usb");
        why
    }

    /// Waits until the watchdog has started it again, to go on so for as long as it likes; when.
    pub(crate) fn restarted_at(&mut self) -> u64 {
        let mut said = self.answer();
        // The host may have been quicker.
        if said.starts_with("usb") {
            said = self.answer();
        }
        let told: Value = serde_json::from_str(said.strip_prefix("restarted").expect(&said)).unwrap();
        told["ms"].as_u64().unwrap()
    }

    /// Cuts the power and starts it again on the same memory.
    pub(crate) fn cut_power(mut self) -> Self {
        let _ = self.child.kill();
        let _ = self.child.wait();
        let folder = std::mem::replace(&mut self.folder, TempDir::new().unwrap());
        drop(self);
        Self::on(folder, false)
    }

    fn answer(&self) -> String {
        self.answers.recv_timeout(PATIENCE).expect("the emulator answers")
    }

    pub(crate) fn send(&mut self, lines: &[&str]) {
        lines.iter().for_each(|line| writeln!(self.input, "{line}").unwrap());
    }

    pub(crate) fn figures(&mut self) -> Value {
        self.send(&["figures"]);
        serde_json::from_str(&self.answer()).unwrap()
    }

    /// What stands in its memory space from `address`.
    pub(crate) fn ram(&mut self, address: u32, bytes: u32) -> Vec<u8> {
        self.send(&[&format!("ram {address} {bytes}")]);
        let digits = self.answer();
        let byte = |n: usize| u8::from_str_radix(&digits[n..n + 2], 16).unwrap();
        (0..digits.len()).step_by(2).map(byte).collect()
    }

    pub(crate) fn picture(&mut self) -> Picture {
        self.send(&["picture"]);
        (0..ROWS).map(|_| self.answer()).collect()
    }

    /// Waits until the display shows what the library on this machine makes of the memory as it is now: all of it, or all
    /// but the header, which says whether a console is there.
    pub(crate) fn until_as_library(&mut self, whole: bool) -> Picture {
        self.until(if whole { 0 } else { HEADER_ROWS }, |board| board.library(0))
    }

    /// Waits until the display says that it was started again by so many defects in a row.
    pub(crate) fn until_restarts(&mut self, in_a_row: u8) {
        self.until(0, |board| board.library(in_a_row));
    }

    /// Waits until all but the first `rows` are as expected.
    fn until(&mut self, rows: usize, expected: impl Fn(&Self) -> Picture) -> Picture {
        let begun = Instant::now();
        loop {
            let (picture, expected) = (self.picture(), expected(self));
            if picture[rows..] == expected[rows..] {
                return picture;
            }
            let [picture, expected] = [picture, expected].map(|shown| shown.join("\n"));
            assert!(begun.elapsed() < PATIENCE, "it shows\n{picture}\nand not\n{expected}");
            std::thread::sleep(Duration::from_millis(100));
        }
    }

    /// What a keypad that starts on a copy of this memory shows, after so many defects in a row.
    fn library(&self, defects: u8) -> Picture {
        let mut device = Device::new(self.pages(), LAYOUT, "copy", 1);
        if !device.restarted(defects) {
            device.open();
            assert!(device.redraw(0));
        }
        let canvas: &mut Canvas = &mut Canvas::black_and_white();
        device.draw(canvas);
        let lit = |x, y| canvas.shade(x, y) != Shade::Off;
        let row = |y| (0..COLUMNS).map(|x| if lit(x, y) { '#' } else { '.' }).collect();
        (0..ROWS).map(row).collect()
    }

    /// A copy of its memory.
    pub(crate) fn pages(&self) -> FilePages {
        let (_, copy) = NamedTempFile::new_in(&self.folder).unwrap().keep().unwrap();
        std::fs::copy(&self.memory, &copy).unwrap();
        FilePages::open(&copy, None).unwrap()
    }

    /// How many records it holds that the console has not said to have.
    pub(crate) fn unacknowledged(&self) -> u32 {
        let (memory, _) = Memory::open(self.pages(), LAYOUT).map_err(|why| why.to_string()).unwrap();
        memory.unacknowledged()
    }

    /// The bytes in the memory, after each page has been written.
    pub(crate) fn memory_bytes(&self) -> Vec<u8> {
        let bytes = std::fs::read(&self.memory).unwrap();
        assert_eq!(bytes.len(), 64 * usize::from(PAGES));
        bytes
    }

    /// Plugs the serial port into a pseudo-terminal.
    pub(crate) fn plug(&self) -> Cable {
        let mut pty = Pty::open().unwrap();
        let mut socket = UnixStream::connect(&self.socket).unwrap();
        socket.set_nonblocking(true).unwrap();
        let (path, ends) = (pty.path().to_path_buf(), Arc::new(AtomicBool::new(false)));
        let ended = ends.clone();
        let carrier = std::thread::spawn(move || {
            let mut bytes = [0; 512];
            while !ended.load(Ordering::Relaxed) {
                pty.wait(Duration::from_millis(5)).unwrap();
                if pty.read_ready().unwrap() {
                    let many = pty.read(&mut bytes).unwrap();
                    socket.write_all(&bytes[..many]).unwrap();
                }
                match socket.read(&mut bytes) {
                    Ok(0) => return,
                    Ok(many) => pty.write_all(&bytes[..many]).unwrap(),
                    Err(why) if why.kind() == std::io::ErrorKind::WouldBlock => {}
                    Err(_) => return,
                }
            }
        });
        Cable { path, ends, carrier: Some(carrier) }
    }
}
