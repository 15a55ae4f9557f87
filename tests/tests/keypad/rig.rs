//! A software keypad and a console in processes of their own.

use bevelbook_tests::Shop;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

/// How long anything may take on a busy machine.
pub(crate) const PATIENCE: Duration = Duration::from_secs(60);

fn lines(stream: impl Read + Send + 'static) -> Receiver<String> {
    let (sender, lines) = channel();
    std::thread::spawn(move || {
        for line in BufReader::new(stream).lines().map_while(Result::ok) {
            let _ = sender.send(line);
        }
    });
    lines
}

/// A process that is killed when the test is done with it.
struct Running(Child);

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// A keypad on a pseudo-terminal.
pub(crate) struct Keypad {
    running: Running,
    input: ChildStdin,
    answers: Receiver<String>,
    pub(crate) port: PathBuf,
}

impl Keypad {
    /// Starts it on the memory file `memory` of the shop; `None` when it ends before it says its port.
    pub(crate) fn try_start(shop: &Shop, memory: &Path, more: &[&str]) -> Option<Self> {
        let mut command = shop.command();
        command.args(["keypad", "software", "--pty", "--memory"]).arg(memory).args(more);
        command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::null());
        let mut child = command.spawn().unwrap();
        let (input, answers) = (child.stdin.take().unwrap(), lines(child.stdout.take().unwrap()));
        let running = Running(child);
        let port = answers.recv_timeout(PATIENCE).ok()?.into();
        Some(Self { running, input, answers, port })
    }

    pub(crate) fn start(shop: &Shop) -> Self {
        Self::try_start(shop, &shop.folder().join("keypad.mem"), &[]).unwrap()
    }

    /// Sends command lines; a keypad that is gone takes none.
    pub(crate) fn send(&mut self, commands: &[&str]) {
        for command in commands {
            let _ = writeln!(self.input, "{command}");
        }
    }

    /// What it answers, if it is still there.
    pub(crate) fn try_ask(&mut self, question: &str) -> Option<u64> {
        self.send(&[question]);
        self.answers.recv_timeout(PATIENCE).ok()?.parse().ok()
    }

    pub(crate) fn ask(&mut self, question: &str) -> u64 {
        self.try_ask(question).unwrap()
    }

    /// The eight rows of its screen.
    pub(crate) fn screen(&mut self) -> String {
        self.send(&["screen"]);
        (0..8).map(|_| self.answers.recv_timeout(PATIENCE).unwrap() + "\n").collect()
    }

    pub(crate) fn until_screen(&mut self, part: &str) -> String {
        let begun = Instant::now();
        loop {
            let screen = self.screen();
            if screen.contains(part) {
                return screen;
            }
            assert!(begun.elapsed() < PATIENCE, "no `{part}` on\n{screen}");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// Waits until no record waits for a console.
    pub(crate) fn until_synced(&mut self) {
        let begun = Instant::now();
        while self.ask("unsynced") > 0 {
            assert!(begun.elapsed() < PATIENCE, "records still wait");
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// Waits until it is gone.
    pub(crate) fn wait(mut self) {
        let _ = self.running.0.wait();
    }
}

/// A console at the bench.
pub(crate) struct Console {
    running: Running,
    said: Receiver<String>,
    pub(crate) heard: Vec<String>,
}

impl Console {
    pub(crate) fn start(shop: &Shop, port: &Path) -> Self {
        Self::with(shop, port, &["--yes"])
    }

    pub(crate) fn with(shop: &Shop, port: &Path, more: &[&str]) -> Self {
        let mut command = shop.command();
        command.args(["bench", "--port"]).arg(port).args(more);
        command.stdout(Stdio::piped()).stderr(Stdio::inherit());
        let mut child = command.spawn().unwrap();
        let said = lines(child.stdout.take().unwrap());
        Self { running: Running(child), said, heard: Vec::new() }
    }

    /// Waits until it has said something with `part` in it.
    pub(crate) fn until(&mut self, part: &str) -> String {
        let begun = Instant::now();
        while let Ok(line) = self.said.recv_timeout(PATIENCE.saturating_sub(begun.elapsed())) {
            self.heard.push(line.clone());
            if line.contains(part) {
                return line;
            }
        }
        panic!("no `{part}` in {:#?}", self.heard);
    }

    /// Ends it at once, as kill -9 does.
    pub(crate) fn kill(&mut self) {
        self.running.0.kill().unwrap();
        self.running.0.wait().unwrap();
    }

    /// Asks it to end, and gives its exit code.
    pub(crate) fn end(mut self) -> Option<i32> {
        let id = self.running.0.id().to_string();
        assert!(std::process::Command::new("kill").args(["-TERM", &id]).status().unwrap().success());
        self.running.0.wait().unwrap().code()
    }
}
